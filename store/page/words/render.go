package words

import (
	"fmt"
	"regexp"
	"sort"
	"strings"
)

// Families of messages that are sentences or words of recorded answers and so can be recognised.
var recognised = []string{"text.", "sheet.", "entry.", "level.", "rank.", "kind.", "question.", "check.", "standing.", "class.", "gear.", "thing.", "noun.", "look."}

// loose messages hold text entered by people, or names with initials, which may look like several sentences.
var loose = []string{"text.emergency-", "text.looser-", "text.recorded", "text.not-read"}

// pattern recognises one message with something filled in.
type pattern struct {
	id    string
	form  *regexp.Regexp
	fixed int // letters that are not filled in
}

// sentences recognise English: exact ones, and forms, the one with most letters of its own first.
type sentences struct {
	exact map[string]string
	forms []pattern
}

func recognisable(all map[string]Message) (sentences, error) {
	s := sentences{exact: map[string]string{}}
	for _, id := range sortedIDs(all) {
		if group, ok := strings.CutPrefix(id, "group."); ok {
			s.exact[group] = id // an answer names a task group by its id
		}
		if !inFamily(id) {
			continue
		}
		parts := strings.Split(all[id].En, "%s")
		if len(parts) == 1 {
			s.exact[all[id].En] = id
			continue
		}
		form := "^"
		for i, p := range parts {
			if parts[i] = regexp.QuoteMeta(p); i > 0 {
				form += "(.+?)"
			}
			form += parts[i]
		}
		re, err := regexp.Compile(form + "$")
		if err != nil {
			return s, fmt.Errorf("message %s: %w", id, err)
		}
		s.forms = append(s.forms, pattern{id, re, len(strings.Join(parts, ""))})
	}
	sort.SliceStable(s.forms, func(i, j int) bool { return s.forms[i].fixed > s.forms[j].fixed })
	return s, nil
}

func inFamily(id string) bool {
	for _, f := range recognised {
		if strings.HasPrefix(id, f) {
			return true
		}
	}
	return false
}

// Render says a sentence, or several, that the program wrote in English; ok is false where a part of it is not in the
// catalogue and stays English. English comes back as it is.
func (s *Speaker) Render(english string) (said string, ok bool) {
	if s.lang == English {
		return english, true
	}
	if said, ok := s.whole(english); ok {
		return said, true
	}
	return s.parts(strings.SplitAfter(english, ". "))
}

// Behind says what stands behind an id and a colon ("hidden-base: part the brush"), and the id itself where there is a noun for it.
func (s *Speaker) Behind(english string) (string, bool) {
	id, sentence, cut := strings.Cut(english, ": ")
	if !cut {
		return s.Render(english)
	}
	said, ok := s.Render(sentence)
	if noun, known := s.book.exact[id]; known && s.lang != English {
		id = s.Say(noun)
	}
	return id + ": " + said, ok
}

// mostTogether is the number of sentences of the longest message.
const mostTogether = 6

// parts says as many sentences at once as are recognised together, then goes on behind them.
func (s *Speaker) parts(list []string) (string, bool) {
	var out []string
	all := true
	for i := 0; i < len(list); {
		next := i + 1
		said, ok := strings.TrimSpace(list[i]), false
		for j := min(len(list), i+mostTogether); j > i && !ok; j-- {
			if one, known := s.whole(strings.TrimSpace(strings.Join(list[i:j], ""))); known {
				said, ok, next = one, true, j
			}
		}
		if !ok {
			said, ok = s.listed(said)
		}
		if !ok {
			said, ok = s.behindName(said)
		}
		out, all, i = append(out, said), all && ok, next
	}
	return strings.Join(out, " "), all
}

// behindName says what stands behind names and a colon ("Ana: not fit today."), with or without the full stop of the message.
func (s *Speaker) behindName(text string) (string, bool) {
	names, rest, cut := strings.Cut(text, ": ")
	if !cut {
		return text, false
	}
	bare, stop := strings.CutSuffix(rest, ".")
	said, ok := s.whole(bare)
	if !ok {
		said, ok = s.whole(rest)
	} else if stop {
		said += "."
	}
	if !ok {
		return text, false
	}
	if s.lang == French {
		names += "\u00a0"
	}
	return names + ": " + said, true
}

// listed says what stands between semicolons, each for itself; what is not recognised stays.
func (s *Speaker) listed(text string) (string, bool) {
	list, all := strings.Split(text, "; "), true
	if len(list) == 1 {
		return text, false
	}
	for i, part := range list {
		said, ok := s.whole(part)
		if ok {
			list[i] = said
		}
		all = all && ok
	}
	return strings.Join(list, "; "), all
}

// words says a list of single words between commas, all of which are recognised or none.
func (s *Speaker) words(text string) (string, bool) {
	list := strings.Split(text, ", ")
	for i, word := range list {
		id, known := s.book.exact[word]
		if !known {
			return text, false
		}
		list[i] = s.Say(id)
	}
	return strings.Join(list, ", "), true
}

// whole says one message, the text in its places said as well where it is one.
func (s *Speaker) whole(text string) (string, bool) {
	if id, ok := s.book.exact[text]; ok {
		return s.Say(id), true
	}
	if said, ok := s.words(text); ok {
		return said, true
	}
	for _, p := range s.book.forms {
		if m := p.form.FindStringSubmatch(text); m != nil && fits(p.id, m[1:]) {
			args := make([]any, len(m)-1)
			for i, arg := range m[1:] {
				args[i], _ = s.Render(arg)
			}
			return s.Say(p.id, args...), true
		}
	}
	return "", false
}

// fits refuses a form whose places would have to swallow the end of a sentence, or one round bracket of two.
func fits(id string, places []string) bool {
	for _, l := range loose {
		if strings.HasPrefix(id, l) {
			return true
		}
	}
	for _, p := range places {
		if strings.Contains(p, ". ") || !closed(p) {
			return false
		}
	}
	return true
}

// closed reports whether every round bracket of a text has its other one.
func closed(text string) bool {
	open := 0
	for _, r := range text {
		switch r {
		case '(':
			open++
		case ')':
			open--
		}
		if open < 0 {
			return false
		}
	}
	return open == 0
}
