package training

import (
	"example.org/ringtrue/hazards/units"
)

// KindReleaseEnd is the kind of an entry that ends a release.
const KindReleaseEnd = "release-end"

// ReleaseEnd ends the release of a worker for a task group from a moment on; it was right when made. Like every stop it asks for no
// appointment, and it ends whatever release for that group was recorded before it, also where it is told late.
type ReleaseEnd struct {
	Group  string `json:"group"`
	Reason string `json:"reason"`
	Told   string `json:"told"` // "in person" or "by phone"
}

// Within says in words what a release is limited to, with "; " before it; "" where it has no limits of its own.
// Slope is the steepest ground, with unit; limits are those written in words.
func Within(slope, limits string) string {
	text := ""
	if slope != "" {
		text = "; ground up to " + slope
	}
	if limits != "" {
		text += "; only: " + limits
	}
	return text
}

// ReleaseChange is one thing in which a new release differs from the one in force.
type ReleaseChange struct {
	What    string // level, ground, until, limits
	Before  string
	After   string
	Loosens bool // it lets more be done, or nobody can tell that it does not
}

// ReleaseChanges compares a release with the one that it replaces, by the records of both; most is the slope of the house rules, with unit,
// which a release without a slope of its own goes up to. Limits in words cannot be compared: where they change, the release may be looser.
func ReleaseChanges(old, now Release, most string) []ReleaseChange {
	var list []ReleaseChange
	add := func(what, before, after string, loosens bool) {
		if before != after {
			list = append(list, ReleaseChange{what, before, after, loosens})
		}
	}
	add("level", old.Level.String(), now.Level.String(), now.Level > old.Level)
	before, after := orText(old.Slope, most), orText(now.Slope, most)
	add("ground up to", before, after, steeper(before, after))
	add("until", orText(old.Until, "open"), orText(now.Until, "open"), old.Until != "" && (now.Until == "" || now.Until > old.Until))
	add("only", orText(old.Limits, "no limits in words"), orText(now.Limits, "no limits in words"), old.Limits != "")
	return list
}

func orText(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// steeper reports whether a slope is steeper than another; one that cannot be read counts as steeper.
func steeper(before, after string) bool {
	was, err1 := units.Parse(before, units.Slope)
	is, err2 := units.Parse(after, units.Slope)
	return before != after && (err1 != nil || err2 != nil || is.SI() > was.SI())
}

// endsRelease reports whether an entry that ends releases for a task group ends this one: what happened no later, and what was recorded
// before it, since a stop told late stops at once. At the same second the stop has the last word.
func endsRelease(end, release Fact, a Asked) bool {
	if end.Kind != FactWithdrawal || end.Struck || end.At > a.On || end.Recorded > a.Known {
		return false
	}
	earlier := release.Recorded < end.Recorded || (release.Recorded == end.Recorded && release.Entry < end.Entry)
	return release.At <= end.At || earlier
}
