package hazards

// Hints help to fill in a sheet; none of them is an answer. Last is the block's last sheet, from the same edition of
// its card: its stable answers are written into empty places and marked with their day. People, Saws and Groups are
// offered as comments, because who and what is here is never carried over; behind a name stands what was planned for it last.
type Hints struct {
	Block  Block
	Last   *Sheet
	People []string
	Saws   []string
	Groups []string
	Asks   []EventQuestion // questions of events that are open on this block; the answers are never carried forward

	FireClass string // why the fire class may not stay blank, "" where it may
}

// lastSaw is a saw on the last sheet: its figures stay, its checks never do.
func (h Hints) lastSaw(id string) SawLine {
	if h.Last != nil {
		for _, s := range h.Last.Saws {
			if s.ID == id {
				return s
			}
		}
	}
	return SawLine{}
}

// offered is the line of somebody who may be here, as planned last. Whether they are fit is never offered.
func (h Hints) offered(worker string) string {
	c := CrewLine{Worker: oneLine(worker)}
	if h.Last != nil {
		for _, l := range h.Last.Crew {
			if l.Worker == worker {
				c = l
			}
		}
	}
	level := ""
	if c.Level > 0 {
		level = c.Level.String()
	}
	return "{worker: " + inFlow(c.Worker) + ", saw: " + inFlow(c.Saw) + ", group: " + inFlow(c.Group) + ", level: " + level + ", watched-by: " + inFlow(c.WatchedBy) +
		pairIf("trigger", c.Trigger) + pairIf("ears", c.Ears) + ", fit: }"
}
