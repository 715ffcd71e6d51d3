package glance

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/ringtrue/hazards"
)

// asides are brackets with house rules, editions and readings that were not taken; --why has them.
var asides = regexp.MustCompile(` ?\([^()]*(house rule|edition|not known yet)[^()]*(\([^()]*\)[^()]*)*\)`)

// holdWords stood before what had to be accepted, before a hold said what it means.
const holdWords = "Hold for acceptance. "

// line is the one line of a finding, without the names of its subjects, which stand before it. A finding recorded before there was one
// gives its sentences.
func line(f hazards.Finding) string {
	if f.Line == "" {
		return unnamed(long(f), f)
	}
	return unnamed(f.Line, f)
}

// long is all of a finding, without house rules in brackets.
func long(f hazards.Finding) string { return strings.TrimPrefix(plain(f.What), holdWords) }

// unnamed takes the names of a finding's subjects from the beginning of a text.
func unnamed(text string, f hazards.Finding) string {
	all := allSubjects(f)
	if len(all) == 0 {
		return text
	}
	names := strings.Join(all, ", ")
	for _, before := range []string{names + ": ", "Saws " + names + " stay down: ", "Saw " + names + " stays down: ", "saws " + names + ": ", "saw " + names + ": ", "Saw " + names + ", "} {
		text = strings.TrimPrefix(text, before)
	}
	return strings.Replace(text, " for "+names+": ", ": ", 1)
}

func plain(text string) string { return strings.TrimSpace(asides.ReplaceAllString(text, "")) }

func eachPlain(list []string) []string { return eachTo(list, plain) }

func eachTo(list []string, to func(string) string) []string {
	var out []string
	for _, s := range list {
		out = append(out, to(s))
	}
	return out
}

func allSubjects(f hazards.Finding) []string {
	if len(f.Subjects) == 0 && f.Subject != "" {
		return []string{f.Subject}
	}
	return f.Subjects
}

// subjects are the people or saws that a finding names; none where its line names all of them already.
func subjects(f hazards.Finding) []string {
	return missing(allSubjects(f), line(f))
}

// missing is all names, where a text does not hold each of them, else none.
func missing(names []string, text string) []string {
	if !slices.ContainsFunc(names, func(s string) bool { return !holds(text, s) }) {
		return nil
	}
	return slices.Clone(names)
}

// holds reports whether a text names somebody: the name as words of its own.
func holds(text, name string) bool {
	if name == "" {
		return true
	}
	for from := 0; ; {
		i := strings.Index(text[from:], name)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(name)
		before, _ := utf8.DecodeLastRuneInString(text[:start])
		after, _ := utf8.DecodeRuneInString(text[end:])
		if !inWord(before) && !inWord(after) {
			return true
		}
		from = start + 1
	}
}

func inWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-')
}

// firstSentence ends a text behind its first full stop that is followed by another sentence.
func firstSentence(text string) string {
	first, _, more := strings.Cut(text, ". ")
	if more {
		return first + "."
	}
	return text
}

func withNames(names []string, text string) string {
	if len(names) == 0 {
		return text
	}
	return strings.Join(names, ", ") + ": " + text
}

func joined(list []string) string { return strings.Join(list, "; ") }

func spaced(a, b string) string { return strings.TrimSpace(a + " " + b) }

func glued(a, b string) string {
	if b == "" {
		return a
	}
	return a + glue + b
}

// addNew appends what is not there yet.
func addNew(list []string, more ...string) []string {
	for _, s := range more {
		if !slices.Contains(list, s) {
			list = append(list, s)
		}
	}
	return list
}
