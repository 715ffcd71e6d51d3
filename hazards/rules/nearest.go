package rules

// NearestCode suggests the code or alias closest to a misspelt one; "" when the edition has none.
func (e Edition) NearestCode(typed string) string {
	var names []string
	for _, j := range e.Jurisdictions {
		names = append(append(names, j.Code), j.Aliases...)
	}
	return Nearest(Normal(typed), names)
}

// NearestID suggests the rule id closest to a misspelt one; "" when the edition has none.
func (e Edition) NearestID(typed string) string {
	var ids []string
	for _, j := range e.Jurisdictions {
		for _, r := range j.Rules {
			ids = append(ids, r.ID)
		}
	}
	return Nearest(Normal(typed), ids)
}

// Nearest returns the name that needs the fewest letters put in, taken out or changed to become the typed word, the
// first of equals; "" when there are no names.
func Nearest(typed string, names []string) string {
	best, least := "", -1
	for _, name := range names {
		if d := edits([]rune(typed), []rune(name)); least < 0 || d < least {
			best, least = name, d
		}
	}
	return best
}

// edits is the Levenshtein distance between two words, computed row by row.
func edits(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, letter := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j, other := range b {
			change := diagonal
			if letter != other {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
