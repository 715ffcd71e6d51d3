// Package spelling finds the name meant by a misspelt word, for messages that say what to write instead.
package spelling

// Closest returns the name that needs the fewest letters put in, taken out or changed to become the typed word, the
// first of equals; "" when there are no names.
func Closest(typed string, names []string) string {
	best, least := "", -1
	for _, name := range names {
		if d := distance([]rune(typed), []rune(name)); least < 0 || d < least {
			best, least = name, d
		}
	}
	return best
}

// Nearest is Closest where the word may be meant for it: "" if more than half of the letters would have to change.
func Nearest(typed string, names []string) string {
	best := Closest(typed, names)
	from, to := []rune(typed), []rune(best)
	if 2*distance(from, to) > max(len(from), len(to)) {
		return ""
	}
	return best
}

// distance is the Levenshtein distance between two words, computed row by row.
func distance(a, b []rune) int {
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
