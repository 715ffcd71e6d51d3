package store

import (
	"context"
	"fmt"
	"slices"

	"example.org/ringtrue/store/ledger"
)

const strangeNext = "ask who put it there and what it does; write to the book only after it was taken out"

// verifyGuards looks for the triggers that guard the entries against slips. They are no evidence, so their absence is
// harmless. Another trigger, or a view in the place of a table, is not: it may change what is written or read later.
func (b *Book) verifyGuards(ctx context.Context, _ *sums, rep *Report) error {
	have := map[string]string{}
	var strange []string
	var kind, name, text string
	err := b.each(ctx, []any{&kind, &name, &text}, func() error {
		have[name] = text
		if kind == "view" || !slices.ContainsFunc(guards, func(g guard) bool { return g.name == name }) {
			strange = append(strange, kind+" "+name)
		}
		return nil
	}, `SELECT type, name, sql FROM sqlite_schema WHERE type IN ('trigger', 'view') ORDER BY name`)
	if err != nil {
		return err
	}
	for _, g := range guards {
		if have[g.name] != g.text {
			rep.find(b.origin, ledger.Harmless, "the trigger "+g.name+" that guards entries against slips is not there", "put it back: ringtrue book rebuild")
		}
	}
	for _, what := range strange {
		rep.find(b.origin, ledger.NotTrusted, fmt.Sprintf("the file holds a %s that ringtrue did not make", what), strangeNext)
	}
	return nil
}
