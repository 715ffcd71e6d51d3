package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
)

func newBackupCmd(a *app) *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "backup -o FILE",
		Short: "Write a copy of the whole book, and check it",
		Long: `Write a copy of the book as it is at this moment, also while others work with it. The copy is read back and every entry
of it checked before it gets its name; a file that is there is never replaced. Keep copies away from this device.

A copy holds names and contacts, and this device's private key: keep it as well as the book. Names forgotten later stay
in it, so throw away old copies. To go on from a copy: ringtrue book restore.`,
		Example: "  ringtrue book backup -o /media/stick/book-2026-07-31.db",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if out == "" {
				return usage("add -o FILE", "where to write: -o is missing")
			}
			if err := a.read(); err != nil {
				return err
			}
			if err := a.mayCreate(out); err != nil {
				return err
			}
			path, err := filepath.Abs(out)
			if err != nil {
				return err
			}
			rep, err := a.book.Backup(a.ctx, path)
			if err != nil {
				return a.exportFailed(err)
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/backup/1", "file": out, "entries": rep.Entries, "heads": headLines(rep.Heads)})
			}
			a.mark()
			a.say("copied %d entries to %s and read them back: %s", rep.Entries, out, copiedAs(rep))
			a.say("go on from it after a loss: ringtrue book restore %s --book NEW", out)
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (required)")
	return c
}

// copiedAs says what a copy is worth. A signature that is not trusted does not keep a book from being copied: nothing mends it,
// and without copies all the rest would be lost with the file.
func copiedAs(rep store.Report) string {
	if rep.Sound() {
		return "sound"
	}
	return "nothing is damaged, though not all is trusted; see: ringtrue book verify"
}

func newRestoreCmd(a *app) *cobra.Command {
	var device string
	c := &cobra.Command{
		Use:   "restore FILE",
		Short: "Go on from a backup, under a new ledger that names the old one",
		Long: `Make a book from a backup where none is. The backup is checked whole first. The book goes on under a ledger of its
own, the old name with the next number and four letters drawn at random (truck-7.2-k4n0) or --device: the old ledger may have
grown after the backup was made, and a ledger written twice cannot be told from a forged one. The first entry of the new ledger
names the old one and its head; from then on no answer waits for the old one.

What was recorded after the backup is not in it; take it from the files of other devices with "book take", or enter it
anew. Of one backup, restore one book only; where it must be two, never give both the same --device.`,
		Example: `  ringtrue book restore /media/stick/book-2026-07-31.db
  ringtrue book restore book-2026-07-31.db --book new.db --device office`,
		Args: exactly(1, "FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			path, err := a.bookPath()
			if err != nil {
				return err
			}
			if device != "" && slug(device) != device {
				return usage("lower-case letters, digits and hyphens, as truck-7", "--device %q is not a name for a device", device)
			}
			r, err := store.Restore(a.ctx, args[0], path, device, a.now(), a.random())
			if err != nil {
				return err
			}
			if err := a.read(); err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/restore/1", "book": path, "origin": r.Origin, "entries": r.Report.Entries,
					"from": headLine{r.From.Origin, r.From.Size, fmt.Sprintf("%x", r.From.Root)}})
			}
			a.mark()
			a.say("restored %d entries to %s, every one checked: %s", r.Report.Entries, path, copiedAs(r.Report))
			a.say("the book goes on as %s from %s at %d entries", r.Origin, r.From.Origin, r.From.Size)
			a.say("what was recorded after the backup is not in it; take it from other devices: ringtrue book take FILE")
			a.say("tell the other devices: ringtrue book carry; should the old one turn up, write in it no more, and take its file")
			return nil
		},
	}
	c.Flags().StringVar(&device, "device", "", "name of this device's ledger from now on (default: the old name with the next number and four letters)")
	return c
}
