package workbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLinesAreBrokenBetweenWords(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		want  int
	}{
		{"", 20, 1},
		{"short", 20, 1},
		{"one\ntwo\n\nfour", 20, 4},
		{"twelve words", 6, 2},
		{strings.Repeat("x", 92), 40, 2}, // 46 letters a line
		{strings.Repeat("x", 93), 40, 3},
		{strings.Repeat("x", 70) + " " + strings.Repeat("y", 70), 100, 2}, // no word is parted that fits a line
		{strings.TrimSpace(strings.Repeat("nine len ", 23)), 90, 2},
		{"any", 0, 3},
	} {
		require.Equal(t, c.want, linesOf(c.text, c.width), "%q in %v", c.text, c.width)
	}
}
