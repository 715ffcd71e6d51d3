package upkeep

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/house"
)

// Words of the house rule finder-clears.
const (
	FinderNever     = "never"
	FinderCrewOfTwo = "in a crew of two"
	FinderAlways    = "always"
)

// Clearing is somebody putting a saw back into use.
type Clearing struct {
	By      string   // who clears
	Named   bool     // By is named to clear saws
	Finders []string // who found the defects or hung the tags that are cleared
	Second  string   // who else is here, where the crew is two people; "" otherwise
	Crew    int      // people on that day's check, 0 where there was none
	Done    string   // what was done
	Part    string   // part that was replaced, or ""
}

// MayClear says whether a clearing counts by the house rules, and whether a second person has to look at the saw
// afterwards. The error names every reason against it.
func MayClear(c Clearing, h house.House) (again bool, err error) {
	var problems []error
	if strings.TrimSpace(c.Done) == "" {
		problems = append(problems, errors.New("it is not said what was done"))
	}
	again, why := mayClear(c, h)
	if why != nil {
		problems = append(problems, why)
	}
	return again, errors.Join(problems...)
}

func mayClear(c Clearing, h house.House) (again bool, err error) {
	finder := slices.Contains(c.Finders, c.By)
	rule := h.Value(house.FinderClears)
	if !finder {
		if c.Named {
			return false, nil
		}
		return false, errors.New("who clears a saw is named for it, or the finder in a crew of two")
	}
	switch {
	case rule == FinderAlways && c.Named:
		return false, nil
	case rule == FinderCrewOfTwo && c.Second != "":
		return true, crewOfTwo(c)
	}
	return false, fmt.Errorf("who found a defect does not clear it: %s", h.Cite(house.FinderClears))
}

// crewOfTwo checks the one case in which the finder clears.
func crewOfTwo(c Clearing) error {
	var problems []error
	if c.Crew > 2 {
		problems = append(problems, fmt.Errorf("that day's check names %d people; this is no crew of two", c.Crew))
	}
	if strings.TrimSpace(c.Part) == "" {
		problems = append(problems, errors.New("the finder clears only after a part was replaced; no part is named"))
	}
	if c.Second == c.By {
		problems = append(problems, errors.New("the second person is somebody else"))
	}
	return errors.Join(problems...)
}

// Rule checks the words of the house rule finder-clears, where the edition has it.
func Rule(h house.House) error {
	if !h.Has(house.FinderClears) {
		return nil
	}
	switch v := h.Value(house.FinderClears); v {
	case FinderNever, FinderCrewOfTwo, FinderAlways:
		return nil
	default:
		return fmt.Errorf("house rule %s is %q; it is one of: %s, %s, %s", house.FinderClears, v, FinderNever, FinderCrewOfTwo, FinderAlways)
	}
}
