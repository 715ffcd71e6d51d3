package main

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
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
	to := a.out
	if !terminal(to) {
		to = past(to) // byte for byte: whoever reads it checks the hashes
	}
	out := bufio.NewWriterSize(to, 1<<16)
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
