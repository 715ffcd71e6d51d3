package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
)

func newModuleAdoptCmd(a *app) *cobra.Command {
	var at, write string
	c := &cobra.Command{
		Use:   "adopt FOLDER",
		Short: "Adopt a new edition of the curriculum from a folder",
		Long: `Adopt a new edition of the curriculum. Write the edition in force into a folder with --write, change it there, give
it a new name in edition.yaml, and adopt the folder. Ids are never reused: a skill that is no longer taught stays, with
"withdrawn: true"; "replaces" names an older skill whose record counts for a new one. Looks already recorded stay
judged by the edition of their day.`,
		Example: "  ringtrue module adopt --write curriculum\n  ringtrue module adopt curriculum",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case write != "" && len(args) == 0:
				return a.writeCurriculum(write)
			case len(args) != 1:
				return usage("see: ringtrue module adopt --help", "module adopt wants FOLDER, or --write FOLDER")
			}
			if err := a.write(); err != nil {
				return err
			}
			d, c, err := a.adoptCurriculum(args[0], at)
			if err != nil {
				return err
			}
			return a.recorded(d, "adopted curriculum "+c.Edition, fmt.Sprintf("%d modules, %d task groups", len(c.Modules), len(c.Groups)))
		},
	}
	c.Flags().StringVar(&write, "write", "", "write the edition in force into this new folder, to change it")
	c.Flags().StringVar(&at, "at", "", "since when it holds")
	return c
}

func (a *app) writeCurriculum(folder string) error {
	std, _, err := a.standardsAsked(questionTimes{})
	if err != nil {
		return err
	}
	if _, err := os.Lstat(folder); err == nil {
		return refuse("name a folder that is not there yet", "%s is there already", folder)
	}
	files, err := catalogue.Files(std.Curriculum)
	if err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(folder, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return fmt.Errorf("write the curriculum: %w", err)
		}
		if err := os.WriteFile(path, f.Text, 0o600); err != nil {
			return fmt.Errorf("write the curriculum: %w", err)
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/curriculum-folder/1", "edition": std.Curriculum.Edition, "folder": folder})
	}
	a.say("wrote curriculum %s into %s; change it, name it anew in edition.yaml, then: ringtrue module adopt %s", std.Curriculum.Edition, folder, folder)
	return nil
}

// adoptCurriculum records a new edition of the curriculum after every check, all findings at once.
func (a *app) adoptCurriculum(folder, at string) (d deed, c training.Curriculum, err error) {
	var p problems
	d = a.deed(&p, at)
	p.add(a.mayAdopt(d.by, d.day))
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		p.add(refuse("make one with: ringtrue module adopt --write FOLDER", "%s is not a folder with a curriculum", folder))
		return d, c, p.err()
	}
	if c, err = catalogue.Parse(os.DirFS(folder)); err != nil {
		p.add(refuse("mend the files", "%v", err))
		return d, c, p.err()
	}
	for _, f := range catalogue.Lint(c) {
		p.addf("mend the files", "%s", f.Error())
	}
	old, err := a.curriculum(a.knownNow(d.day))
	if err != nil {
		return d, c, err
	}
	p.add(a.newEdition(store.KindCurriculum, c.Edition))
	for _, problem := range training.NotKept(old, c) {
		p.addf("ids are withdrawn, never dropped or reused", "%s", problem)
	}
	if err := p.err(); err != nil {
		return d, c, err
	}
	d, err = a.keepAll(d, []ledger.Entry{{Kind: store.KindCurriculum, Happened: d.happened, By: d.by.ID, Data: c, Catalogue: true}})
	return d, c, err
}
