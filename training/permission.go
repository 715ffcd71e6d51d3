package training

// Permission is the level at which a person may do a task group on a day, with what it rests on.
type Permission struct {
	Group   string
	Level   Level
	Slope   string   // steepest ground of the release, with unit; "" = the house limit
	Reasons []string // why not more, and what it rests on
}
