package hazards

import (
	"fmt"

	"example.org/ringtrue/hazards/wires"
)

// wires compares the nearest wire with two lengths of the tallest stem and the limit of approach. A wire within reach, and one of which
// nobody knows, is a plain stop; none seen is an answer, by who says so.
func (d *day) wires() {
	far, told := d.value(Wires)
	if !told || !d.sawWork() {
		return
	}
	volts, known := d.value(WireVoltage)
	limit := wires.LimitOf(volts, known)
	need := wires.Needed(d.tallest(), limit)
	if far >= need-rounding {
		return
	}
	of := "an unknown voltage"
	if known {
		of = d.answers[WireVoltage].Value
	}
	said := d.answers[Wires].Value
	d.limit(limited{topic: TopicEmergency, id: Wires, effect: StopSite, other: wires.Source, ends: "what is cut stands further off, or the owner of the line says how it is done",
		line: "a wire at " + said + ": " + metres(need) + " is needed", do: wiresDo,
		what: fmt.Sprintf("The nearest wire is %s from where you cut; %s is needed: two lengths of the tallest stem and %s for %s. Keep off that ground without the word of the line's owner. A wire that is down or touched: keep 10 m off and call.",
			said, metres(need), metres(limit), of)})
}

const wiresDo = "keep off that ground; a wire down or touched: keep 10 m off and call"
