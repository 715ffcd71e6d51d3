package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Shell completion offers what the book knows. It opens the book for reading only and is silent about every error: a
// shell shows what a completion prints as if it had been typed.

// offers names what may stand for a word of a usage line, each as "id<TAB>what it is", as shells expect it.
var offers = map[string]func(*app) ([]string, error){
	"WORKER": (*app).offerWorkers, "SKILL": (*app).offerSkills, "SKILL-OR-GROUP": (*app).offerSkillsAndGroups, "MODULE": (*app).offerModules,
	"GROUP": (*app).offerGroups, "ITEM": (*app).offerItems, "SAW": (*app).offerSaws, "BLOCK": (*app).offerBlocks,
	"PLACE": (*app).offerPlaces,
}

// flagOffers names the word that each flag takes; values of other flags are not offered.
var flagOffers = map[string]string{
	"as": "WORKER", "worker": "WORKER", "owner": "WORKER", "told-by": "WORKER", "with": "WORKER",
	"place": "PLACE", "jurisdiction": "PLACE",
	"block": "BLOCK", "saw": "SAW", "lacks": "GROUP", "group": "GROUP", "module": "MODULE", "skill": "SKILL", "skills": "SKILL",
}

// completeFromBook gives every command of the tree its completion: arguments by its usage line, flags by their names.
func completeFromBook(a *app, c *cobra.Command) {
	for _, sub := range c.Commands() {
		completeFromBook(a, sub)
	}
	if words := argumentWords(c.Use); len(words) > 0 && c.ValidArgsFunction == nil {
		c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return a.offered(wordsAt(words, len(args)), args), cobra.ShellCompDirectiveNoFileComp
		}
	}
	for name, word := range flagOffers {
		if c.Flags().Lookup(name) == nil && c.PersistentFlags().Lookup(name) == nil {
			continue
		}
		_ = c.RegisterFlagCompletionFunc(name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return a.offered([]string{word}, nil), cobra.ShellCompDirectiveNoFileComp
		}) // it fails only where a command has registered its own
	}
}

// argumentWords lists the arguments of a usage line, "attend WORKER... MODULE", with the dots that mean several.
func argumentWords(use string) []string {
	var words []string
	for _, w := range strings.Fields(use)[1:] {
		w = strings.Trim(w, "[]")
		if strings.HasPrefix(w, "-") || strings.ToUpper(w) != w {
			break
		}
		words = append(words, w)
	}
	return words
}

// wordsAt says which words may stand at a place: behind the first that may stand several times, that one and all later ones.
func wordsAt(words []string, place int) []string {
	for i, w := range words {
		if strings.HasSuffix(w, "...") && i <= place {
			return words[i:]
		}
		if i == place {
			return []string{w}
		}
	}
	return nil
}

// offered lists what may stand for any of the words and has not been said yet.
func (a *app) offered(words, said []string) []string {
	if len(words) == 0 || a.read() != nil {
		return nil
	}
	var all []string
	for _, w := range words {
		offer := offers[strings.TrimSuffix(w, "...")]
		if offer == nil {
			continue
		}
		list, err := offer(a)
		if err != nil {
			return nil
		}
		all = append(all, list...)
	}
	return slices.DeleteFunc(all, func(o string) bool {
		id, _, _ := strings.Cut(o, "\t")
		return slices.Contains(said, id)
	})
}

// askedToday is what the book knows now about the day that it is.
func (a *app) askedToday() training.Asked { return a.knownNow(civil.Of(a.now(), a.book.Zone())) }

func (a *app) offerWorkers() ([]string, error) {
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	left, err := a.left(a.askedToday())
	var out []string
	for _, p := range people.list {
		if left[p.ID] == "" {
			out = append(out, p.Handle+"\t"+p.Name)
		}
	}
	return out, err
}

func (a *app) offerSkills() ([]string, error) {
	std, err := a.standards(a.askedToday())
	var out []string
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			out = append(out, s.ID+"\t"+s.Title)
		}
	}
	return out, err
}

func (a *app) offerGroups() ([]string, error) {
	std, err := a.standards(a.askedToday())
	var out []string
	for _, g := range std.Groups {
		out = append(out, g.ID+"\t"+g.Title)
	}
	return out, err
}

func (a *app) offerSkillsAndGroups() ([]string, error) {
	skills, err := a.offerSkills()
	if err != nil {
		return nil, err
	}
	groups, err := a.offerGroups()
	return append(skills, groups...), err
}

func (a *app) offerModules() ([]string, error) {
	std, err := a.standards(a.askedToday())
	var out []string
	for _, m := range std.Modules {
		out = append(out, m.ID+"\t"+m.Title)
	}
	return out, err
}

func (a *app) offerItems() ([]string, error) {
	std, err := a.standards(a.askedToday())
	var out []string
	for _, i := range std.PPE {
		out = append(out, i.ID+"\t"+i.Title)
	}
	return out, err
}

func (a *app) offerSaws() ([]string, error) {
	list, err := a.saws(a.askedToday())
	var out []string
	for _, s := range list {
		out = append(out, s.ID+"\t"+firstText(s.Guard, "saw"))
	}
	return out, err
}

func (a *app) offerBlocks() ([]string, error) {
	cards, err := a.cards(a.askedToday())
	var out []string
	for _, b := range cards {
		out = append(out, b.ID+"\t"+b.Name)
	}
	return out, err
}

// offerPlaces are the provinces, states and countries of the local rules in force.
func (a *app) offerPlaces() ([]string, error) {
	e, _, err := a.bookRules()
	var list []string
	for _, j := range e.Jurisdictions {
		list = append(list, j.Code+"\t"+j.Title)
	}
	return list, err
}
