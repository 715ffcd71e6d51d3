package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/risk"
)

// acting are the controls whose owner is here, or fills in or accepts the sheet. Nobody else can see to one.
func (d *day) acting() []risk.Control {
	var out []risk.Control
	for _, c := range d.in.Sheet.Controls {
		if d.sees(c.Owner) {
			out = append(out, risk.Control{Factor: c.For, Kind: c.Kind})
		}
	}
	return out
}

func (d *day) sees(owner string) bool {
	_, here := d.lineOf(owner)
	return owner != "" && (here || d.id(owner) == d.id(d.in.Sheet.By) || d.id(owner) == d.id(d.in.Sheet.AcceptedBy))
}

// accept holds until every finding that needs it has a control with an owner and somebody known has accepted by name.
func (d *day) accept() {
	for _, c := range d.in.Sheet.Controls {
		if !d.sees(c.Owner) {
			d.hold(TopicAcceptance, "owner-absent", "%s is to see to %s but is not here. That control does not count.", d.name(c.Owner), c.For)
		}
	}
	if len(d.pending) == 0 {
		return
	}
	for _, p := range d.pending {
		f := d.out.Findings[p.finding]
		f.Controls = d.controlWords(p.factors)
		d.out.Findings[p.finding] = f
		if len(p.factors) > 0 && len(f.Controls) == 0 {
			d.hold(TopicAcceptance, "no-control", "Hold for acceptance. No control with an owner is named for %s.", lowerFirst(p.words))
		}
	}
	if by := d.in.Sheet.AcceptedBy; by == "" {
		d.hold(TopicAcceptance, "not-accepted", "Hold for acceptance. Nobody has accepted by name what is left after controls.")
	} else if _, known := d.people[by]; !known {
		d.hold(TopicAcceptance, "not-accepted", "Hold for acceptance. %s is not on the crew list and cannot accept.", by)
	}
}

// controlWords says which controls are named for these factors, and who sees to them.
func (d *day) controlWords(factors []string) []string {
	var out []string
	for _, c := range d.in.Sheet.controlsFor(factors...) {
		out = append(out, fmt.Sprintf("%s: %s (%s), %s sees to it", c.For, c.What, c.Kind, d.name(c.Owner)))
	}
	return out
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }
func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
