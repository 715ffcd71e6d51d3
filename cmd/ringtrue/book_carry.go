package main

import (
	"errors"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

func newCarryCmd(a *app) *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "carry -o FILE",
		Short: "Write everything this book knows to a file, for the other devices",
		Long: `Write a file with all entries of this book, of this device and of those met before, with the seal of each ledger, for
"book take" on the other devices. It can be taken on any device, in any order and any number of times.

Names, short ids and contacts of the crew travel in the file, because the other trucks need them; forgotten people are
not in it. Private keys never leave the device. The file is not encrypted: carry it as you would carry the book.`,
		Example: "  ringtrue book carry -o /media/stick/truck-1.carry",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if out == "" {
				return usage("add -o FILE", "where to write: -o is missing")
			}
			if err := a.device(out, replace); err != nil {
				return err
			}
			done, err := a.carry(out)
			if err != nil {
				return err
			}
			return a.printCarried(out, done)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (required)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there")
	return c
}

// carry writes the file for its owner alone; it appears when it is whole.
func (a *app) carry(out string) (store.Carried, error) {
	f, err := os.CreateTemp(filepath.Dir(out), ".ringtrue-*") // mode 0600
	if err != nil {
		return store.Carried{}, unwritten("write "+out, err)
	}
	done, err := a.book.Carry(a.ctx, f, toolVersion, a.now())
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), out)
	}
	if err != nil {
		_ = os.Remove(f.Name())
		return done, a.exportFailed(err)
	}
	return done, nil
}

// carriedLine is one ledger in a carried file.
type carriedLine struct {
	Origin      string `json:"origin"`
	Size        int64  `json:"size"`
	Fingerprint string `json:"fingerprint"` // of its key, "" = it has none
}

func (a *app) printCarried(out string, done store.Carried) error {
	list := []carriedLine{}
	for _, l := range done.Ledgers {
		list = append(list, carriedLine{l.Origin, l.Size, fingerprintOf(l.Verifier)})
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/carry/1", "file": out, "ledgers": list, "entries": done.Entries, "people": done.Persons})
	}
	a.mark()
	a.say("wrote %d entries and %d names to %s", done.Entries, done.Persons, out)
	for _, l := range list {
		a.say("  %s, %d entries%s", l.Origin, l.Size, note(", fingerprint of its key ", l.Fingerprint))
	}
	a.say("on the other device: ringtrue book take %s", filepath.Base(out))
	return nil
}

func fingerprintOf(verifier string) string {
	if verifier == "" {
		return ""
	}
	return ledger.Fingerprint(verifier)
}

func newTakeCmd(a *app) *cobra.Command {
	var device string
	c := &cobra.Command{
		Use:   "take FILE",
		Short: "Take what another device carried here",
		Long: `Take the entries and names that this book lacks from a file that another device wrote with "book carry". The whole file is
checked first, against itself and against this book; where something is wrong, nothing of it is taken. Taking a file
again, or an older one, changes nothing. Entries keep the time at which their own device recorded them.

The key of a device is trusted the first time it is met: compare the fingerprint with what its own screen says on "book carry".

On a device without a book, --device NAME makes one from the file: this device's own ledger beside those of the others.

A file is refused that holds another version of a ledger, as happens when a copy of a book is used beside the book
itself; that holds a kind of entry this version does not know; or that is larger than 2 GiB.`,
		Example: `  ringtrue book take /media/stick/truck-1.carry
  # the first time on a second laptop
  ringtrue book take truck-1.carry --device truck-2`,
		Args: exactly(1, "FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			t, err := a.take(args[0], device)
			if refusal, ok := errors.AsType[*store.RefusedError](err); ok {
				return refuse(refusal.Next, "%s; nothing was taken", refusal.What)
			}
			if err != nil {
				return err
			}
			return a.printTaken(args[0], t)
		},
	}
	c.Flags().StringVar(&device, "device", "", "make this device's own book from the file, with a ledger of that name")
	return c
}

// take takes a carried file into the book, or makes the book of a further device from it.
func (a *app) take(file, device string) (store.Taken, error) {
	path, err := a.bookPath()
	if err != nil {
		return store.Taken{}, err
	}
	if device != "" {
		if slug(device) != device {
			return store.Taken{}, usage("lower-case letters, digits and hyphens, as truck-2", "--device %q is not a name for a device", device)
		}
		if _, err := os.Lstat(path); err == nil {
			return store.Taken{}, refuse("leave --device out to take the file into that book", "there is a book at %s already, which has a ledger of its own", path)
		}
		b, t, err := store.StartFrom(a.ctx, file, path, device, toolVersion, a.now(), a.random())
		if err != nil {
			return t, err
		}
		return t, a.took(b)
	}
	b, err := store.Open(a.ctx, path, store.ForWriting)
	if err != nil {
		return store.Taken{}, err
	}
	a.book = b
	t, err := b.Take(a.ctx, file, a.now())
	if err != nil {
		return t, err
	}
	return t, a.took(b)
}

func (a *app) took(b *store.Book) error {
	h, rec, err := b.Opening(a.ctx)
	if err == nil {
		a.use(b, rec, h.Happened, true)
	}
	return err
}

// metLine is one ledger that a file brought.
type metLine struct {
	Origin      string `json:"origin"`
	Size        int64  `json:"size"`
	New         int64  `json:"new"`
	First       bool   `json:"first"` // met for the first time
	Fingerprint string `json:"fingerprint"`
}

func (a *app) printTaken(file string, t store.Taken) error {
	list, entries := []metLine{}, int64(0)
	for _, m := range t.Met {
		list = append(list, metLine{m.Origin, m.Size, m.New, m.First, fingerprintOf(m.Verifier)})
		entries += m.New
	}
	notes, err := a.takeNotes(t)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/take/1", "notes": notes, "file": file, "from": t.Carrier, "book": a.book.Path(), "origin": a.book.Origin(),
			"ledgers": list, "new_entries": entries, "new_people": t.Persons, "forgotten": t.Forgotten})
	}
	a.mark()
	a.say("took %d new entries and %d new names from %s", entries, t.Persons, t.Carrier)
	for _, m := range list {
		switch {
		case m.Origin == a.book.Origin():
			continue
		case m.First:
			a.say("  %s: %d entries, met for the first time; compare its fingerprint with its own screen: %s", m.Origin, m.New, m.Fingerprint)
		default:
			a.say("  %s: %d new of %d entries", m.Origin, m.New, m.Size)
		}
	}
	if t.Forgotten > 0 {
		a.say("  erased %d names that another device had forgotten", t.Forgotten)
	}
	for _, n := range notes {
		a.say("  %s", n)
	}
	a.say("this book goes on as %s", a.book.Origin())
	return nil
}

// takeNotes says what to look at in what was taken.
func (a *app) takeNotes(t store.Taken) ([]string, error) {
	states, err := a.book.States(a.ctx)
	notes := []string{}
	for _, m := range t.Met {
		notes = append(notes, givenUp(m.Origin, m.New > 0 && !m.First, states)...)
	}
	return notes, err
}
