package main

import (
	"regexp"
	"strings"

	sheetwords "example.org/ringtrue/store/page/words"
)

// speak sets the language in which answers are printed. What is recorded, and --json, stay as they are.
func (a *app) speak(lang string) (err error) {
	a.tongue, err = speaker(lang)
	return err
}

// voice is the speaker of answers; English, where no language was set.
func (a *app) voice() *sheetwords.Speaker {
	if a.tongue == nil {
		_ = a.speak(sheetwords.English) // the catalogue is part of the program; a test reads all of it
	}
	return a.tongue
}

// said is a message of the catalogue.
func (a *app) said(id string, args ...any) string { return a.voice().Say(id, args...) }

// word is a word of a family: a verdict, an effect, a level.
func (a *app) word(family, word string) string { return a.voice().Word(family, word) }

// inWords is a recorded sentence; what has no translation stays English.
func (a *app) inWords(english string) string {
	said, _ := a.voice().Render(english)
	return said
}

// with is a message behind a comma, "" where there is nothing to say.
func (a *app) with(id, what string) string { return note(",", a.behind(id, what)) }

// behind is a message behind a space, "" where there is nothing to say.
func (a *app) behind(id, what string) string {
	if what == "" {
		return ""
	}
	return " " + a.said(id, what)
}

// sheetWords says the comments of a day sheet in the language of the answers. Keys and answers stay as the sheet is read.
func (a *app) sheetWords(sheet []byte) []byte {
	if a.voice().Lang() == sheetwords.English {
		return sheet
	}
	var out strings.Builder
	for line := range strings.Lines(string(sheet)) {
		out.WriteString(a.sheetLine(strings.TrimSuffix(line, "\n")) + "\n")
	}
	return []byte(out.String())
}

// sheetLine says a comment; the only one behind an answer is where it was carried from.
func (a *app) sheetLine(line string) string {
	indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
	comment, is := strings.CutPrefix(line[len(indent):], "# ")
	switch {
	case is && strings.HasPrefix(comment, "- {"): // a line to fill in
	case is:
		return indent + "# " + a.comment(comment)
	default:
		if answer, from, carried := strings.Cut(line, "  # carried from "); carried {
			return answer + "  # " + a.said("sheet.carried", from)
		}
	}
	return line
}

// checkComment explains a check of a saw: its key, the question, the bad answer and what that does.
var checkComment = regexp.MustCompile(`^(\S+): (.+\?) (yes|no): (.+)$`)

// comment says a head, a question with the marks behind it, or a sentence.
func (a *app) comment(text string) string {
	if head, isHead := strings.CutPrefix(text, "-- "); isHead {
		head, hint, _ := strings.Cut(head, " --")
		return strings.TrimSpace("-- " + a.inWords(a.word("section", head)) + " -- " + a.inWords(strings.TrimSpace(hint)))
	}
	if m := checkComment.FindStringSubmatch(text); m != nil {
		return m[1] + ": " + a.inWords(m[2]) + " " + m[3] + ": " + a.inWords(m[4])
	}
	question, marks, marked := strings.Cut(strings.TrimSuffix(text, "]"), " [")
	if said, ok := a.voice().Render(question); ok && marked {
		return said + " [" + strings.Join(eachOf(strings.Split(marks, "; "), a.inWords), "; ") + "]"
	}
	return a.inWords(text)
}
