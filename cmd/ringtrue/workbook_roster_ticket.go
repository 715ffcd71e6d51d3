package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// ticket records a ticket that somebody holds. One that the book has is not recorded again, and neither is one that ends
// before what the book has of its kind: the newest of a kind counts.
func (t *rosterTable) ticket(row int) (already int, err error) {
	text := t.text(row, "ticket")
	if text == "" || !t.hasAny("name", "last-name") {
		return 0, nil
	}
	who, ok := t.named(row)
	what, doc, until := slug(text), t.ticketDocument(row), t.day(row, t.untilField())
	if doc == "" {
		t.wrong(t.rowPlace(row, "document"), "name the certificate and its number, or the letter", "a ticket needs its document")
	}
	if !ok || doc == "" {
		return 0, nil
	}
	if have, err := t.hasTicket(who, what, until); have || err != nil {
		return 1, err
	}
	d, err := t.app.ticket(who.Handle, what, until, doc, "")
	t.at(t.place(row, "ticket"), err)
	if err == nil {
		t.did(t.place(row, "ticket"), fmt.Sprintf("%s holds a ticket: %s%s (%s)", who.Handle, what, note(", until ", until), doc), t.ticketNotes(what, until), d.refs...)
	}
	return 0, nil
}

// untilField is the field of the day on which a ticket ends. On a list without equipment "expires" can mean nothing else.
func (t *rosterTable) untilField() string {
	if !t.has("until") && t.has("replace-by") && !t.has("item") {
		return "replace-by"
	}
	return "until"
}

// ticketDocument is the document of a ticket: named, or its number alone, and the day it was given.
func (t *rosterTable) ticketDocument(row int) string {
	doc := t.text(row, "document")
	if doc == "" && !t.has("item") {
		doc = strings.TrimSpace(note("number ", t.text(row, "serial")))
	}
	if doc == "" {
		return ""
	}
	return doc + note(", of ", t.pastDay(row))
}

// hasTicket reports whether the book has a ticket of the kind that ends no earlier.
func (t *rosterTable) hasTicket(who store.Person, what, until string) (bool, error) {
	asked := t.knownNow(civil.Of(t.now(), t.book.Zone()))
	topics, err := t.book.Facts(t.ctx, asked, who.ID)
	if err != nil {
		return false, err
	}
	held, err := t.tickets(topics, asked)
	return slices.ContainsFunc(held, func(h ticketLine) bool {
		return h.What == what && (h.Until == "" || until != "" && h.Until >= until)
	}), err
}

// ticketNotes says what is odd about a ticket.
func (t *rosterTable) ticketNotes(what, until string) (notes []string) {
	if day, err := civil.Parse(until); err == nil && until != "" && day <= civil.Of(t.now(), t.book.Zone()) {
		notes = append(notes, "it has run out")
	}
	if strings.Contains(what, training.DutyFirstAid) && what != training.DutyFirstAid {
		notes = append(notes, "the morning's check looks for a ticket called "+training.DutyFirstAid+": call it so if it is that one")
	}
	return notes
}
