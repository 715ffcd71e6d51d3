package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"

	"example.org/ringtrue/store/visible"
)

// An answer that is longer than the terminal goes through the reader's pager, as other programs do it: $RINGTRUE_PAGER, else $PAGER,
// else less or more where one of them is installed. "cat" turns that off. What asks the book, and help, is paged, and the answer of a check or a
// change of the day once it is recorded; anything else that a command says while it writes is printed as it comes, because it may ask. A
// pipe, --json, --plain and a dumb terminal know no pages.

// mostHeld is how much of an answer is kept for the pager, in bytes; a longer one is printed as it comes (company choice).
const mostHeld = 4 << 20

// pages is the standard output of a command at a terminal: it holds the answer until the command ends.
type pages struct {
	a      *app
	tty    *os.File
	held   bytes.Buffer
	onward bool // what comes is printed at once
	answer bool // what comes is an answer about what has been recorded
}

// page puts pages before the terminal, where standard output is one. The function it returns shows what they hold.
func (a *app) page() (show func()) {
	tty, ok := a.out.(*os.File)
	if !ok || !term.IsTerminal(int(tty.Fd())) {
		return func() {}
	}
	p := &pages{a: a, tty: tty}
	a.out = p
	return p.show
}

// Write keeps what is written as long as it may be paged.
func (p *pages) Write(text []byte) (int, error) {
	p.onward = p.onward || (p.a.writing && !p.answer) || p.a.json || p.a.plainly || p.held.Len() > mostHeld
	if !p.onward {
		return p.held.Write(text)
	}
	if _, err := p.held.WriteTo(p.tty); err != nil {
		return 0, err
	}
	return p.tty.Write(text)
}

// paged shows the answer of a command that has recorded what it is to record, in pages where it is long. What comes behind it is printed.
func (a *app) paged(print func() error) error {
	p, ok := past(a.out).(*pages)
	if !ok {
		return print()
	}
	p.answer, p.onward = true, false
	err := print()
	p.show()
	return err
}

// show ends the answer. A pager that cannot be started, or fails, leaves it to the terminal.
func (p *pages) show() {
	p.onward = true
	wide, high, err := term.GetSize(int(p.tty.Fd()))
	if err != nil || p.a.ctx.Err() != nil || screenRows(p.held.String(), wide) < high || p.a.getenv("TERM") == "dumb" || !p.through(p.a.pager()) {
		_, _ = p.held.WriteTo(p.tty)
	}
	p.held.Reset()
}

// through shows what is held in a pager. One that the reader ended before the last line has done its work.
func (p *pages) through(command []string) bool {
	if len(command) == 0 || command[0] == "cat" {
		return false
	}
	c := exec.Command(command[0], command[1:]...)
	c.Stdin, c.Stdout, c.Stderr = bytes.NewReader(p.held.Bytes()), p.tty, p.tty
	c.Env = append(os.Environ(), "LESS="+firstText(p.a.getenv("LESS"), "FRX"))
	if err := c.Start(); err != nil {
		return false
	}
	_ = c.Wait()
	return c.ProcessState.ExitCode() <= 0 // -1: a signal ended it
}

// lessKeys stands at the foot of each page of less, for those who do not know it.
const lessKeys = `space\: on   b\: back   q\: end`

// pager is the command that shows pages, by its words; empty where there is none.
func (a *app) pager() []string {
	for _, name := range []string{"RINGTRUE_PAGER", "PAGER"} {
		if words := strings.Fields(a.getenv(name)); len(words) > 0 {
			return words
		}
	}
	for _, command := range [][]string{{"less", "-FRX", "-Ps" + lessKeys}, {"more"}} {
		if _, err := exec.LookPath(command[0]); err == nil {
			return command
		}
	}
	return nil
}

// screenRows is how many rows of a terminal a text takes: a line that is wider than the terminal goes on in the next row.
func screenRows(text string, wide int) int {
	rows := 0
	for line := range strings.Lines(text) {
		rows += max(1, (utf8.RuneCountInString(strings.TrimRight(line, "\n"))+wide-1)/max(wide, 1))
	}
	return rows
}

// past is what a writer writes to, past the gate that shows what is hidden in text.
func past(w io.Writer) io.Writer {
	if gate, ok := w.(*visible.Writer); ok {
		return gate.To
	}
	return w
}

// screenOf is the terminal behind a writer, if there is one.
func screenOf(w io.Writer) (*os.File, bool) {
	w = past(w)
	if p, ok := w.(*pages); ok {
		return p.tty, true
	}
	f, ok := w.(*os.File)
	return f, ok && term.IsTerminal(int(f.Fd()))
}
