package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
)

// knownHead is the head of one ledger with what this book knows of its device.
type knownHead struct {
	headLine
	Own    bool     `json:"own"`
	Met    string   `json:"met"`     // when its device last stated its head; "" = never
	GoesOn []string `json:"goes_on"` // ledgers restored in its place
	Gone   string   `json:"gone"`    // since when nothing more is expected of it; "" = it is
	Reason string   `json:"reason"`
}

func newHeadCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "head",
		Short: "Print size and root of each ledger in the book, and what is known of its device",
		Long: `Print size and root of each ledger, computed from the bytes of every entry, with the day on which its device was last met,
the ledger that was restored in its place, or since when it is gone.`,
		Example: "  ringtrue book head",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			list, err := a.knownHeads()
			if err != nil {
				return err
			}
			header := []string{"LEDGER", "ENTRIES", "ROOT", "DEVICE"}
			return listing(a, map[string]any{"format": "ringtrue/head/1", "heads": list}, header, list, func(h knownHead) []string {
				return []string{h.Origin, fmt.Sprint(h.Size), h.Root, h.state()}
			})
		},
	}
}

func (a *app) knownHeads() ([]knownHead, error) {
	heads, err := a.book.Heads(a.ctx)
	if err != nil {
		return nil, err
	}
	states, err := a.book.States(a.ctx)
	if err != nil {
		return nil, err
	}
	list := []knownHead{}
	for _, l := range headLines(heads) {
		s := states[l.Origin]
		h := knownHead{headLine: l, Own: s.Own, Met: moment(s.Met), GoesOn: append([]string{}, s.GoesOn...)}
		if !s.Own && len(s.GoesOn) == 0 && !s.Waits() {
			h.Gone, h.Reason = moment(s.Gone), s.Reason
		}
		list = append(list, h)
	}
	return list, nil
}

// moment writes a time for --json, "" for none.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339)
}

// state says in words what is known of the device.
func (h knownHead) state() string {
	switch {
	case len(h.GoesOn) > 0:
		return "goes on as " + strings.Join(h.GoesOn, " and as ")
	case h.Own:
		return "this device"
	case h.Gone != "":
		return "gone since " + h.Gone[:len(time.DateOnly)] + note(": ", h.Reason)
	case h.Met != "":
		return "last met " + h.Met[:len(time.DateOnly)]
	}
	return "never met"
}

// givenUp says of a ledger that was given up and has grown all the same, or that goes on twice, what to look at.
func givenUp(origin string, grown bool, states map[string]store.State) (notes []string) {
	s := states[origin]
	waits := slices.DeleteFunc(slices.Clone(s.GoesOn), func(next string) bool { return !states[next].Own && !states[next].Waits() })
	if len(waits) > 1 {
		notes = append(notes, fmt.Sprintf("%s goes on twice, as %s: if one of them was a try, say so: ringtrue book gone NAME", origin, strings.Join(waits, " and as ")))
	}
	if s.Own && len(s.GoesOn) > 0 {
		notes = append(notes, "another book goes on in the place of this one: write there, and use this one no more")
	}
	if grown && !s.Own && (len(s.GoesOn) > 0 || !s.Gone.IsZero()) {
		notes = append(notes, fmt.Sprintf("%s was given up, and has grown: look through what is new: ringtrue book dump", origin))
	}
	return notes
}
