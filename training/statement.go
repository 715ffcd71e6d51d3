package training

// KindStatement is the kind of an entry in which a worker says something about an entry that concerns them.
const KindStatement = "statement"

// Statement is a worker's own word on one entry about them. It decides nothing: it is printed beside the entry wherever that stands,
// also where the entry was struck.
type Statement struct {
	Entry string `json:"entry"` // "origin#seq"
	Says  string `json:"says"`
}
