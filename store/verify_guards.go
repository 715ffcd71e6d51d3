package store

import (
	"context"
	"fmt"
	"strings"

	"example.org/ringtrue/store/ledger"
)

const strangeNext = "ask who put it there and what it does; write to the book only after it was taken out"

// inSchema is one thing that the file holds: a table, an index, a view or a trigger.
type inSchema struct{ kind, name, text string }

// verifySchema looks for the triggers that guard the entries against slips, and for whatever ringtrue did not make. The
// guards are no evidence, so their absence is harmless, and so is a further table. Another trigger, a view in the place of a
// table, an index whose content nobody checks, or a table made otherwise is not: it may change what is written or read later.
func (b *Book) verifySchema(ctx context.Context, _ *sums, rep *Report) error {
	texts := map[string]string{}
	tables, derived := made()
	var one inSchema
	err := b.each(ctx, []any{&one.kind, &one.name, &one.text}, func() error {
		texts[one.name] = one.text
		b.strange(one, tables, derived, rep)
		return nil
	}, `SELECT type, name, coalesce(sql, '') FROM sqlite_schema ORDER BY name`)
	if err != nil {
		return err
	}
	for _, g := range guards {
		if texts[g.name] != g.text {
			rep.find(b.origin, ledger.Harmless, "the trigger "+g.name+" that guards entries against slips is not there", "put it back: ringtrue book rebuild")
		}
	}
	return nil
}

// strange adds a finding for a thing that ringtrue did not make, or not so.
func (b *Book) strange(one inSchema, tables map[string]string, derived map[string]bool, rep *Report) {
	text, ours := tables[one.name]
	switch {
	case one.kind == "trigger" && isGuard(one.name), one.kind == "table" && ours && one.text == text,
		one.kind == "index" && one.text == "", one.kind == "table" && strings.HasPrefix(one.name, "sqlite_"): // SQLite's own
		return
	case one.kind == "table" && ours && derived[one.name]:
		rep.find(b.origin, ledger.Damaged, "the table "+one.name+" is not as ringtrue makes it", rebuildNext)
	case one.kind == "table" && ours:
		rep.find(b.origin, ledger.Damaged, "the table "+one.name+" is not as ringtrue makes it", restoreNext)
	case one.kind == "table":
		rep.find(b.origin, ledger.Harmless, "the file holds a table "+one.name+" that ringtrue did not make, and does not read", "ask who put it there")
	case one.kind == "index":
		rep.find(b.origin, ledger.NotTrusted, "the file holds an index "+one.name+" that ringtrue did not make", strangeNext)
	default:
		rep.find(b.origin, ledger.NotTrusted, fmt.Sprintf("the file holds a %s %s that ringtrue did not make", one.kind, one.name), strangeNext)
	}
}

func isGuard(name string) bool {
	for _, g := range guards {
		if g.name == name {
			return true
		}
	}
	return false
}
