package main

import (
	"errors"
	"os"
	"path/filepath"
)

// writeNew writes a file all or not at all: into a temporary file beside it,
// synced and closed, then renamed, then the directory synced. If a step fails,
// nothing is left behind. before, if not nil, is asked before each step and can
// make it fail: tests go through every step so. A file that is replaced keeps who may
// read it, and behind a symbolic link it is the file that is replaced, not the link.
func writeNew(path string, data []byte, before func(step string) error) (err error) {
	path, mode := replaced(path)
	try := func(step string, do func() error) {
		if err == nil && before != nil {
			err = before(step)
		}
		if err == nil {
			err = do()
		}
	}
	var f *os.File
	try("create", func() error {
		f, err = os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".tmp-*")
		return err
	})
	if err != nil {
		return err
	}
	temp := f.Name()
	renamed := false
	try("write", func() error { _, err := f.Write(data); return err })
	try("permit", func() error { return f.Chmod(mode) })
	try("sync", f.Sync)
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	try("rename", func() error {
		err := os.Rename(temp, path)
		renamed = err == nil
		return err
	})
	if !renamed {
		return errors.Join(err, os.Remove(temp))
	}
	try("sync directory", func() error { syncDirectory(filepath.Dir(path)); return nil })
	return err
}

// replaced is the file that a name stands for, and the permissions it has or is to have.
func replaced(path string) (string, os.FileMode) {
	const everybodyReads = 0o644
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	if is, err := os.Stat(path); err == nil {
		return path, is.Mode().Perm()
	}
	return path, everybodyReads
}

// writeInto writes to what is no file but a pipe or a device: nothing there can be replaced,
// and a rename would put a file in the device's place.
func writeInto(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// syncDirectory makes a rename last through a power cut. Where a directory cannot
// be synced there is nothing to do about it: the file is there all the same.
func syncDirectory(dir string) {
	d, err := os.Open(dir)
	if err != nil {
		return
	}
	_ = d.Sync()
	_ = d.Close()
}
