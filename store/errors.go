package store

// UnusableError says why a file cannot serve as the book and what to do next. Damaged means that the file is ours
// but its content is broken or cut; every other case (missing, busy, not ours, newer, read-only) leaves it false.
type UnusableError struct {
	What    string
	Next    string
	Damaged bool
}

func (e *UnusableError) Error() string { return e.What }
