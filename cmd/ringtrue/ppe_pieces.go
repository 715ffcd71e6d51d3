package main

import (
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// piece is an issued piece of equipment and what became of it.
type piece struct {
	ref    training.Ref
	worker string
	issued time.Time
	training.Issue
	returned  string // condition, once returned
	condemned string // why, once condemned
	looked    civil.Day
	replaceBy civil.Day
}

// usable reports whether a piece may be used on a day. A look that is due is shown, but stops nobody: the daily look
// before use is the one that counts.
func (p piece) usable(day civil.Day) bool {
	return p.returned == "" && p.condemned == "" && !p.old(day)
}

func (p piece) old(day civil.Day) bool { return p.replaceBy != civil.None && day >= p.replaceBy }

func (p piece) unseen(day civil.Day, lookDays int) bool { return day-p.looked > civil.Day(lookDays) }

// pieces lists the equipment issued to a worker, as known and true at the moment asked; "" = everybody's.
func (a *app) pieces(worker string, asked training.Asked) ([]piece, error) {
	issued, err := a.book.Topic(a.ctx, asked, worker, training.KindIssue)
	if err != nil {
		return nil, err
	}
	returned, err := a.book.Topic(a.ctx, asked, worker, training.KindReturn)
	if err != nil {
		return nil, err
	}
	looked, err := a.book.Topic(a.ctx, asked, worker, training.KindInspection)
	if err != nil {
		return nil, err
	}
	var list []piece
	at := map[training.Ref]int{}
	for _, f := range issued {
		if f.Struck || f.At > asked.On {
			continue
		}
		p := piece{ref: f.Entry, replaceBy: civil.None}
		h, err := a.book.Entry(a.ctx, f.Entry, &p.Issue)
		if err != nil {
			return nil, err
		}
		p.worker, p.issued, p.looked = h.Worker, h.Happened, f.Day
		if d, err := civil.Parse(p.ReplaceBy); err == nil {
			p.replaceBy = d
		}
		at[f.Entry] = len(list)
		list = append(list, p)
	}
	for _, f := range slices.Concat(looked, returned) {
		if f.Struck || f.At > asked.On {
			continue
		}
		if err := a.lookAt(f, list, at); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// lookAt takes an inspection or a return into the list.
func (a *app) lookAt(f training.Fact, list []piece, at map[training.Ref]int) error {
	var rec training.Return // an inspection has the same names
	h, err := a.book.Entry(a.ctx, f.Entry, &rec)
	if err != nil {
		return err
	}
	ref, err := a.book.Ref(rec.Issue)
	if err != nil {
		return err
	}
	i, ok := at[ref]
	if !ok {
		return nil
	}
	if h.Kind == training.KindReturn {
		list[i].returned = rec.Condition
	} else {
		list[i].looked = f.Day
	}
	if rec.Condition == condemned {
		list[i].condemned = rec.Reason
	}
	return nil
}

// held finds the one piece of an item that a worker holds.
func (a *app) held(who store.Person, item string, asked training.Asked) (training.Ref, error) {
	list, err := a.pieces(who.ID, asked)
	if err != nil {
		return 0, err
	}
	list = slices.DeleteFunc(list, func(p piece) bool { return p.returned != "" || p.Item != item && a.book.Short(p.ref) != item })
	if whole := slices.DeleteFunc(slices.Clone(list), func(p piece) bool { return p.condemned != "" }); len(whole) == 1 {
		list = whole // beside a condemned one, the other is meant; that one is named by its entry
	}
	var found []training.Ref
	var names []string
	for _, p := range list {
		found = append(found, p.ref)
		names = append(names, a.book.Short(p.ref))
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, refuse("see: ringtrue ppe list "+who.Handle, "%s holds no %s", who.Name, item)
	}
	return 0, refuse("name the entry instead of the item: "+strings.Join(names, ", "), "%s holds several pieces: %s", who.Name, item)
}

// state says in a word how a piece stands on a day.
func (p piece) state(day civil.Day, lookDays int) string {
	switch {
	case p.condemned != "":
		return condemned
	case p.returned != "":
		return "returned"
	case p.old(day):
		return "replace"
	case p.unseen(day, lookDays):
		return "look due"
	}
	return "held"
}
