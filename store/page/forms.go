package page

import "example.org/ringtrue/store/page/words"

// Blank is a day sheet to fill in on paper.
type Blank struct {
	Common
	Block, BlockName, Edition           string
	Slope, Trees, Walk, Ambulance       string // as the card says
	Sections                            []Section
	Asked                               []string  // questions that open events put on the sheet, as entered
	Readings                            []Section // may stay blank
	Saws                                []Question
	Levels, Groups                      []string
	Emergency                           []string
	PeopleLines, SawLines, ControlLines int // empty lines
}

// Section is a part of the walk through a morning.
type Section struct {
	Title     string
	Questions []Question
}

// Question is one line of a day sheet. ID finds its text in the catalogue; what is not there stands as Text. Stop is the
// answer that stops the site, "" where none does by itself, Such an example of a value. Where None is true, "no" is an
// answer, where NA, "not applicable"; Part is the word for less than all of it, "" where there is none.
type Question struct {
	ID, Text, Stop, Such, Part string
	YesNo, None, NA            bool
}

// HTML makes the sheet.
func (b Blank) HTML(s *words.Speaker) ([]byte, error) {
	return fill("blank", "page.blank-tailgate", b.Common, b, s)
}

// Skill is the form to look at a worker doing one skill, by the edition of the curriculum in force.
type Skill struct {
	Common
	ID, Title, Module, Edition string
	Look                       string // where the observer stands and how it is staged, "" where the edition does not say
	Place                      string // house figure of the observer's place, "" where the look does not need it
	Criteria                   []Criterion
	Misses                     string // how many points that are not critical may be missed
	House                      string // edition of the house rules that says so
}

// Criterion is one point of a skill. Measured ones have a range, Min or Max or both, with units.
type Criterion struct {
	ID, Text           string
	Critical, Measured bool
	Min, Max           string
}

// HTML makes the form.
func (k Skill) HTML(s *words.Speaker) ([]byte, error) {
	return fill("skill", "page.skill", k.Common, k, s)
}

// Evidence is what the book held about a worker on a day, as known by another.
type Evidence struct {
	Common
	Worker, On, Known, Knows string
	Orientation              []string // why it is due, empty where it is not
	Standings                []Standing
	Entries                  []Entry
	Pieces                   []Piece
}

// Standing is where the worker stands with one skill.
type Standing struct {
	Skill, Title, Word, Until string
	Reasons                   []string
}

// Entry is one entry of the book. A look has Marks, and perhaps a Note, as entered.
type Entry struct {
	Ref, Skill, Happened, Recorded, What, By string
	Marks                                    []Mark
	Note                                     string
	Struck                                   *Struck
}

// Mark is what a look says of a criterion: "met", "missed" or "not seen", and the value of a measured one.
type Mark struct{ Criterion, Seen, Value string }

// Struck says who struck an entry, when and why.
type Struck struct{ Ref, By, Recorded, Reason string }

// Piece is a piece of equipment; Item is the id of its kind.
type Piece struct{ State, Item, Title, Standard, Ref string }

// HTML makes the sheet.
func (e Evidence) HTML(s *words.Speaker) ([]byte, error) {
	return fill("evidence", "page.evidence", e.Common, e, s)
}
