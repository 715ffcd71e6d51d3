package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
)

func newModuleAdoptCmd(a *app) *cobra.Command {
	var o adoptFlags
	var write string
	c := &cobra.Command{
		Use:   "adopt FOLDER",
		Short: "Adopt a new edition of the curriculum: the one this program offers, or your own from a folder",
		Long: `Adopt a new edition of the curriculum. --starter takes the edition that this program offers; it says first what each worker would
newly lack and which look or sign-off brings it back, and asks. For an edition of your own, write the one in force into a folder with
--write, change it there, give it a new name in edition.yaml, and adopt the folder. Ids are never reused: a skill that is no longer
taught stays, with "withdrawn: true"; "replaces" names an older skill whose record counts for a new one. Looks already recorded stay
judged by the edition of their day; with --at the new one may begin on a day that lies ahead.`,
		Example: `  ringtrue module adopt --starter --try
  ringtrue module adopt --starter --at 2027-04-12 --yes
  ringtrue module adopt --write curriculum
  ringtrue module adopt curriculum`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case write != "" && len(args) == 0 && !o.starter:
				return a.writeCurriculum(write)
			case o.starter && len(args)+len(write) > 0 || !o.starter && len(args) != 1:
				return usage("see: ringtrue module adopt --help", "module adopt wants FOLDER, or --starter, or --write FOLDER")
			}
			if err := a.write(); err != nil {
				return err
			}
			var p problems
			c, err := curriculumOffered(args, &p)
			if err != nil {
				return err
			}
			one, err := a.newCurriculum(c, &p, o)
			if err != nil {
				return err
			}
			return a.adopt(one, o)
		},
	}
	c.Flags().StringVar(&write, "write", "", "write the edition in force into this new folder, to change it")
	o.on(c)
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

// curriculumOffered reads the curriculum of a folder, or without one the program's own. What lint finds is added to p.
func curriculumOffered(args []string, p *problems) (training.Curriculum, error) {
	if len(args) == 0 {
		return catalogue.Starter()
	}
	folder := args[0]
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return training.Curriculum{}, refuse("make one with: ringtrue module adopt --write FOLDER", "%s is not a folder with a curriculum", folder)
	}
	c, err := catalogue.Parse(os.DirFS(folder))
	if err != nil {
		return c, refuse("mend the files", "%v", err)
	}
	for _, f := range catalogue.Lint(c) {
		p.addf("mend the files", "%s", f.Error())
	}
	return c, nil
}

// newCurriculum is an edition of the curriculum that may be adopted; everything wrong is said at once.
func (a *app) newCurriculum(c training.Curriculum, p *problems, o adoptFlags) (adoption, error) {
	d := a.deedAhead(p, o.at)
	p.add(a.mayAdopt(d.by, d.day))
	one := adoption{d: d, kind: store.KindCurriculum, edition: c.Edition, what: "curriculum " + c.Edition, curriculum: &c}
	old, err := a.curriculum(a.knownNow(d.day))
	if err != nil {
		return one, err
	}
	p.add(a.newEdition(store.KindCurriculum, c.Edition))
	for _, problem := range training.NotKept(old, c) {
		p.addf("ids are withdrawn, never dropped or reused", "%s", problem)
	}
	one.notes = curriculumNotes(old, c)
	return one, p.err()
}

// curriculumNotes says how big an edition is, and what of it has to be decided anew.
func curriculumNotes(old, c training.Curriculum) []string {
	notes := []string{fmt.Sprintf("%d modules, %d task groups", len(c.Modules), len(c.Groups))}
	var gone, groups []string
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			if was, _, ok := old.Skill(s.ID); ok && s.Withdrawn && !was.Withdrawn {
				gone = append(gone, s.ID+" "+s.Title)
			}
		}
	}
	for _, g := range c.Groups {
		if _, ok := old.Group(g.ID); !ok {
			groups = append(groups, g.ID)
		}
	}
	if len(gone) > 0 {
		notes = append(notes, "taught no longer: "+strings.Join(gone, "; "))
	}
	if len(groups) > 0 {
		notes = append(notes, "new task groups, for which nobody is released yet: "+strings.Join(groups, ", "))
	}
	return notes
}
