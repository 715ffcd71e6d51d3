package main

import (
	"encoding/hex"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

// sealLine is the head of one ledger with the signature over it. Line and Verifier are empty where this book holds
// none for that head.
type sealLine struct {
	Origin   string
	Size     int64
	Root     string // hex
	Line     string // signature line of the C2SP note
	Verifier string // key to check it by, NAME+HASH+KEY
}

// sealsOf gives the signatures over heads of the book as it is now, where there are any. It makes no key: reading never
// writes.
func (a *app) sealsOf(heads []ledger.Head) ([]sealLine, error) {
	var out []sealLine
	for _, h := range heads {
		s, err := a.book.SealOf(a.ctx, h)
		if err != nil {
			return nil, err
		}
		line := sealLine{Origin: h.Origin, Size: h.Size, Root: hex.EncodeToString(h.Root[:])}
		if s.Verifier != "" {
			line.Line, line.Verifier = s.Line(), s.Verifier
		}
		out = append(out, line)
	}
	return out, nil
}

// device opens the book for what this device states about its own ledger in a file: seals, proofs and what is carried to
// other devices. It makes the device's key if there is none yet, once it is clear that out may be written. An invented
// book may do that too; it stays marked.
func (a *app) device(out string, replace bool) error {
	path, err := a.bookPath()
	if err != nil {
		return err
	}
	b, err := store.Open(a.ctx, path, store.ForReading)
	if err != nil {
		return err
	}
	h, rec, err := b.Opening(a.ctx)
	if err != nil {
		return errors.Join(err, b.Close())
	}
	a.use(b, rec, h.Happened, false)
	if out != "" {
		if err := a.mayWrite(out, replace); err != nil {
			return err
		}
	}
	if _, _, ok, err := b.DeviceKey(a.ctx); ok || err != nil {
		return err
	}
	if err := b.Close(); err != nil {
		return err
	}
	if b, err = store.Open(a.ctx, path, store.ForWriting); err != nil {
		a.book = nil
		return err
	}
	a.use(b, rec, h.Happened, true)
	return b.EnsureDeviceKey(a.ctx, a.now(), a.random())
}

func newSealCmd(a *app) *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "seal",
		Short: "Sign size and root of this device's ledger, to hand out",
		Long: `Write a seal: name, size and root of this device's ledger, signed with the device's key (a C2SP checkpoint). Hand it to
somebody outside the office, by mail, in print or as a photo; later "book verify --against" shows whether the book still
holds everything that was sealed. The first seal makes the key of this device and records its public half.

A seal shows that nothing sealed was changed or taken out since. It does not show that an entry is true, that nothing
was left out, or that the clock was right; and a book of which nobody outside holds a seal can be written anew.`,
		Example: "  ringtrue book seal -o seal-2026-07-31.txt",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.device(out, replace); err != nil {
				return err
			}
			s, _, err := a.book.Seal(a.ctx)
			if err != nil {
				return err
			}
			return a.printSeal(s, out, replace)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write; without it the seal is printed")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there")
	return c
}

func (a *app) printSeal(s ledger.Seal, out string, replace bool) error {
	if out != "" {
		if err := a.writeOut(out, s.Text, replace); err != nil {
			return err
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/seal/1", "origin": s.Origin, "size": s.Size, "root": hex.EncodeToString(s.Root[:]),
			"seal": string(s.Text), "verifier": s.Verifier, "fingerprint": ledger.Fingerprint(s.Verifier), "file": out})
	}
	if out == "" { // nothing but the seal, so that it can go into a file
		if a.opening.Demo {
			fmt.Fprintln(a.err, demoMark)
		}
		fmt.Fprint(past(a.out), string(s.Text)) // signed as it stands
		return nil
	}
	a.mark()
	a.say("sealed %d entries of %s in %s", s.Size, s.Origin, out)
	a.say("root %x", s.Root)
	a.say("key %s", s.Verifier)
	a.say("fingerprint of the key: %s", ledger.Fingerprint(s.Verifier))
	a.say("hand it to somebody outside the office; it does not show that an entry is true")
	return nil
}
