package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// checkRun runs the program with buffers in place of the streams.
func checkRun(args ...string) (code int, out, errOut string) {
	var o, e bytes.Buffer
	code = run(args, streams{In: strings.NewReader(""), Out: &o, Err: &e, Width: 80,
		Now:    func() time.Time { return demoTime() },
		Getenv: func(string) string { return "" }})
	return code, o.String(), e.String()
}

func TestCheckRefusesNineMebibytesAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "huge.yaml")
	if err := os.WriteFile(path, bytes.Repeat([]byte("a: b\n"), 9<<20/5), 0o600); err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	code, out, errOut := checkRun("check", "--site", path)
	if took := time.Since(start); took > 2*time.Second {
		t.Errorf("took %v", took)
	}
	want := path + ":1:1: the file is larger than 8 MiB; at most 8388608 bytes\n"
	if code != exitUsage || out != "" || errOut != want {
		t.Errorf("exit %d, stdout %q, stderr %q", code, out, errOut)
	}
}
