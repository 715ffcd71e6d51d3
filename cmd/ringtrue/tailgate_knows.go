package main

import (
	"errors"
	"fmt"
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training/civil"
)

// sheetKnows is what a day sheet is read against, so that who and what the book does not know is named with file and line, beside
// every other problem of the sheet.
func (a *app) sheetKnows() (hazards.Known, error) {
	if _, err := a.crew(); err != nil { // read once here: what follows can only refuse
		return hazards.Known{}, err
	}
	list, err := a.saws(a.knownNow(1 << 20))
	if err != nil {
		return hazards.Known{}, err
	}
	saws := sawIDs(list)
	return hazards.Known{
		Person: func(typed string) (string, error) {
			who, err := a.person(typed)
			return who.ID, inOneLine(err)
		},
		Block: func(typed string) error { return inOneLine(a.knownBlock(typed)) },
		Saw: func(typed string) error {
			if len(saws) == 0 || slices.Contains(saws, typed) {
				return nil
			}
			return fmt.Errorf("no saw %q is on the list of this book; %s", typed, hint(typed, saws, "saw list"))
		},
		Group: a.groupOn, FireClass: a.fireClassAsked,
	}, nil
}

// groupOn refuses a task group that the curriculum of a day does not have.
func (a *app) groupOn(day, typed string) error {
	on, err := civil.Parse(day)
	if err != nil {
		return nil // the sheet is refused for its day
	}
	std, err := a.standards(a.knownNow(on))
	if err != nil {
		return err
	}
	_, err = std.group(typed)
	return inOneLine(err)
}

// inOneLine puts what to do next behind what is wrong.
func inOneLine(err error) error {
	if f, ok := errors.AsType[*failure](err); ok && f.next != "" {
		return fmt.Errorf("%s; %s", f.msg, f.next)
	}
	return err
}
