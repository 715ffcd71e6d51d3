package main

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

func newBookCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "book", Short: "The book itself: head, check, seal, copy, strike an entry"}
	c.AddCommand(newHeadCmd(a), newVerifyCmd(a), newSealCmd(a), newProveCmd(a), newBackupCmd(a), newRestoreCmd(a), newCarryCmd(a), newTakeCmd(a), newGoneCmd(a), newDumpCmd(a), newStrikeCmd(a), newRebuildCmd(a))
	return c
}

type headLine struct {
	Origin string `json:"origin"`
	Size   int64  `json:"size"`
	Root   string `json:"root"`
}

func headLines(heads []ledger.Head) []headLine {
	var out []headLine
	for _, h := range heads {
		out = append(out, headLine{h.Origin, h.Size, hex.EncodeToString(h.Root[:])})
	}
	return out
}

func newDumpCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "dump",
		Short: "Print every entry as it is stored, one JSON object a line",
		Long: `Print every entry, a line each: origin, seq, recorded, leaf hash in hex, the stored bytes verbatim, signature.
An entry whose bytes are damaged stands with "entry": null; the command then ends with status 4.`,
		Example: "  ringtrue book dump | head -3",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			if a.opening.Demo {
				fmt.Fprintln(a.err, demoMark)
			}
			return a.dump()
		},
	}
}

func (a *app) dump() error {
	out := bufio.NewWriterSize(a.out, 1<<16)
	origins, err := a.book.Origins(a.ctx)
	if err != nil {
		return err
	}
	bad := 0
	for _, o := range origins {
		for row, err := range a.book.Rows(a.ctx, o, 1, 0) {
			if err != nil {
				return errors.Join(err, out.Flush())
			}
			sound, err := writeDumpLine(out, row)
			if err != nil {
				return err
			}
			if !sound {
				bad++
			}
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	if bad > 0 {
		return &failure{exitDamaged, fmt.Sprintf("%d entries of the book are damaged", bad), "see: ringtrue book verify"}
	}
	return nil
}

// writeDumpLine writes the line by hand, so that the stored bytes pass through untouched.
func writeDumpLine(out *bufio.Writer, row ledger.Row) (sound bool, err error) {
	h, err := ledger.ReadHeader(row.Body)
	sound = err == nil && ledger.Leaf(row.Body) == row.Leaf
	entry := "null"
	if json.Valid(row.Body) {
		entry = string(row.Body)
	}
	sig := "null"
	if row.Sig != nil {
		quoted, _ := json.Marshal(string(row.Sig))
		sig = string(quoted)
	}
	origin, err := json.Marshal(row.Origin)
	if err != nil {
		return sound, err
	}
	recorded := ""
	if !h.Recorded.IsZero() {
		recorded = h.Recorded.Format(time.RFC3339)
	}
	_, err = fmt.Fprintf(out, `{"origin":%s,"seq":%d,"recorded":"%s","leaf":"%x","entry":%s,"sig":%s}`+"\n", origin, row.Seq, recorded, row.Leaf, entry, sig)
	return sound, err
}

func newStrikeCmd(a *app) *cobra.Command {
	var reason, at string
	c := &cobra.Command{
		Use:   "strike ENTRY",
		Short: "Cross out an entry: it says that it never was, and stays readable",
		Long: `Strike an entry. From now on it counts in no answer; answers asked as known before stay as they were. A strike cannot
be struck: enter the fact anew. Striking an observation does not lift what it restricted.`,
		Example: `  ringtrue book strike 412 --reason "wrong worker, it was Ben"`,
		Args:    exactly(1, "ENTRY"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, notes, err := a.strike(args[0], reason, at)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "struck entry "+args[0], notes...)
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why it never was so (required)")
	c.Flags().StringVar(&at, "at", "", "when it was decided")
	return c
}

// neverStruck are kinds that are superseded or ended by other entries, not struck.
var neverStruck = map[string]string{
	store.KindBook:       "it opened the book",
	store.KindCurriculum: "an edition is superseded by adopting another, not struck",
	store.KindHouse:      "an edition is superseded by adopting another, not struck",
	store.KindRules:      "an edition is superseded by adopting another, not struck",
	store.KindStrike:     "a strike cannot be struck; enter the fact anew",
	ledger.KindKey:       "a key is ended, not struck: ringtrue key end",
	ledger.KindKeyEnd:    "a key that was ended stays so; make another: ringtrue key make",
	ledger.KindRoster:    "say it anew: ringtrue key vouch",
	store.KindDevice:     "it names the key of a device, by which seals are checked",
	store.KindForgotten:  "the name is gone",
	store.KindSighting:   "it says what was seen of another device",
}

// strike records a strike.
func (a *app) strike(text, reason, at string) (by store.Person, refs []training.Ref, happened time.Time, notes []string, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(at)
	p.add(err)
	if strings.TrimSpace(reason) == "" {
		p.add(usage("add --reason", "a strike needs its reason"))
	}
	if err = p.err(); err != nil {
		return
	}
	ref, ok, err := a.book.Find(a.ctx, text)
	if err != nil {
		return
	}
	if !ok {
		err = refuse("see the entries: ringtrue book dump", "there is no entry %s", text)
		return
	}
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return
	}
	if why, never := neverStruck[h.Kind]; never {
		err = refuse("record what is right in an entry of its own", "entry %s is not struck: %s", text, why)
		return
	}
	if prior, struck, serr := a.book.StruckBy(a.ctx, ref, 1<<62-1); serr != nil || struck {
		err = firstError(serr, refuse("if it was right after all, enter the fact anew; a strike stands", "entry %s is struck already, by entry %s", text, a.book.Short(prior)))
		return
	}
	if h.Kind == training.KindObservation && ledger.Text(ledger.Lookup(h.Data, "outcome")) == training.CriticalMissed.String() {
		notes = append(notes, "what it restricted stays restricted: only a lift on a later met look lets practice resume")
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindStrike, happened, by.ID, "", "", store.Strike{Entry: a.book.Name(ref), Reason: reason})})
	return
}

func newRebuildCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "rebuild",
		Short:   "Fill the derived rows again from the entries",
		Example: "  ringtrue book rebuild",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			path, err := a.bookPath()
			if err != nil {
				return err
			}
			if a.book, err = store.Open(a.ctx, path, store.ForWriting); err != nil {
				return err
			}
			n, err := a.book.Rebuild(a.ctx)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/rebuild/1", "entries": n})
			}
			a.say("filled the derived rows again from %d entries", n)
			return nil
		},
	}
}
