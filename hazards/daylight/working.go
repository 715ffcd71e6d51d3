package daylight

import "time"

// LastSaw is the last moment at which a saw may run so that everybody is out while there is light: sunset less a margin and
// the walk-out. ok is false on a day without a sunset.
func (d Day) LastSaw(margin, walkOut time.Duration) (t time.Time, ok bool) {
	if d.Horizon != Crosses {
		return time.Time{}, false
	}
	return d.Sunset.Add(-margin - walkOut), true
}
