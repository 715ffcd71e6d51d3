package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// written is what a command recorded: for the user's eyes and for --json.
type written struct {
	Format   string   `json:"format"` // ringtrue/recorded/1
	Entries  []string `json:"entries"`
	What     string   `json:"what"`
	By       string   `json:"by"`
	Signed   bool     `json:"signed"`
	Happened string   `json:"happened"`
	Recorded string   `json:"recorded"`
	Note     []string `json:"notes"`

	Against []usedLine `json:"against,omitempty"` // uses of a saw that the book said no to
}

// done reports what was recorded, what a use of a saw among it stands against, and whether it was signed.
func (a *app) done(by store.Person, refs []training.Ref, happened time.Time, what string, notes ...string) error {
	h, err := a.book.Entry(a.ctx, refs[0], nil)
	if err != nil {
		return err
	}
	said, against, err := a.usesRecorded(refs)
	if err != nil {
		return err
	}
	notes = append(said, notes...)
	w := written{Format: "ringtrue/recorded/1", What: what, By: by.ID, Signed: h.Key != "", Happened: happened.Format(time.RFC3339),
		Recorded: h.Recorded.Format(time.RFC3339), Note: append([]string{}, notes...), Against: against}
	for _, r := range refs {
		w.Entries = append(w.Entries, a.book.Name(r))
	}
	if a.json {
		return a.printJSON(w)
	}
	a.mark()
	a.say("%s", what)
	for _, n := range notes {
		a.say("  %s", n)
	}
	a.say("%s, %s%s", a.entryNumbers(refs), a.signedText(refs[0], by.Name), a.apart(happened, h.Recorded))
	return nil
}

func (a *app) entryNumbers(refs []training.Ref) string {
	if len(refs) == 1 {
		return "entry " + a.book.Short(refs[0])
	}
	return fmt.Sprintf("entries %s to %s", a.book.Short(refs[0]), a.book.Short(refs[len(refs)-1]))
}

// apart says both times when they differ by more than a day.
func (a *app) apart(happened, recorded time.Time) string {
	if recorded.Sub(happened) <= 24*time.Hour {
		return ""
	}
	return fmt.Sprintf("; happened %s, recorded %s", a.local(happened), a.local(recorded))
}

// entry builds an entry about a worker and, where it is about one, a skill.
func entry(kind string, happened time.Time, by, worker, skill string, data any) ledger.Entry {
	return ledger.Entry{Kind: kind, Happened: happened, By: by, Worker: worker, Skill: skill, Data: data}
}

// problems gathers what is wrong with an input, so that all of it is said at once.
type problems struct {
	found []error
	code  int
	next  []string // what to do about each, once
}

func (p *problems) add(err error) {
	if err == nil {
		return
	}
	f, ok := errors.AsType[*failure](err)
	if !ok {
		p.found = append(p.found, err)
		return
	}
	p.found = append(p.found, errors.New(f.msg))
	p.code = max(p.code, f.code)
	if f.next != "" && !slices.Contains(p.next, f.next) {
		p.next = append(p.next, f.next)
	}
}

func (p *problems) addf(next, format string, args ...any) { p.add(refuse(next, format, args...)) }

// err refuses with everything found, or is nil. Errors of the book itself (damaged, busy) and an interruption stand
// for themselves.
func (p *problems) err() error {
	if len(p.found) == 0 {
		return nil
	}
	for _, e := range p.found {
		if errors.Is(e, context.Canceled) {
			return e
		}
		if bad, ok := errors.AsType[*store.UnusableError](e); ok {
			return bad
		}
	}
	return &failure{max(p.code, exitRefused), errors.Join(p.found...).Error(), strings.Join(p.next, "\n")}
}
