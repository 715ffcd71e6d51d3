package hazards

import (
	"regexp"
	"strings"
	"sync"

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
	t, who, at := r.saidBy(line, where, t)
	if m := dontKnowForm.FindStringSubmatch(t); m != nil {
		return r.dontKnow(line, where, m[1])
	}
	word, known := yesNo[strings.ToLower(t)]
	switch {
	case strings.EqualFold(t, NotApplicable) || strings.EqualFold(t, "n/a"):
		if !q.NA {
			r.say(line, "%s: not applicable is no answer here; %s", where, q.howTo())
		}
		return Said{Is: NotApplicable, Who: who, At: at}
	case q.Part != "" && strings.EqualFold(t, q.Part):
		return Said{Is: Told, Value: q.Part, Who: who, At: at}
	case known && (q.Kind == YesNo || (q.None && word == No) || word == q.Bad):
		return Said{Is: word, Who: who, At: at}
	case q.Kind == YesNo || (known && q.Kind != Value && q.Kind != Clock):
		r.say(line, "%s: %q is no answer; %s", where, t, q.howTo())
		return Said{}
	}
	return Said{Is: Told, Value: r.told(line, where, t, q), Who: who, At: at}
}

var saidByForm = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(.*\S) - (\S.*) at (\d{1,2}:\d\d)$`) })

// saidBy takes "no - rosa at 06:30" apart: the answer, who said so and when. Where nobody is named, whoever fills in the sheet says
// so at its time.
func (r *reader) saidBy(line int, where, t string) (answer, who, at string) {
	if !strings.Contains(t, " at ") || dontKnowForm.MatchString(t) {
		return t, "", ""
	}
	m := saidByForm().FindStringSubmatch(t)
	if m == nil {
		return t, "", ""
	}
	at, err := clockTime(m[3])
	if err != nil {
		r.say(line, "%s: %v", where, err)
	}
	r.person(line, where, m[2])
	return m[1], m[2], at
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
	case Person:
		r.person(line, where, t)
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
	r.person(line, where, who)
	return Said{Is: DontKnow, Who: who, By: by}
}
