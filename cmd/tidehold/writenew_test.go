package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Whichever step fails, the directory is as it was before; only a failing sync of
// the directory comes after the file is in place.
func TestWriteNewLeavesNothingBehindWhicheverStepFails(t *testing.T) {
	broken := errors.New("no space left")
	for _, fails := range []string{"create", "write", "permit", "sync", "rename"} {
		dir := t.TempDir()
		var steps []string
		err := writeNew(filepath.Join(dir, "site.yaml"), []byte("format: 1\n"), func(step string) error {
			steps = append(steps, step)
			if step == fails {
				return broken
			}
			return nil
		})
		if !errors.Is(err, broken) || steps[len(steps)-1] != fails {
			t.Errorf("%s: error %v after steps %v", fails, err, steps)
		}
		if left, _ := os.ReadDir(dir); len(left) != 0 {
			t.Errorf("%s: left %v behind", fails, left)
		}
	}
}

func TestWriteNewWritesAll(t *testing.T) {
	path := filepath.Join(t.TempDir(), "site.yaml")
	if err := writeNew(path, []byte("format: 1\n"), nil); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "format: 1\n" {
		t.Errorf("read back %q, %v", got, err)
	}
	if left, _ := os.ReadDir(filepath.Dir(path)); len(left) != 1 {
		t.Errorf("left %v", left)
	}
}

func TestWriteNewIntoAMissingDirectory(t *testing.T) {
	if err := writeNew(filepath.Join(t.TempDir(), "none", "site.yaml"), nil, nil); err == nil {
		t.Error("no error")
	}
}

// --out onto a device wrote a file in the device's place: as root, /dev/null was no more. A pipe
// stands for it here: it is there afterwards, and what was read from it is the answer.
func TestOutOntoAPipeWritesIntoIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	if err := exec.Command("mkfifo", path).Run(); err != nil {
		t.Skip("no pipes with names here: ", err)
	}
	got := make(chan string)
	go func() {
		data, _ := os.ReadFile(path)
		got <- string(data)
	}()
	a := &app{out: path, site: path + "-site.yaml"}
	if err := a.writeOut([]byte("covered\n")); err != nil {
		t.Fatal(err)
	}
	if is, err := os.Stat(path); err != nil || is.Mode()&os.ModeNamedPipe == 0 {
		t.Fatalf("the pipe is now %v, %v", is.Mode(), err)
	}
	if text := <-got; text != "covered\n" {
		t.Errorf("read %q", text)
	}
}

// A report with telephone numbers that only its owner may read stays so, and a link stays a link.
func TestWriteNewKeepsPermissionsAndLinks(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "report.html"), filepath.Join(dir, "latest.html")
	if err := errors.Join(os.WriteFile(file, []byte("old"), 0o600), os.Symlink(file, link)); err != nil {
		t.Skip("no links here: ", err)
	}
	if err := writeNew(link, []byte("new"), nil); err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(file); err != nil || string(data) != "new" {
		t.Errorf("the file behind the link has %q, %v", data, err)
	}
	is, err := os.Lstat(link)
	if err != nil || is.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is now %v, %v", is.Mode(), err)
	}
	if is, err := os.Stat(file); err != nil || is.Mode().Perm() != 0o600 {
		t.Errorf("readable by %v, %v", is.Mode(), err)
	}
}
