package hazards

// DayFacts is what is known of one block's day: of all its checks together.
type DayFacts struct {
	Today  bool // it is not over yet
	Ended  bool // the answer's time is past, or the day is
	Closed bool // a full head count, or somebody said why there was none
	Short  bool // the last head count was short
	Joined int  // people who joined a check of the day
	Held   bool // the last word of the day was hold
	SawRan bool // a saw was used, or time at the trigger told
	Missed int  // calls that did not come and were not made good
}

// LeftOpen is what a day still waits for.
type LeftOpen struct {
	Missing      bool // somebody was missing at the last head count
	Uncounted    bool // people were there and nobody counted heads, or not all
	NobodyJoined bool // a check was made and nobody is on record as having heard it
	Missed       bool // a call did not come
}

// Left says what a day still waits for, however old it is. A day that was closed waits for nothing. A hold on which nobody joined and no
// saw ran ends by itself when its day is over: nobody was there to be counted. Whoever joined has to be counted out, and so has whoever
// ran a saw without having joined.
func Left(f DayFacts) LeftOpen {
	if f.Closed {
		return LeftOpen{}
	}
	somebody := f.Joined > 0 || f.SawRan
	return LeftOpen{
		Missing:      f.Short,
		Missed:       f.Missed > 0,
		Uncounted:    somebody && (f.Ended || !f.Today),
		NobodyJoined: f.Joined == 0 && !f.Today && !(f.Held && !f.SawRan),
	}
}
