package catalogue

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/spelling"
)

// Finding is one thing wrong with a curriculum: where it stands, what is wrong, and what to do next.
type Finding struct {
	Where string `json:"where"`
	What  string `json:"what"`
	Next  string `json:"next"`
}

// Error gives place and fault on one line, so that findings can be joined as errors.
func (f Finding) Error() string { return f.Where + ": " + f.What }

// Forms of ids. They are typed in flags, several after one another with commas between, and name files.
var (
	idForm   = regexp.MustCompile(`^[A-Za-z0-9]+([.-][A-Za-z0-9]+)*$`) // modules and skills: M3, 3.1
	wordForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)          // criteria, groups, equipment: quick-release
)

// linter gathers findings about one curriculum. Skills remembers every skill id met and its module.
type linter struct {
	curriculum training.Curriculum
	skills     map[string]training.Skill
	homes      map[string]string
	found      []Finding
}

// Lint checks what a curriculum means and returns all findings, in its order; none means that it may be offered.
// What only the files show (a file not named as its module, unknown keys) is refused by Parse.
func Lint(c training.Curriculum) []Finding {
	l := &linter{curriculum: c, skills: map[string]training.Skill{}, homes: map[string]string{}}
	l.text("curriculum", "edition", c.Edition)
	if len(c.Modules) == 0 {
		l.say("curriculum", "there are no modules", "give it at least one module")
	}
	l.modules()
	l.replacements()
	l.groups()
	l.items()
	return l.found
}

func (l *linter) say(where, what, next string) {
	l.found = append(l.found, Finding{where, what, next})
}

func quoted(s string) string { return strconv.Quote(s) }

// text asks for a text of one line: a tab or line break inside would shift the columns of a list.
func (l *linter) text(at, key, text string) {
	if strings.TrimSpace(text) == "" {
		l.say(at, key+" is missing", "write the "+key)
	}
	if !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
		l.say(at, key+" holds a line break, a tab or another character that is not text", "write the "+key+" on one line")
	}
}

func (l *linter) id(at, id string, form *regexp.Regexp) {
	switch {
	case form.MatchString(id):
	case form == idForm:
		l.say(at, quoted(id)+" is not an id", "use letters, digits, dots and hyphens, as in M3 or 3.1")
	default:
		l.say(at, quoted(id)+" is not an id", "use lower-case words with hyphens, as in quick-release")
	}
}

// once asks that a name does not stand twice in one list.
func (l *linter) once(at, what string, list []string, i int) {
	if slices.Contains(list[:i], list[i]) {
		l.say(at, what+" "+quoted(list[i])+" is named twice", "keep one of the two")
	}
}

// replacements asks that a skill replaces another one that has been withdrawn, so that only one of them is signed off.
func (l *linter) replacements() {
	for _, m := range l.curriculum.Modules {
		for _, s := range m.Skills {
			at := "module " + m.ID + ", skill " + s.ID
			old, known := l.skills[s.Replaces]
			switch {
			case s.Replaces == "":
			case !known:
				l.say(at, "it replaces skill "+quoted(s.Replaces)+", which is not known", "keep the older skill in the curriculum, with withdrawn: true")
			case !old.Withdrawn:
				l.say(at, "it replaces skill "+quoted(s.Replaces)+", which is not withdrawn", "set withdrawn: true on the older skill")
			}
		}
	}
}

func (l *linter) groups() {
	ids := names(l.curriculum.Groups, func(g training.Group) string { return g.ID })
	items := names(l.curriculum.PPE, func(i training.Item) string { return i.ID })
	for n, g := range l.curriculum.Groups {
		at := "task group " + g.ID
		l.id(at, g.ID, wordForm)
		l.once(at, "task group", ids, n)
		l.text(at, "title", g.Title)
		for i, id := range g.Skills {
			l.once(at, "skill", g.Skills, i)
			l.needed(at, id)
		}
		for i, id := range g.PPE {
			l.once(at, "item", g.PPE, i)
			if !slices.Contains(items, id) {
				l.say(at, "item "+quoted(id)+" is not known", "nearest: "+spelling.Closest(id, items))
			}
		}
	}
}

// needed asks that a group's skill can still be signed off; otherwise nobody could be released for the group.
func (l *linter) needed(at, id string) {
	switch s, known := l.skills[id]; {
	case !known:
		l.say(at, "skill "+quoted(id)+" is not known", "nearest: "+spelling.Closest(id, l.skillIDs()))
	case s.Withdrawn:
		l.say(at, "skill "+quoted(id)+" is withdrawn", "name the skill that replaces it, or none")
	}
}

func (l *linter) skillIDs() []string {
	var ids []string
	for _, m := range l.curriculum.Modules {
		ids = append(ids, names(m.Skills, func(s training.Skill) string { return s.ID })...)
	}
	return ids
}

func (l *linter) items() {
	ids := names(l.curriculum.PPE, func(i training.Item) string { return i.ID })
	for n, i := range l.curriculum.PPE {
		at := "protective equipment " + i.ID
		l.id(at, i.ID, wordForm)
		l.once(at, "item", ids, n)
		l.text(at, "title", i.Title)
		l.text(at, "body", i.Body)
		l.text(at, "note", i.Note)
		for n, standard := range i.Standards {
			l.text(at, "standard", standard)
			l.once(at, "standard", i.Standards, n)
		}
	}
}

func names[T any](all []T, name func(T) string) []string {
	list := make([]string, len(all))
	for i, one := range all {
		list[i] = name(one)
	}
	return list
}
