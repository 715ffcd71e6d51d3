package main

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// knows says how far this book knows: its own ledger, and when it last met each other device.
func (a *app) knows() (string, error) {
	n, err := a.book.Size(a.ctx, a.book.Origin())
	if err != nil {
		return "", err
	}
	met, err := a.met()
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("as far as this book knows (%s, %d entries; %s)", a.book.Origin(), n, met), nil
}

func (a *app) met() (string, error) {
	origins, err := a.book.Origins(a.ctx)
	if err != nil {
		return "", err
	}
	if len(origins) == 1 {
		return "no other device met yet", nil
	}
	devices, err := a.devices()
	if err != nil {
		return "", err
	}
	var parts []string
	for _, d := range devices {
		parts = append(parts, d.Name+" on "+d.Met)
	}
	if len(parts) == 0 { // ledgers that this one goes on from
		return "holds also " + strings.Join(origins[1:], ", "), nil
	}
	return "last met " + strings.Join(parts, ", "), nil
}

// devices lists the other devices with the day of the last meeting, as their heads were stated then.
func (a *app) devices() ([]hazards.Device, error) {
	seen, err := a.book.Devices(a.ctx)
	var list []hazards.Device
	for _, s := range seen {
		list = append(list, hazards.Device{Name: s.Origin, Met: s.At.In(a.book.Zone()).Format(time.DateOnly)})
	}
	return list, err
}

// reachedLater says which entries an answer counts as known that reached this book only after the moment asked.
func (a *app) reachedLater(asked training.Asked) (string, error) {
	later, err := a.book.ReachedLater(a.ctx, asked.Known)
	if err != nil || len(later) == 0 {
		return "", err
	}
	var parts []string
	for _, r := range later {
		which := "entry " + ledger.Ref(r.Origin, r.First)
		if r.Last > r.First {
			which = fmt.Sprintf("entries %s to %d", ledger.Ref(r.Origin, r.First), r.Last)
		}
		parts = append(parts, which+" on "+a.local(r.On))
	}
	return "; recorded by then, but reached this book only later: " + strings.Join(parts, "; "), nil
}

// founded is the day on which the first ledger of the book was opened: the same on every device. What cannot be read
// leaves the day of this device's own ledger, and is named where it matters.
func (a *app) founded(own civil.Day) civil.Day {
	origins, err := a.book.Origins(a.ctx)
	if err != nil || len(origins) == 1 {
		return own
	}
	facts, err := a.listed(a.knownNow(own), store.KindBook)
	if err != nil {
		return own
	}
	for _, f := range facts {
		own = min(own, f.Day)
	}
	return own
}
