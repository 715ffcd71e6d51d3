package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/training"
)

// A filter that nobody fits is a slip of the pen: it is refused with the nearest, since an empty answer would read as "all held".

// crewsOf lists the crews that somebody on a list works in, each once.
func crewsOf(list []onList) (crews []string) {
	for _, w := range list {
		if w.Crew != "" && !slices.Contains(crews, w.Crew) {
			crews = append(crews, w.Crew)
		}
	}
	return crews
}

// crewMeant is the crew that a filter names, as the list writes it; capitals, spaces and hyphens do not matter.
func crewMeant(list []onList, typed string) (string, error) {
	crews := crewsOf(list)
	for _, c := range crews {
		if bare(c) == bare(typed) {
			return c, nil
		}
	}
	next := "crews are: " + orWord(strings.Join(crews, ", "), "none yet")
	if near := nearestID(typed, crews); near != "" {
		next = "nearest: " + near + "; " + next
	}
	return "", refuse(next, "no crew %q on the crew list", typed)
}

// ofCrew are the people of a crew: those here, or with gone also those who have left; everybody where no crew is named.
func ofCrew(list []onList, typed string, gone bool) ([]onList, error) {
	here := slices.DeleteFunc(slices.Clone(list), func(w onList) bool { return w.Left != "" && !gone })
	if typed == "" {
		return here, nil
	}
	crew, err := crewMeant(list, typed)
	if err != nil {
		return nil, err
	}
	here = slices.DeleteFunc(here, func(w onList) bool { return w.Crew != crew })
	if len(here) == 0 {
		return nil, refuse("ask for an earlier day with --on, or see: ringtrue worker list", "everybody of crew %s has left", crew)
	}
	return here, nil
}

// filterStanding checks the filters of a question about standing, and gives the workers whom they leave: nil where none is named.
func (a *app) filterStanding(o standingOptions, std standards, asked training.Asked, ids []string) ([]string, error) {
	var p problems
	if o.module != "" {
		_, err := std.module(o.module)
		p.add(err)
	}
	if o.crew == "" {
		return ids, p.err()
	}
	list, err := a.crewList(asked)
	if err != nil {
		return nil, err
	}
	crew, err := ofCrew(list, o.crew, o.changes)
	p.add(err)
	named := len(ids) > 0
	if err == nil && named && !slices.ContainsFunc(crew, func(w onList) bool { return w.Worker == ids[0] }) {
		p.addf("leave out --crew, or see: ringtrue worker list", "%s is not on crew %s", a.short(ids[0]), o.crew)
	}
	if !named {
		for _, w := range crew {
			ids = append(ids, w.Worker)
		}
	}
	return ids, p.err()
}
