package hazards

import (
	"fmt"
	"strings"
)

// limited is a finding about something compared with a limit, never scored: what was found, by which house rules, and what
// would end it.
type limited struct {
	topic  string
	id     string
	effect Effect
	worker string   // for StopPerson, and for what is told one person
	what   string   // a sentence
	rules  []string // keys of the house rules that decide
	other  string   // a source beside or instead of a house rule
	ends   string   // what would end it
}

// limit adds such a finding. One that needs a control waits for a control on the question it comes from.
func (d *day) limit(l limited) {
	f := Finding{Topic: l.topic, ID: l.id, Effect: l.effect, Of: OfSite, What: l.what, House: d.cites(l.rules, l.other), Ends: l.ends}
	if l.worker != "" {
		f.Of, f.Subject = OfPerson, d.id(l.worker)
		f.What = d.name(l.worker) + ": " + l.what
	}
	i := d.find(f)
	switch l.effect {
	case NeedsControl:
		d.pending = append(d.pending, pending{i, l.id, []string{l.id}})
	case StopPerson:
		d.stopped[l.worker] = append(d.stopped[l.worker], lowerFirst(strings.TrimSuffix(l.what, ".")))
	}
}

func (d *day) cites(keys []string, other string) string {
	words := make([]string, 0, len(keys)+1)
	for _, k := range keys {
		words = append(words, d.in.House.Cite(k))
	}
	if other != "" {
		words = append(words, other)
	}
	return strings.Join(words, "; ")
}

// short names a house rule with its edition, without its source.
func (d *day) short(key string) string {
	return fmt.Sprintf("house rule %s %s, edition %s", key, d.in.House.Value(key), d.in.House.Edition)
}

// watchFor names something that is to be answered again when it comes.
func (d *day) watchFor(format string, args ...any) {
	d.out.WatchFor = append(d.out.WatchFor, fmt.Sprintf(format, args...))
}

// endBy brings the end of the answer forward to a clock time, HH:MM.
func (d *day) endBy(clock string) {
	if d.ends == "" || clock < d.ends {
		d.ends = clock
	}
}
