package fire

import (
	"fmt"
	"strings"
)

// ClassesSource names where the class limits were read, for printing beside a class.
const ClassesSource = "FWI classes: European Commission JRC page on EFFIS and an ECMWF text (both read)"

// Class is one danger class of a scheme: from its lower bound, included, to that of the next class.
type Class struct {
	Name string
	From float64 // FWI
}

// Scheme is a set of danger classes. Schemes of different regions differ by a factor of two and more, so the region
// decides which one is asked; a scheme of another region says nothing.
type Scheme struct {
	Name    string
	Classes []Class // the mildest first, the first from 0
}

// Schemes are the sets of classes that were read.
var schemes = []Scheme{
	{"EFFIS", []Class{{"very low", 0}, {"low", 5.2}, {"moderate", 11.2}, {"high", 21.3}, {"very high", 38}, {"extreme", 50}}},
	{"Canada_example", []Class{{"very low", 0}, {"low", 2}, {"moderate", 5}, {"high", 9}, {"very high", 17}, {"extreme", 31}}},
	{"Portugal_thresholds", []Class{{"reduced", 0}, {"moderate", 8.4}, {"high", 17.2}, {"very high", 24.6}, {"maximum", 38.3}}},
}

// Schemes returns the schemes known, each with its classes. The slice is the caller's; the classes are not.
func Schemes() []Scheme { return append([]Scheme(nil), schemes...) }

// SchemeOf finds a scheme by its name.
func SchemeOf(name string) (Scheme, error) {
	var names []string
	for _, s := range schemes {
		if s.Name == name {
			return s, nil
		}
		names = append(names, s.Name)
	}
	return Scheme{}, fmt.Errorf("no danger classes named %q; known are %s", name, strings.Join(names, ", "))
}

// Of returns the class of an FWI from 0.
func (s Scheme) Of(fwi float64) Class {
	found := s.Classes[0]
	for _, c := range s.Classes {
		if fwi >= c.From {
			found = c
		}
	}
	return found
}
