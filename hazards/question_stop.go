package hazards

// StopsIf is the answer that stops the site whatever else was answered, for sheets that are filled in without the program;
// "" where no single answer does.
func (q Question) StopsIf() string {
	if q.ID == HeavyRain {
		return Yes
	}
	return plainStops[q.ID].when
}
