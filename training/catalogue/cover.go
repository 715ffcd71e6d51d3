package catalogue

import (
	"errors"
	"io/fs"
	"slices"
	"strings"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/spelling"
)

// Clauses are the rows of 29 CFR 1910.266(i) and its Appendix B that "covers" and not-covered.yaml may name, in the
// order of the rule as corrected on 8 Sep 1995 (60 FR 47022). How far each row was read stands in
// testdata/published/osha_266_training_topics.csv.
var Clauses = []string{
	"1910.266(i)(1)", "1910.266(i)(2)(i)", "1910.266(i)(2)(ii)", "1910.266(i)(2)(iii)", "1910.266(i)(2)(iv)",
	"1910.266(i)(3)(i)", "1910.266(i)(3)(ii)", "1910.266(i)(3)(iii)", "1910.266(i)(3)(iv)", "1910.266(i)(3)(v)",
	"1910.266(i)(3)(vi)", "1910.266(i)(4)", "1910.266(i)(5)(i)", "1910.266(i)(5)(ii)", "1910.266(i)(5)(iii)",
	"1910.266(i)(5)(iv)", "1910.266(i)(6)", "1910.266(i)(7)(i)", "1910.266(i)(7)(ii)", "1910.266(i)(8)",
	"1910.266(i)(9)", "1910.266(i)(10)(i)", "1910.266(i)(10)(ii)", "1910.266(i)(11)",
	"1910.266 App B 1", "1910.266 App B 2", "1910.266 App B 3",
	"1910.266 App B 4.a", "1910.266 App B 4.b", "1910.266 App B 4.c", "1910.266 App B 4.d", "1910.266 App B 4.e",
	"1910.266 App B 4.f", "1910.266 App B 4.g", "1910.266 App B 4.h", "1910.266 App B 4.i", "1910.266 App B 4.j",
	"1910.266 App B 4.k", "1910.266 App B 4.l", "1910.266 App B 4.m", "1910.266 App B 4.n", "1910.266 App B 4.o",
	"1910.266 App B 5", "1910.266 App B 6", "1910.266 App B 7", "1910.266 App B 8", "1910.266 App B 9",
	"1910.266 App B 10",
}

// Uncovered is a row that no module teaches, with the reason in words.
type Uncovered struct {
	Clause string `json:"clause" yaml:"clause"`
	Reason string `json:"reason" yaml:"reason"`
}

// StarterNotCovered returns the rows that no module of the starter curriculum teaches.
func StarterNotCovered() ([]Uncovered, error) { return NotCovered(starter) }

// NotCovered reads not-covered.yaml of a curriculum's folder; without that file there are none. The error joins every
// problem of form, with file and line.
func NotCovered(files fs.FS) ([]Uncovered, error) {
	r := &reader{files: files}
	left := r.notCovered()
	if err := errors.Join(r.problems...); err != nil {
		return nil, err
	}
	return left, nil
}

func (r *reader) notCovered() []Uncovered {
	var file struct {
		Rows []Uncovered `yaml:"not-covered"`
	}
	if _, err := fs.Stat(r.files, notCoveredFile); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	r.read(notCoveredFile, &file)
	return file.Rows
}

// LintCover checks that every clause is either covered by a module or left out with a reason, never both, and returns
// all findings in the order of the rule. Lint looks at the clauses that modules name.
func LintCover(c training.Curriculum, left []Uncovered) []Finding {
	l := &linter{}
	covered, reasons := map[string][]string{}, map[string]string{}
	for _, m := range c.Modules {
		for _, clause := range m.Covers {
			covered[clause] = append(covered[clause], m.ID)
		}
	}
	for _, u := range left {
		at := "not covered, clause " + u.Clause
		l.clause(at, u.Clause)
		l.text(at, "reason", u.Reason)
		if _, twice := reasons[u.Clause]; twice {
			l.say(at, "the clause stands twice", "keep one of the two")
		}
		reasons[u.Clause] = u.Reason
	}
	for _, clause := range Clauses {
		_, isLeft := reasons[clause]
		l.either("clause "+clause, covered[clause], isLeft)
	}
	return l.found
}

func (l *linter) either(at string, modules []string, isLeft bool) {
	switch {
	case len(modules) > 0 && isLeft:
		l.say(at, "covered by "+strings.Join(modules, ", ")+" and listed as not covered", "strike it from one of the two")
	case len(modules) == 0 && !isLeft:
		l.say(at, "neither covered by a module nor listed as not covered", "name it under covers of the module that teaches it, or in "+notCoveredFile+" with the reason")
	}
}

func (l *linter) clause(at, clause string) {
	if !slices.Contains(Clauses, clause) {
		l.say(at, "clause "+quoted(clause)+" is not known", "nearest: "+spelling.Closest(clause, Clauses))
	}
}
