package main

import (
	"fmt"
	"slices"
	"strconv"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// strikeKey names one answer that a strike might change.
type strikeKey struct{ what, worker, of string }

// strikeAnswers are the answers about whatever an entry touches, as words.
type strikeAnswers map[strikeKey]string

// strikeChanges finds what a strike changes: everything the entry touches is asked as it is, and again as if it were struck.
func (a *app) strikeChanges(s strikeAsked) ([]store.StrikeChange, error) {
	before, err := a.answersAround(s)
	if err != nil {
		return nil, err
	}
	var after strikeAnswers
	err = a.book.Supposing(s.ref, func() (err error) {
		after, err = a.answersAround(s)
		return err
	})
	return changesOf(before, after), err
}

func changesOf(before, after strikeAnswers) []store.StrikeChange {
	var out []store.StrikeChange
	add := func(k strikeKey) {
		if before[k] != after[k] {
			out = append(out, store.StrikeChange{What: k.what, Worker: k.worker, Of: k.of, Before: before[k], After: after[k]})
		}
	}
	for k := range before {
		add(k)
	}
	for k := range after {
		if _, both := before[k]; !both {
			add(k)
		}
	}
	slices.SortFunc(out, func(x, y store.StrikeChange) int {
		return slices.Compare([]string{x.What, x.Worker, x.Of}, []string{y.What, y.Worker, y.Of})
	})
	return out
}

// answersAround asks about the worker, saw or block of the entry to be struck.
func (a *app) answersAround(s strikeAsked) (strikeAnswers, error) {
	out := strikeAnswers{}
	asked := a.knownNow(civil.Of(a.now(), a.book.Zone()))
	if w := s.struck.Worker; w != "" {
		if err := a.answersOfWorker(out, w, asked); err != nil {
			return nil, err
		}
	}
	if saw := ledger.Text(ledger.Lookup(s.struck.Data, "saw")); saw != "" && s.struck.Worker == "" {
		if err := a.answersOfSaw(out, saw, asked); err != nil {
			return nil, err
		}
	}
	if s.struck.Kind == store.KindBlock {
		cards, err := a.cards(asked)
		if err != nil {
			return nil, err
		}
		for _, c := range cards {
			out[strikeKey{store.ChangeCard, "", c.ID}] = strconv.Itoa(c.Edition)
		}
	}
	return out, nil
}

func (a *app) answersOfWorker(out strikeAnswers, worker string, asked training.Asked) error {
	std, err := a.standards(asked)
	if err != nil {
		return err
	}
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return err
	}
	for id, st := range standingsOf(topics, std, asked, nil) {
		out[strikeKey{store.ChangeSkill, worker, id}] = string(st.Word)
	}
	perms, err := a.permissions(worker, std, asked)
	if err != nil {
		return err
	}
	for id, p := range perms {
		out[strikeKey{store.ChangeTask, worker, id}] = p.Level.String()
	}
	list, err := a.appointmentsOf(worker, asked)
	for _, duty := range training.Duties {
		if may(list, worker, duty, "", asked.Day) {
			out[strikeKey{store.ChangeDuty, worker, duty}] = "named"
		}
	}
	for _, f := range topics[training.KindLeave] {
		if !f.Struck {
			out[strikeKey{store.ChangeHere, worker, ""}] = "has left"
		}
	}
	return err
}

func (a *app) answersOfSaw(out strikeAnswers, saw string, asked training.Asked) error {
	list, err := a.saws(asked)
	if err != nil {
		return err
	}
	card, err := a.pickTagged(list, saw)
	if err != nil { // its only entry is the one to be struck
		return nil
	}
	at, err := a.standOf(card, asked)
	if err == nil {
		out[strikeKey{store.ChangeSaw, "", saw}] = at.word()
	}
	return err
}

// strikeWords says one change in words.
func strikeWords(c store.StrikeChange, people *people) string {
	who := people.handle(c.Worker)
	switch c.What {
	case store.ChangeSkill:
		if c.Before == string(training.SignedOff) || c.Before == string(training.Due) {
			return fmt.Sprintf("ends the sign-off of %s for %s: %s", who, c.Of, c.After)
		}
		return fmt.Sprintf("%s, %s: %s becomes %s", who, c.Of, c.Before, c.After)
	case store.ChangeTask:
		return fmt.Sprintf("%s, %s: %s becomes %s", who, c.Of, c.Before, c.After)
	case store.ChangeDuty:
		if c.After == "" {
			return who + " is no longer named to " + c.Of
		}
		return who + " is named to " + c.Of + " again"
	case store.ChangeHere:
		if c.After == "" {
			return who + " has not left"
		}
		return who + " has left"
	case store.ChangeSaw:
		return fmt.Sprintf("saw %s: %s becomes %s", c.Of, orNone(c.Before), orNone(c.After))
	}
	if c.After == "" {
		return "block " + c.Of + " has no card"
	}
	return fmt.Sprintf("block %s: card edition %s becomes edition %s", c.Of, orNone(c.Before), c.After)
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}
