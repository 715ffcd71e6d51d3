package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/visible"
)

// env is everything the program takes from outside, so that tests can hand in their own.
type env struct {
	in     io.Reader
	out    io.Writer
	err    io.Writer
	getenv func(string) string
	now    func() time.Time
	draw   io.Reader                                                // where person ids, salts and keys come from, if not the machine's random source
	secret func(ctx context.Context, prompt string) (string, error) // asks without echo; nil = there is no terminal to ask at
	handed map[int]bool                                             // file descriptors that passphrases may come from; nil = any
}

// Exit codes, published in the help topic exit-codes. The same code is given with --json.
const (
	exitDone        = 0   // done, and every list
	exitRefused     = 1   // understood but refused
	exitUsage       = 2   // command line not understood, flag values included
	exitNo          = 3   // the answer is no: hold, evidence missing, restricted, findings
	exitDamaged     = 4   // our book, but damaged, truncated or against the seal
	exitInterrupted = 130 // stopped by the user
)

// failure is an error with an exit code and what to do next. One with an empty message has been reported already.
type failure struct {
	code int
	msg  string
	next string
}

func (f *failure) Error() string { return f.msg }

// usage refuses a command line that cannot be understood (exit 2).
func usage(next, format string, args ...any) error {
	return &failure{exitUsage, fmt.Sprintf(format, args...), next}
}

// refuse turns down something understood (exit 1) and says what to do next.
func refuse(next, format string, args ...any) error {
	return &failure{exitRefused, fmt.Sprintf(format, args...), next}
}

// answerNo ends with exit 3 after the answer itself has been printed.
func answerNo() error { return &failure{code: exitNo} }

// run executes one command line and returns its exit code. Errors are printed once, here.
func run(ctx context.Context, e env, args []string) int {
	a := &app{env: e, ctx: ctx}
	defer a.close()
	showPages := a.page()
	a.out, a.err = &visible.Writer{To: a.out}, &visible.Writer{To: a.err}
	root := newRootCmd(a)
	root.SetArgs(args)
	root.SetIn(e.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.PersistentPreRunE = func(c *cobra.Command, _ []string) error { return onlyOnce(c, args) }
	c, err := root.ExecuteContextC(ctx)
	showPages()
	if err == nil {
		err = a.misnamed
	}
	if bad := a.unreadable.Load(); err == nil && bad != nil {
		err = *bad
	}
	if err == nil {
		return exitDone
	}
	a.json = a.json || slices.Contains(args, "--json") // what follows a flag that is not understood was not read
	f := classify(ctx, err)
	a.report(nameOf(c), f)
	return f.code
}

// classify maps every error to its exit code in one place.
func classify(ctx context.Context, err error) *failure {
	if f, ok := errors.AsType[*failure](err); ok {
		return f
	}
	if errors.Is(ctx.Err(), context.Canceled) {
		return &failure{exitInterrupted, "interrupted; nothing was written", ""}
	}
	if bad, ok := errors.AsType[*store.UnusableError](err); ok {
		return &failure{unusableCode(bad), bad.Error(), bad.Next}
	}
	return &failure{exitRefused, err.Error(), ""}
}

func unusableCode(bad *store.UnusableError) int {
	if bad.Damaged {
		return exitDamaged
	}
	return exitRefused
}

// report prints a failure of a command on the error stream, as text or, with --json, as one object. The name of the
// command says what was attempted.
func (a *app) report(command string, f *failure) {
	if f.msg == "" {
		return
	}
	f.msg = a.whoChose(f.msg)
	if a.json {
		_ = json.NewEncoder(a.err).Encode(map[string]any{
			"format": "ringtrue/error/1", "command": command, "error": f.msg, "next": f.next, "exit": f.code})
		return
	}
	attempted := "ringtrue: "
	if command != "" && !strings.HasPrefix(f.msg, command) {
		attempted += command + ": "
	}
	fmt.Fprintln(a.err, wrapped(attempted+strings.ReplaceAll(f.msg, "\n", "\n  "), columns(a.err)))
	if f.next != "" {
		fmt.Fprintln(a.err, wrapped(f.next, columns(a.err)))
	}
}
