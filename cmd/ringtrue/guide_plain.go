package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Plain asking is line by line: for screen readers, dumb terminals and very small ones. Nothing is drawn and nothing
// moves; an empty line takes what is offered, "<" goes back, control-C or control-D stops.

const plainHelp = "Answer with a line. An empty line takes what is offered, < goes back, control-C stops and keeps your answers."

// askPlainly asks every question of a guide.
func (a *app) askPlainly(g *guide) error {
	fmt.Fprintln(a.err, plainHelp)
	lines := a.lines()
	for {
		q, ok, err := g.next()
		if err != nil || !ok {
			return err
		}
		a.printQuestion(q)
		line, err := a.line(lines)
		if err != nil {
			return err
		}
		switch line = strings.TrimSpace(line); line {
		case "<":
			g.back()
		default:
			if err := g.answer(q, line); err != nil {
				fmt.Fprintf(a.err, "not taken: %v\n", err)
			}
		}
	}
}

// printQuestion writes a question with what may be answered, one to a line.
func (a *app) printQuestion(q question) {
	if q.preview != "" {
		fmt.Fprintf(a.err, "\n%s\n", q.preview)
	}
	fmt.Fprintf(a.err, "\n%s\n", q.title)
	if q.help != "" {
		fmt.Fprintf(a.err, "%s\n", q.help)
	}
	for i, c := range q.choices {
		name := q.keyOf(i)
		if name == "" {
			name = c.value
		}
		fmt.Fprintf(a.err, "  %s  %s\n", name, c.label)
	}
	if q.many {
		fmt.Fprintln(a.err, "several: with spaces between")
	}
	if offer := q.offer(); offer != "" {
		fmt.Fprintln(a.err, offer)
	}
	fmt.Fprint(a.err, "> ")
}

// offer says what an empty answer means.
func (q question) offer() string {
	switch {
	case q.preset != "":
		return fmt.Sprintf("enter takes %s (%s)", q.labelOf(q.preset), q.from)
	case q.many && q.optional:
		return "enter: none"
	case q.optional:
		return "enter leaves it blank"
	}
	return ""
}

func (q question) labelOf(value string) string {
	for _, c := range q.choices {
		if c.value == value {
			return c.label
		}
	}
	return value
}

// typedLine is one line from the keyboard.
type typedLine struct {
	text string
	err  error
}

// lines reads the keyboard aside, so that an interruption is not kept waiting for a line.
func (a *app) lines() <-chan typedLine {
	out := make(chan typedLine)
	go func() {
		in := bufio.NewReader(a.in)
		for {
			text, err := in.ReadString('\n')
			select {
			case out <- typedLine{text, err}:
			case <-a.ctx.Done():
				return
			}
			if err != nil {
				return
			}
		}
	}()
	return out
}

// line waits for one. The end of the input counts as being stopped.
func (a *app) line(lines <-chan typedLine) (string, error) {
	select {
	case <-a.ctx.Done():
		fmt.Fprintln(a.err)
		return "", stopped()
	case l := <-lines:
		if errors.Is(l.err, io.EOF) || errors.Is(l.err, context.Canceled) {
			fmt.Fprintln(a.err)
			return "", stopped()
		}
		return l.text, l.err
	}
}
