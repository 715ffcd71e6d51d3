package upkeep

import (
	"math"
	"slices"

	"example.org/ringtrue/hazards/house"
)

// StopSpan says from when to when a defect or a tag kept a saw out of use, in Unix seconds; Until is the first second no longer, or
// StillOpen. A clearing that nobody looked at again in time gives a second span of the same entry.
type StopSpan struct {
	Entry       int64
	From, Until int64
}

// StillOpen is the end of what has not been cleared.
const StillOpen = math.MaxInt64

// StopSpans says when each thing kept a saw out of use, by the house rules given. It asks Open at every moment at which the answer can change.
func StopSpans(events []Event, h house.House) []StopSpan {
	within := int64(h.SI(house.SecondLook))
	var steps []int64
	for _, e := range events {
		steps = append(steps, e.At)
		if e.Kind == Cleared && e.Again {
			steps = append(steps, e.At+within+1) // the first second at which the second look is late
		}
	}
	slices.Sort(steps)
	var spans []StopSpan
	running := map[int64]int{} // entry -> its span
	for _, t := range slices.Compact(steps) {
		stops := map[int64]bool{}
		for _, o := range Open(events, h, t) {
			if _, on := running[o.Entry]; o.Stops && !on {
				running[o.Entry] = len(spans)
				spans = append(spans, StopSpan{o.Entry, t, StillOpen})
			}
			stops[o.Entry] = o.Stops
		}
		for entry, i := range running {
			if !stops[entry] {
				spans[i].Until = t
				delete(running, entry)
			}
		}
	}
	return spans
}
