package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// calcInputs are the flags of one calculation. Each is declared once with how it is read, and gives a pointer to its
// value, as package flag does; read then reads all of them and reports every problem at once.
type calcInputs struct {
	cmd    *cobra.Command
	fields []*calcField
	checks []func() error
}

// calcField is one flag. It only gathers text while the command line is taken apart, so that no problem hides another.
type calcField struct {
	name     string
	write    string // what to write, for messages and help
	many     bool
	optional bool
	text     []string
	echoes   []string
	bad      bool
	take     func(text string) (echo string, err error)
}

// Set, String and Type make a field a flag value; Type is what the help shows behind the name.
func (f *calcField) Set(text string) error {
	f.text = append(f.text, text)
	return nil
}

func (f *calcField) String() string { return "" }

// Type gives an example of what to write.
func (f *calcField) Type() string { return f.write }

// calcFlag declares a flag that is given once. parse returns the value and how it is echoed, with its unit.
func calcFlag[T any](in *calcInputs, name, write, help string, parse func(string) (T, string, error)) *T {
	value := new(T)
	in.declare(&calcField{name: name, write: write, take: func(text string) (echo string, err error) {
		*value, echo, err = parse(text)
		return echo, err
	}}, help)
	return value
}

// calcFlags declares a flag that may be given several times.
func calcFlags[T any](in *calcInputs, name, write, help string, parse func(string) (T, string, error)) *[]T {
	values := new([]T)
	in.declare(&calcField{name: name, write: write, many: true, take: func(text string) (string, error) {
		v, echo, err := parse(text)
		*values = append(*values, v)
		return echo, err
	}}, help+" (repeatable)")
	return values
}

func (in *calcInputs) declare(f *calcField, help string) {
	in.fields = append(in.fields, f)
	in.cmd.Flags().Var(f, f.name, help)
}

// optional marks flags that may be left out.
func (in *calcInputs) optional(names ...string) {
	for _, n := range names {
		in.field(n).optional = true
	}
}

// oneOf marks flags of which exactly one is given.
func (in *calcInputs) oneOf(a, b string) {
	in.optional(a, b)
	in.check(func() error {
		if in.given(a) != in.given(b) {
			return nil
		}
		return fmt.Errorf("--%s or --%s: give one of them; write for example --%s %s", a, b, a, in.field(a).write)
	})
}

// check adds a test between flags, run after each has been read.
func (in *calcInputs) check(f func() error) { in.checks = append(in.checks, f) }

// field finds a declared flag; a name that was never declared is a flag nobody can give.
func (in *calcInputs) field(name string) *calcField {
	for _, f := range in.fields {
		if f.name == name {
			return f
		}
	}
	return &calcField{name: name}
}

// given reports whether the flag stands on the command line.
func (in *calcInputs) given(name string) bool { return len(in.field(name).text) > 0 }

// understood reports whether all of these were given and could be read.
func (in *calcInputs) understood(names ...string) bool {
	for _, n := range names {
		if f := in.field(n); len(f.text) == 0 || f.bad {
			return false
		}
	}
	return true
}

// read reads every flag and joins all problems, each naming its flag and what to write.
func (in *calcInputs) read() error {
	var found []error
	for _, f := range in.fields {
		found = append(found, f.read())
	}
	for _, check := range in.checks {
		found = append(found, check())
	}
	return errors.Join(found...)
}

func (f *calcField) read() error {
	switch {
	case len(f.text) == 0 && f.optional:
		return nil
	case len(f.text) == 0:
		return f.missing()
	case len(f.text) > 1 && !f.many:
		f.bad = true
		return fmt.Errorf("--%s is given %d times: %s; give it once", f.name, len(f.text), strings.Join(f.text, ", "))
	}
	var found []error
	for _, text := range f.text {
		echo, err := f.take(text)
		if err != nil {
			f.bad = true
			found = append(found, fmt.Errorf("--%s: %w", f.name, err))
		}
		f.echoes = append(f.echoes, echo)
	}
	return errors.Join(found...)
}

func (f *calcField) missing() error {
	return fmt.Errorf("--%s is missing; write for example --%s %s", f.name, f.name, f.write)
}

// echo gives what was given, with its unit, in the order of the flags.
func (in *calcInputs) echo() calcPairs {
	var pairs calcPairs
	for _, f := range in.fields {
		switch {
		case len(f.echoes) == 0:
		case f.many:
			pairs = append(pairs, calcPair{f.name, f.echoes})
		default:
			pairs = append(pairs, calcPair{f.name, f.echoes[0]})
		}
	}
	return pairs
}
