package main

import (
	"strings"
	"time"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// clockForms are the ways to write a moment on the command line, beside a plain day; without an offset they are in
// the book's zone.
var clockForms = []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04"}

const timeHelp = "write a day (2026-05-05), a day and clock time (2026-05-05T10:20) or an RFC 3339 moment"

// parseMoment reads a moment or a day; isDay tells which.
func parseMoment(text string, zone *time.Location) (t time.Time, day civil.Day, isDay bool, ok bool) {
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, civil.Of(t, zone), false, true
	}
	for _, form := range clockForms {
		if t, err := time.ParseInLocation(form, text, zone); err == nil && t.Format(form) == text { // the clock jumps over some times of one night a year
			return t, civil.Of(t, zone), false, true
		}
	}
	if d, err := civil.Parse(text); err == nil {
		return d.Noon(zone), d, true, true
	}
	return time.Time{}, civil.None, false, false
}

// readMoment reads a moment or a day as people type it; now is in the book's zone.
func readMoment(text string, now time.Time) (t time.Time, day civil.Day, isDay bool, ok bool) {
	if t, day, isDay, ok = parseMoment(text, now.Location()); ok {
		return t, day, isDay, ok
	}
	return parseMoment(meantTime(text, civil.Of(now, now.Location())), now.Location())
}

// happened reads --at: when something was true. Empty means now; a day without a time means 12:00, or now if it is
// today and not yet noon. It never lies in the future.
func (a *app) happened(at string) (time.Time, error) { return happenedIn(at, a.book.Zone(), a.now()) }

func happenedIn(at string, zone *time.Location, now time.Time) (time.Time, error) {
	now = now.In(zone).Truncate(time.Second)
	if at == "" {
		return now, nil
	}
	t, day, isDay, ok := readMoment(at, now)
	if !ok {
		return now, usage(timeNext(at, civil.Of(now, zone)), "--at %q is not a time that exists", at) // with now, what else is wrong can be told
	}
	if isDay && day == civil.Of(now, zone) && t.After(now) {
		t = now
	}
	if t.After(now) {
		return t, refuse("what happened lies back; say when it was with --at", "--at %s is in the future; it is %s now", at, now.Format("2006-01-02 15:04"))
	}
	return t.Truncate(time.Second), nil
}

// questionTimes are the flags --on and --known of questions.
type questionTimes struct{ on, known string }

// question opens the book for one, and reads its flags.
func (a *app) question(q questionTimes) (training.Asked, error) {
	if err := a.read(); err != nil {
		return training.Asked{}, err
	}
	return a.asked(q)
}

// asked reads --on (what was true then; may lie ahead) and --known (as far as this book knew then; may not). A day
// means its end.
func (a *app) asked(q questionTimes) (training.Asked, error) {
	now := a.now().In(a.book.Zone())
	today := civil.Of(now, a.book.Zone())
	out, err := a.book.AskedNow(a.ctx, today)
	if err != nil {
		return out, err
	}
	if q.on != "" {
		t, day, isDay, ok := readMoment(q.on, now)
		if !ok {
			return out, usage(timeNext(q.on, today), "--on %q is not a time that exists", q.on)
		}
		out.Day, out.On = day, t.Unix()
		if isDay {
			out.On = day.End(a.book.Zone()).Unix() - 1
		}
	}
	if q.known == "" {
		return out, nil
	}
	t, day, isDay, ok := readMoment(q.known, now)
	if !ok {
		return out, usage(timeNext(q.known, today), "--known %q is not a time that exists", q.known)
	}
	if day > today || (!isDay && t.After(now)) {
		return out, refuse("--known asks what the book knew then; name a day up to today", "--known %s is in the future; the book does not know yet what it will know", q.known)
	}
	switch {
	case !isDay:
		out.Known = t.Unix()
	case day < today: // of today it is everything
		out.Known = day.End(a.book.Zone()).Unix() - 1
	}
	return out, nil
}

// parseDay reads a flag that takes a day; empty stays civil.None.
func parseDay(flag, text string) (civil.Day, error) {
	if text == "" {
		return civil.None, nil
	}
	d, err := civil.Parse(meantTime(text, civil.None))
	if err != nil {
		next := "write a day that exists, as 2026-05-05"
		if list := perhaps(text, civil.None); len(list) > 0 {
			next = "nearest: " + strings.Join(list, " or ") + "; " + next
		}
		return d, usage(next, "--%s: %q is not a day that exists", flag, text)
	}
	return d, nil
}
