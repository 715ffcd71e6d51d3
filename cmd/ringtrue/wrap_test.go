package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWrapped(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"short", "short"},
		{"the widest of all lines breaks here", "the widest of all\n  lines breaks here"},
		{"10:30  kael called by radio and said so", "10:30  kael called\n       by radio and\n       said so"},
		{"M3   met  all of them are here now", "M3   met  all of\n          them are\n          here now"},
		{"a word  of it here and there still", "a word  of it here\n        and there\n        still"},
		{"    ends when: the event is closed", "    ends when: the\n      event is\n      closed"},
		{"a word_that_is_wider_than_the_screen b", "a\n  word_that_is_wider_than_the_screen\n  b"},
		{"first\nsecond line goes on a bit", "first\nsecond line goes on\n  a bit"},
		{"é é é é é é é é é é", "é é é é é é é é é é"}, // 19 letters, more bytes
	} {
		require.Equal(t, c.want, wrapped(c.text, 20), c.text)
		require.Equal(t, c.text, wrapped(c.text, 0), "in a pipe nothing wraps")
	}
}

func TestAlignedTableFits(t *testing.T) {
	rows := [][]string{{"SAW", "STATE", "WHY"}, {"S11", "stopped", "tagged out: smells of fuel by okafor (entry 12)"}, {"S12", "due", ""}}
	require.Equal(t, []string{
		"SAW  STATE    WHY",
		"S11  stopped  tagged out: smells of",
		"              fuel by okafor (entry",
		"              12)",
		"S12  due",
	}, aligned(rows, 36))
	require.Equal(t, []string{
		"SAW  STATE    WHY",
		"S11  stopped  tagged out: smells of fuel by okafor (entry 12)",
		"S12  due",
	}, aligned(rows, 0))
}

// Nothing is lost, and nothing is wider than the screen where words let it.
func TestAlignedKeepsEveryWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide := rapid.IntRange(60, 120).Draw(t, "columns")
		cell := rapid.Map(rapid.SliceOfN(rapid.StringMatching(`[a-zé]{1,12}`), 0, 40), func(words []string) string { return strings.Join(words, " ") })
		n := rapid.IntRange(1, 4).Draw(t, "cells")
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, n, n), 1, 5).Draw(t, "rows")
		had, has := map[string]int{}, map[string]int{}
		for _, r := range rows {
			for _, w := range strings.Fields(strings.Join(r, " ")) {
				had[w]++
			}
		}
		for _, line := range aligned(rows, wide) {
			require.LessOrEqual(t, utf8.RuneCountInString(line), wide)
			for _, w := range strings.Fields(line) {
				has[w]++
			}
		}
		require.Equal(t, had, has)
	})
}

func TestAPipeHasNoColumns(t *testing.T) {
	require.Zero(t, columns(&bytes.Buffer{}))
}
