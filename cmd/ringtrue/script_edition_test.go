package main

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

// scriptEdition writes an edition of the house rules into the book as it was written before floors came: without any, here and in
// the local rules that it writes beside it, and whatever its numbers are.
func scriptEdition(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: edition NAME RULE=VALUE...")
	}
	h, err := house.Starter()
	ts.Check(err)
	h.Edition, h.Floors = args[0], nil
	for _, set := range args[1:] {
		key, value, _ := strings.Cut(set, "=")
		i := slices.IndexFunc(h.Numbers, func(n house.Number) bool { return n.Key == key })
		h.Numbers[i].Value = value
	}
	local, err := rules.Starter()
	ts.Check(err)
	local.Edition = "before floors"
	for i := range local.Jurisdictions {
		local.Jurisdictions[i].Floors = nil
	}
	b, err := store.Open(context.Background(), ts.Getenv("RINGTRUE_BOOK"), store.ForWriting)
	ts.Check(err)
	defer b.Close()
	_, opening, err := b.Opening(context.Background())
	ts.Check(err)
	at, err := time.ParseInLocation("2006-01-02T15:04", ts.Getenv("NOW"), time.UTC)
	ts.Check(err)
	_, err = b.Append(context.Background(), at, []ledger.Entry{
		{Kind: store.KindHouse, Happened: at, By: opening.Owner, Data: h, Catalogue: true},
		{Kind: store.KindRules, Happened: at, By: opening.Owner, Data: local, Catalogue: true},
	})
	ts.Check(err)
}
