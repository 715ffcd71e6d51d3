package dayplan

// What can happen to parts of a kit.
const (
	Issued    = "issued"    // given out with the kit
	Used      = "used"      // used up
	Restocked = "restocked" // filled up again
	Counted   = "counted"   // counted: what was thought to be there no longer matters
)

// KitRecord stands as data of a ledger entry: what happened to parts of one kit.
type KitRecord struct {
	Kit    string      `json:"kit"`
	Change string      `json:"change"`
	Parts  []KitAmount `json:"parts"`
	Note   string      `json:"note"`
}

// KitAmount is a number of one part in a record.
type KitAmount struct {
	Part  string `json:"part"`
	Count int    `json:"count"`
}

// KitEvent is a record with its day: days count up from any beginning.
type KitEvent struct {
	Day int
	KitRecord
}

// StockOf adds up a kit from its records, in the order in which they count. Used counts what was used since the day given. More
// used than there was leaves less than nothing: the kit is to be counted.
func StockOf(events []KitEvent, since int) map[string]Stock {
	stock := map[string]Stock{}
	for _, e := range events {
		for _, p := range e.Parts {
			s := stock[p.Part]
			switch e.Change {
			case Counted:
				s.Have = p.Count
			case Used:
				s.Have -= p.Count
				if e.Day >= since {
					s.Used += p.Count
				}
			default:
				s.Have += p.Count
			}
			stock[p.Part] = s
		}
	}
	return stock
}
