package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training/spelling"
)

// A verb that a noun does not have is refused with the one that is meant, as far as that can be told, and with those it has.

// noCommand refuses a name that no command of a group has, and says which it has.
func noCommand(group *cobra.Command, name string) error {
	var names []string
	for _, sub := range group.Commands() {
		if !sub.Hidden {
			names = append(names, sub.Name())
		}
	}
	next := "see: " + group.CommandPath() + " --help"
	if len(names) <= mostListed {
		next = group.Name() + " has: " + strings.Join(names, ", ") + "; " + next
	}
	low := strings.ToLower(name)
	near := otherVerb(low, names)
	if near == "" && sameVerbs[low] == nil && neverVerbs[low] == "" {
		near = spelling.Nearest(low, names)
	}
	below := commandsBelow(group, name)
	switch {
	case len(below) > 0 && len(below) <= fewCommands:
		next = "nearest: " + strings.Join(below, ", ")
	case near != "":
		next = "nearest: " + group.CommandPath() + " " + near + "; " + next
	case neverVerbs[low] != "":
		next = neverVerbs[low] + "\n" + next
	}
	return usage(next, "unknown command %q", name)
}

// mostListed is how many commands of a group are still worth listing in a refusal (company choice).
const mostListed = 20

// sameVerbs are what people type for verbs that nouns have; the first that the noun has is meant.
var sameVerbs = map[string][]string{
	"show": toRead, "list": toRead, "view": toRead, "get": toRead, "info": toRead, "status": toRead, "history": toRead, "ls": toRead,
	"new": toAdd, "create": toAdd, "record": toAdd, "make": toAdd,
	"delete": toEnd, "remove": toEnd, "undo": toEnd, "edit": {"adopt"}, "update": {"adopt"},
}

var (
	toRead = []string{"list", "show", "head"}
	toAdd  = []string{"add", "make", "issue"}
	toEnd  = []string{"strike", "return", "retire", "leave", "end"}
)

// otherVerb is the verb of a group that a usual word for it means, "" where there is none.
func otherVerb(name string, names []string) string {
	for _, verb := range sameVerbs[name] {
		if slices.Contains(names, verb) {
			return verb
		}
	}
	return ""
}

// neverVerbs are those that no noun has, because entries are never changed or removed.
var neverVerbs = map[string]string{"edit": corrected, "update": corrected, "modify": corrected, "rename": corrected, "delete": corrected, "remove": corrected, "undo": corrected}

const corrected = "nothing in the book is changed or removed: enter it anew; what never was: ringtrue book strike ENTRY --reason TEXT"

// fewCommands is how many commands of one name are still worth listing.
const fewCommands = 3

// commandsBelow lists the commands of just that name one level further down: "kit" means "plan kit" sooner than "init".
func commandsBelow(group *cobra.Command, name string) []string {
	var found []string
	for _, sub := range group.Commands() {
		for _, c := range sub.Commands() {
			if strings.EqualFold(c.Name(), name) {
				found = append(found, c.CommandPath())
			}
		}
	}
	return found
}
