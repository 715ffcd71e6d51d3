package training

// TaughtBy returns the attendance or credit that makes a module current at the moment asked: the first that is not
// struck and was known. Attendance does not expire. ok is false without one.
func TaughtBy(moduleFacts []Fact, a Asked) (f Fact, ok bool) {
	for _, f := range moduleFacts {
		if (f.Kind == FactAttendance || f.Kind == FactCredit) && f.At <= a.On && f.Day <= a.Day && f.Recorded <= a.Known && !f.Struck {
			return f, true
		}
	}
	return Fact{}, false
}

// CannotLift says why an entry does not bear a lift of the skill's restriction, or "" if it does.
func CannotLift(c Case, a Asked, look Ref) string {
	t := c.walk(a)
	if len(t.restricted) == 0 {
		return "the skill is not restricted"
	}
	last := t.restricted[len(t.restricted)-1]
	for _, f := range c.Readings[c.reading(a.On)].History.Facts {
		if f.Entry != look || f.Kind != FactObservation {
			continue
		}
		switch {
		case f.Struck:
			return "that observation is struck"
		case f.Outcome() != OutcomeMet:
			return "that observation was not met, it was " + f.Outcome().String()
		case f.At > a.On:
			return "that observation came after the lift"
		case f.At <= last.At:
			return "that observation came before the restriction of " + last.Day.String()
		}
		return ""
	}
	return "it is not an observation of this worker and skill"
}
