package training

// FewEvents is the number below which a rate of events means little. Of n events that come by chance the standard error is the square
// root of n: a third of 9, half of 4 (plain statistics of counts); where to draw the line is company choice.
const FewEvents = 10

// EventRate is how many events of one kind were told in a span, and how many that makes per 1,000 hours of saw time. Without saw time
// it is not defined. Few says that the number is too small to tell a trend from chance.
type EventRate struct {
	Kind        string
	Events      int
	PerThousand float64
	Defined     bool
	Few         bool
}

// EventRates counts events by kind, every kind of EventKinds in its order, beside saw time in hours (0 or more). Told holds the kind of
// each event; a kind that is not known is passed over.
func EventRates(told []string, hours float64) []EventRate {
	rates := make([]EventRate, 0, len(EventKinds))
	for _, kind := range EventKinds {
		r := EventRate{Kind: kind, Defined: hours > 0}
		for _, k := range told {
			if k == kind {
				r.Events++
			}
		}
		r.Few = r.Events < FewEvents
		if r.Defined {
			r.PerThousand = float64(r.Events) / hours * 1000
		}
		rates = append(rates, r)
	}
	return rates
}
