package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What one command may take, whatever it is given.
const (
	mostCPU    = 2 * time.Second
	mostMemory = 256 << 10 // KiB
)

const hostileSite = "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, capacity: 1000 L, volume: 150 L}]\n"

// TestHostileInputTakesBoundedTimeAndMemory: input without end, and files that wait for
// ever. The clock is processor time: a busy machine is not a slow program.
func TestHostileInputTakesBoundedTimeAndMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("a process for each input")
	}
	unknown := strings.Builder{}
	for i := range 40_000 {
		fmt.Fprintf(&unknown, "qx%dzz%d,1,ug/L\n", i, i*7919%10007)
	}
	const head = "analyte,value,unit\n"
	for _, c := range []struct {
		name  string
		files map[string]string
		args  string
		pipe  string // a pipe that nobody writes to
		exit  int
	}{
		{name: "2 MB of rubbish for a journal", files: map[string]string{"journal.jsonl": strings.Repeat("x\n", 1<<20)}, args: "stock"},
		{name: "20 MB of rubbish for a journal", files: map[string]string{"journal.jsonl": strings.Repeat("{\n", 10<<20)}, args: "ready", exit: 3},
		{name: "a journal of empty objects", files: map[string]string{"journal.jsonl": strings.Repeat("{}\n", 1<<20)}, args: "stock draw vat 1L", exit: 2},
		{name: "a journal of one line", files: map[string]string{"journal.jsonl": strings.Repeat("x", 20<<20)}, args: "stock"},
		{name: "a journal of unknown keys", files: map[string]string{"journal.jsonl": "{" + strings.Repeat(`"a":1,`, 10_000) + `"b":1}` + "\n"}, args: "stock"},
		{name: "unknown names in a report", files: map[string]string{"r.csv": head + unknown.String()}, args: "assess r.csv", exit: 2},
		{name: "a field of 1 MB in a report", files: map[string]string{"r.csv": head + strings.Repeat("x", 1<<20) + ",1,ug/L\n"}, args: "assess r.csv", exit: 2},
		{name: "a million trials of courses", args: "dilute --volume 640L --start 60ug/L --target 3.1ug/L --new 1ug/L±1ug/L --drawdown 1% --source 0.5mg/h --media 400L/h,60% --bound 1.5,0.1/h --trials 1000000", exit: 2},
		{name: "the usual trials of courses", args: "dilute --volume 640L --start 60ug/L --target 3.1ug/L --new 1ug/L±1ug/L --drawdown 1% --source 0.5mg/h --media 400L/h,60% --bound 1.5,0.1/h"},
		{name: "a site file of 8 MB of brackets", files: map[string]string{"site.yaml": "format: 1\nsystems: " + strings.Repeat("[", 1<<20)}, args: "check", exit: 2},
		{name: "a site file of colons", files: map[string]string{"site.yaml": strings.Repeat("a: 1\n", 200_000)}, args: "check", exit: 2},
		{name: "a pipe for a site file", args: "check --site p.yaml", pipe: "p.yaml", exit: 2},
		{name: "a pipe for a journal", args: "stock", pipe: "journal.jsonl", exit: 2},
		{name: "a pipe for a report", args: "assess p.csv", pipe: "p.csv", exit: 2},
		{name: "a pipe for a playbook", args: "playbook", pipe: "playbooks/x.yaml"},
		{name: "a device for a site file", args: "check --site /dev/zero", exit: 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			files := map[string]string{"site.yaml": hostileSite}
			for name, text := range c.files {
				files[name] = text
			}
			for name, text := range files {
				if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if c.pipe != "" {
				path := filepath.Join(dir, c.pipe)
				if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.RemoveAll(path), syscall.Mkfifo(path, 0o644)); err != nil {
					t.Fatal(err)
				}
			}
			out, exit, use := runChild(t, dir, strings.Fields(c.args)...)
			if exit != c.exit {
				t.Errorf("exit %d, want %d: %.300s", exit, c.exit, out)
			}
			if cpu := time.Duration(use.Utime.Nano() + use.Stime.Nano()); cpu > mostCPU {
				t.Errorf("%v of processor time", cpu)
			}
			if use.Maxrss > mostMemory {
				t.Errorf("%d MiB", use.Maxrss>>10)
			}
			if len(out) > 64<<10 {
				t.Errorf("%d KiB printed", len(out)>>10)
			}
		})
	}
}

// program is the program as a process of its own, with what it says in one place.
func program(t *testing.T, args ...string) (c *exec.Cmd, said *bytes.Buffer) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "tidehold") // the test binary acts by its name
	if err := os.Symlink(self, name); err != nil {
		t.Fatal(err)
	}
	c, said = exec.Command(name, args...), &bytes.Buffer{}
	c.Stdout, c.Stderr = said, said
	c.Env = append(os.Environ(), "NO_COLOR=1", "TZ=UTC")
	return c, said
}

// runChild runs the program in a directory, for a minute at most.
func runChild(t *testing.T, dir string, args ...string) (out string, exit int, use *syscall.Rusage) {
	t.Helper()
	c, text := program(t, args...)
	c.Dir = dir
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	stop := time.AfterFunc(time.Minute, func() { _ = c.Process.Kill() })
	defer stop.Stop()
	var ended *exec.ExitError
	if err := c.Wait(); err != nil && !errors.As(err, &ended) {
		t.Fatal(err)
	}
	use, _ = c.ProcessState.SysUsage().(*syscall.Rusage)
	return text.String(), c.ProcessState.ExitCode(), use
}
