package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
)

func newModuleCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "module", Short: "What is taught, and who was taught it"}
	c.AddCommand(newModuleListCmd(a), newModuleShowCmd(a), newModuleAttendCmd(a), newModuleAdoptCmd(a))
	return c
}

func newModuleListCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the modules of the curriculum in force",
		Example: "  ringtrue module list",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, _, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			offered, err := catalogue.Starter()
			if err != nil {
				return err
			}
			if err := a.offerStarter(store.KindCurriculum, offered.Edition, "ringtrue module adopt"); err != nil {
				return err
			}
			header := []string{"MODULE", "TITLE", "SKILLS", "AFTER"}
			return listing(a, map[string]any{"format": "ringtrue/modules/1", "edition": std.Curriculum.Edition, "modules": std.Modules}, header, std.Modules, func(m training.Module) []string {
				return []string{m.ID, m.Title, fmt.Sprint(len(m.Skills)), strings.Join(m.Needs, ", ")}
			})
		},
	}
	questionFlags(c, &q)
	return c
}

// standardsAsked opens the book and gives the editions in force at the moment asked.
func (a *app) standardsAsked(q questionTimes) (standards, training.Asked, error) {
	asked, err := a.question(q)
	if err != nil {
		return standards{}, asked, err
	}
	std, err := a.standards(asked)
	return std, asked, err
}

func newModuleShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "show MODULE",
		Short:   "Show a module with its skills and criteria",
		Example: "  ringtrue module show M3",
		Args:    exactly(1, "MODULE"),
		RunE: func(_ *cobra.Command, args []string) error {
			std, _, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			m, err := std.module(args[0])
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/module/1", "edition": std.Curriculum.Edition, "module": m})
			}
			a.mark()
			a.say("%s %s (curriculum %s)", m.ID, m.Title, std.Curriculum.Edition)
			if len(m.Needs) > 0 {
				a.say("taught after: %s", strings.Join(m.Needs, ", "))
			}
			if len(m.Covers) > 0 {
				a.say("covers: %s", strings.Join(m.Covers, ", "))
			}
			for _, s := range m.Skills {
				a.say("")
				a.skillText(s)
			}
			return nil
		},
	}
	questionFlags(c, &q)
	return c
}

type attendOptions struct {
	workers                []string
	module, lang, test, at string
	another                bool
}

func newModuleAttendCmd(a *app) *cobra.Command {
	var o attendOptions
	c := &cobra.Command{
		Use:   "attend WORKER... MODULE",
		Short: "Record that workers were taught a module",
		Example: `  ringtrue module attend ana M4 --at 2026-05-04 --language es --understood "mixed one can, named the distances"
  # several at once, taught by luis
  ringtrue module attend ana ben jon M1 --as luis --at 2026-05-04`,
		Args: a.orAsked(atLeast(2, "WORKER... MODULE"), 0),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			var err error
			asked := len(args) == 0
			if asked {
				o, err = a.askAttend(o)
			} else {
				o.workers, o.module = args[:len(args)-1], args[len(args)-1]
			}
			if err != nil {
				return err
			}
			d, err := a.attend(o)
			if err == nil && asked {
				err = a.dropDraft("module attend")
			}
			if err != nil {
				return err
			}
			named, err := a.named(o.workers)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("taught %s to %s", o.module, strings.Join(named, ", ")))
		},
	}
	f := c.Flags()
	f.StringVar(&o.lang, "language", "", "language used")
	f.StringVar(&o.test, "understood", "", "how understanding was tested")
	f.StringVar(&o.at, "at", "", "when it was taught")
	f.BoolVar(&o.another, "another", false, anotherHelp)
	return c
}

// named writes people as "Ana Ruiz (ana)", by whatever they were called.
func (a *app) named(workers []string) (out []string, err error) {
	for _, w := range workers {
		who, err := a.person(w)
		if err != nil {
			return nil, err
		}
		out = append(out, fmt.Sprintf("%s (%s)", who.Name, who.Handle))
	}
	return out, nil
}

// attend records one attendance for each worker; the teacher is who acts.
func (a *app) attend(o attendOptions) (deed, error) {
	var p problems
	d := a.deed(&p, o.at)
	std, err := a.standards(a.knownNow(d.day))
	p.add(err)
	_, err = std.module(o.module)
	p.add(err)
	a.mustBeNamed(&p, d, training.DutyTeach)
	var es []ledger.Entry
	seen := map[string]bool{}
	for _, w := range o.workers {
		who, err := a.person(w)
		p.add(err)
		if err == nil && seen[who.ID] {
			p.add(usage("name each worker once", "%s is named twice", who.Name))
		}
		if err == nil && who.ID == d.by.ID {
			p.addf("name another teacher with --as", "%s cannot teach themselves", who.Name)
		}
		seen[who.ID] = true
		a.notTwice(&p, o.another, twin{kind: training.KindAttendance, worker: who.ID, topic: o.module, by: d.by.ID, happened: d.happened,
			words: "the teaching of " + o.module + " to " + who.Name})
		es = append(es, entry(training.KindAttendance, d.happened, d.by.ID, who.ID, "", training.Attendance{
			Module: o.module, Edition: std.Curriculum.Edition, Language: o.lang, Understood: o.test}))
	}
	if err := p.err(); err != nil {
		return d, err
	}
	return a.keepAll(d, es)
}
