package main

import (
	"encoding/hex"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/ledger"
)

func newProveCmd(a *app) *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "prove ENTRY -o FILE",
		Short: "Write a proof that one entry is in the book, to be checked without the book",
		Long: `Write one entry of this device's ledger with a proof that it stands under the seal of this moment (a C2SP tlog-proof). Whoever
gets the file checks it with "book verify --proof FILE" and needs no book for it. The other entries are not in the file;
the entry itself is, and it holds person ids but no names.

A proof says that the entry is in the book as it was sealed. It does not say that the entry is true, nor whether a
later entry strikes it.`,
		Example: "  ringtrue book prove 412 -o sign-off-ana.tlog-proof",
		Args:    exactly(1, "ENTRY"),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return usage("add -o FILE.tlog-proof", "where to write: -o is missing")
			}
			p, err := a.prove(args[0], out, replace)
			if err != nil {
				return err
			}
			if err := a.writeOut(out, p.Format(), replace); err != nil {
				return err
			}
			return a.printProof(p, out)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (required)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there")
	return c
}

func (a *app) prove(text, out string, replace bool) (ledger.Proof, error) {
	var p ledger.Proof
	if err := a.read(); err != nil {
		return p, err
	}
	ref, ok, err := a.book.Find(a.ctx, text)
	if err != nil {
		return p, err
	}
	if !ok {
		return p, refuse("see the entries: ringtrue book dump", "there is no entry %s", text)
	}
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return p, err
	}
	if h.Origin != a.book.Origin() {
		return p, refuse("make the proof on that device", "entry %s stands in the ledger of another device, which alone can seal it", text)
	}
	if err := a.device(out, replace); err != nil {
		return p, err
	}
	s, leaves, err := a.book.Seal(a.ctx)
	if err != nil {
		return p, err
	}
	for row, err := range a.book.Rows(a.ctx, h.Origin, h.Seq, h.Seq) {
		if err != nil {
			return p, err
		}
		return ledger.Prove(leaves, h.Seq, slices.Clone(row.Body), s)
	}
	return p, refuse("see the whole extent: ringtrue book verify", "entry %s is gone", text)
}

func (a *app) printProof(p ledger.Proof, out string) error {
	h, s, err := p.Check("")
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/prove/1", "entry": ledger.Ref(h.Origin, h.Seq), "file": out,
			"size": s.Size, "root": hex.EncodeToString(s.Root[:]), "verifier": s.Verifier, "fingerprint": ledger.Fingerprint(s.Verifier)})
	}
	a.mark()
	a.say("wrote the proof of entry %s to %s", ledger.Ref(h.Origin, h.Seq), out)
	a.say("it stands under the seal of %d entries, root %x", s.Size, s.Root)
	a.say("fingerprint of the key, to be told apart from the file: %s", ledger.Fingerprint(s.Verifier))
	a.say("check it anywhere: ringtrue book verify --proof %s", out)
	return nil
}

// checkProof checks a proof without any book.
func (a *app) checkProof(path, key string) error {
	if _, err := publicKey(key); key != "" && err != nil {
		return usage("give it as it was told, NAME+HASH+KEY", "--key: %v", err)
	}
	text, err := readGiven(path, ledger.MaxProof)
	if err != nil {
		return err
	}
	p, err := ledger.ReadProof(text)
	if err != nil {
		return refuse("ask for the file again", "%s: %v", path, err)
	}
	h, s, err := p.Check(key)
	if err != nil {
		return &failure{exitDamaged, path + ": " + err.Error(), "ask for the file again, and tell whoever gave it what was wrong"}
	}
	trust := "by the key that you named"
	if key == "" {
		trust = "by the key named in the file itself: compare its fingerprint with one told to you another way"
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/proof/1", "good": true, "entry": ledger.Ref(h.Origin, h.Seq), "kind": h.Kind,
			"body": string(p.Entry), "size": s.Size, "root": hex.EncodeToString(s.Root[:]), "verifier": s.Verifier,
			"fingerprint": ledger.Fingerprint(s.Verifier), "key_named": key != "", "note": proofCaution})
	}
	a.say("good: entry %s, of kind %s, is among the %d entries sealed for %s", ledger.Ref(h.Origin, h.Seq), h.Kind, s.Size, s.Origin)
	a.say("signed %s", trust)
	a.say("fingerprint %s, key %s", ledger.Fingerprint(s.Verifier), s.Verifier)
	a.say("%s", p.Entry)
	a.say("%s", proofCaution)
	return nil
}

const proofCaution = "it does not show that the entry is true, nor whether a later entry strikes it"

// readGiven reads a file that somebody else may have made, up to a number of bytes.
func readGiven(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, refuse("name the file that you were given", "read %s: %v", path, err)
	case !info.Mode().IsRegular():
		return nil, refuse("name the file that you were given", "read %s: it is not a file", path)
	case info.Size() > limit:
		return nil, refuse("name the file that you were given", "read %s: it has %d bytes, more than the %d allowed", path, info.Size(), limit)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, refuse("check who may read the file", "read %s: %v", path, err)
	}
	return text, nil
}
