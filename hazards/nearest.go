package hazards

// nearest returns the name that is closest to a misspelt word, or "" where none is close: at most a third of the
// letters may differ, and at least two.
func nearest(word string, names []string) string {
	best, least := "", max(2, len(word)/3)+1
	for _, n := range names {
		if d := edits(word, n); d < least {
			best, least = n, d
		}
	}
	return best
}

// edits counts the letters to put in, take out or change to turn a into b (Levenshtein distance).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
