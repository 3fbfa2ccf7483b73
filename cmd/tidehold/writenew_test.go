package main

import (
	"errors"
	"os"
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
