package glance

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
)

// controlsOf lists the controls of the sheet with the topics and people they are for, and then what needs one and has none.
func controlsOf(a hazards.Assessment, named []hazards.Control, name func(string) string) []Control {
	var out []Control
	for _, c := range named {
		one := Control{Text: c.What, Owner: name(c.Owner)}
		for _, f := range a.Findings {
			if serves(c, f) {
				one.Topics = addNew(one.Topics, f.Topic)
			}
		}
		out = addControl(out, one)
	}
	for _, f := range a.Findings {
		if f.Effect != hazards.NeedsControl || served(f, named) {
			continue
		}
		one := Control{Names: subjects(f), Text: firstSentence(line(f)), Long: firstSentence(long(f)), Accepts: a.AcceptedBy}
		if one.Accepts == "" {
			one.Do = f.Do
		}
		out = addControl(out, one)
	}
	return out
}

// serves reports whether a control is one of a finding: it is named for it, or stands among its controls, which begin with what they
// are named for.
func serves(c hazards.Control, f hazards.Finding) bool {
	return c.For == f.ID || slices.ContainsFunc(f.Controls, func(text string) bool { return strings.HasPrefix(text, c.For+": ") })
}

func served(f hazards.Finding, named []hazards.Control) bool {
	return slices.ContainsFunc(named, func(c hazards.Control) bool { return serves(c, f) })
}

// addControl adds a row, or its topics and names to the row of the same control and owner.
func addControl(list []Control, one Control) []Control {
	for i, c := range list {
		if c.Text == one.Text && c.Do == one.Do && c.Owner == one.Owner && c.Accepts == one.Accepts {
			if len(one.Names) > 0 {
				list[i].Long = "" // it names only some of them
			}
			list[i].Topics, list[i].Names = addNew(c.Topics, one.Topics...), addNew(c.Names, one.Names...)
			return list
		}
	}
	return append(list, one)
}
