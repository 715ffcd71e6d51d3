package hazards

import (
	"regexp"
	"strings"

	"go.yaml.in/yaml/v3"
)

// yesNo lists the plain words and those that YAML of any age reads as true and false.
var yesNo = map[string]string{"yes": Yes, "y": Yes, "true": Yes, "no": No, "n": No, "false": No}

var dontKnowForm = regexp.MustCompile(`(?i)^do(?:n[’']?t| not) know(?: yet)?\b[\s,;:–-]*(.*)$`)

// said reads the answer to one question. A blank one names the question.
func (r *reader) said(n, parent *yaml.Node, where string, q Question) Said {
	t := r.need(n, parent, where, q.Text)
	if t == "" {
		return Said{}
	}
	line := n.Line
	if m := dontKnowForm.FindStringSubmatch(t); m != nil {
		return r.dontKnow(line, where, m[1])
	}
	word, known := yesNo[strings.ToLower(t)]
	switch {
	case strings.EqualFold(t, NotApplicable) || strings.EqualFold(t, "n/a"):
		if !q.NA {
			r.say(line, "%s: not applicable is no answer here; %s", where, q.howTo())
		}
		return Said{Is: NotApplicable}
	case known && (q.Kind == YesNo || (q.None && word == No)):
		return Said{Is: word}
	case q.Kind == YesNo || (known && q.Kind != Value && q.Kind != Clock):
		r.say(line, "%s: %q is no answer; %s", where, t, q.howTo())
		return Said{}
	}
	return Said{Is: Told, Value: r.told(line, where, t, q)}
}

// told reads a value, clock time, worker or words.
func (r *reader) told(line int, where, t string, q Question) string {
	switch q.Kind {
	case Value:
		if _, err := inRange(t, q); err != nil {
			r.say(line, "%s: %v; %s", where, err, q.howTo())
		}
	case Clock:
		c, err := clockTime(t)
		if err != nil {
			r.say(line, "%s: %v; %s", where, err, q.howTo())
		}
		return c
	}
	return t
}

// dontKnow reads "luis by 07:30" after the words themselves.
func (r *reader) dontKnow(line int, where, rest string) Said {
	i := strings.LastIndex(rest, " by ")
	if i < 0 {
		r.say(line, "%s: don't know yet needs who finds out and by when; write %s - NAME by 07:30", where, DontKnow)
		return Said{}
	}
	who, when := strings.TrimSpace(rest[:i]), strings.TrimSpace(rest[i+len(" by "):])
	by, err := clockTime(when)
	if err != nil {
		r.say(line, "%s: don't know yet: %v", where, err)
	}
	if who == "" {
		r.say(line, "%s: don't know yet needs who finds out", where)
	}
	return Said{Is: DontKnow, Who: who, By: by}
}
