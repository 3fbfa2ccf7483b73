package main

import (
	"errors"
	"fmt"
	"io"
)

// Exit codes, part of the contract with scripts.
const (
	exitDone   = 0 // done; the answer is yes
	exitFailed = 1 // something broke
	exitUsage  = 2 // bad input or usage
	exitNo     = 3 // computed; the answer is no
)

// errNo ends a command whose answer was computed and printed, and is no.
var errNo = errors.New("the answer is no")

// usageError is bad input or usage: exit 2. Located says the message begins with
// file:line:column on each line and is printed as it is.
type usageError struct {
	err     error
	located bool
}

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

// usagef builds bad-input errors: name the flag or place, what was found and
// what is allowed.
func usagef(format string, args ...any) error {
	return &usageError{err: fmt.Errorf(format, args...)}
}

// usage marks an error from a computation as caused by the user's input.
func usage(err error) error {
	if err == nil {
		return nil
	}
	return &usageError{err: err}
}

// isNo says that an error is no fault: the question was answered, with no.
func isNo(err error) bool { return errors.Is(err, errNo) }

// report prints an error once, on standard error, and chooses the exit code.
func report(w io.Writer, err error) int {
	if err == nil {
		return exitDone
	}
	if isNo(err) {
		return exitNo
	}
	var bad *usageError
	input := errors.As(err, &bad)
	prefix := "tidehold: "
	if input && bad.located {
		prefix = ""
	}
	// A standard error that cannot be written leaves nobody to tell.
	_, _ = fmt.Fprintf(w, "%s%s\n", prefix, printable(err.Error()))
	if input {
		return exitUsage
	}
	return exitFailed
}
