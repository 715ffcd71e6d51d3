package sealed

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWords(t *testing.T) {
	require.Len(t, firsts, 96)
	require.Len(t, seconds, 81)
	all := map[string]bool{}
	for _, a := range firsts {
		for _, b := range seconds {
			require.Regexp(t, `^[a-z]{5,15}$`, a+b)
			all[a+b] = true
		}
	}
	require.Len(t, all, 7776) // no two ways to the same word
}

func TestOfferDrawsFiveOfAllWords(t *testing.T) {
	random := rand.NewChaCha8([32]byte{1})
	seen := map[string]int{}
	for range 2000 {
		words, err := Offer(random)
		require.NoError(t, err)
		require.Len(t, strings.Fields(words), 5)
		require.NoError(t, Acceptable(words))
		for _, w := range strings.Fields(words) {
			seen[w]++
		}
	}
	require.Greater(t, len(seen), 5200) // 7776 (1 - e^-1.286) = 5627 are met on average, deviation 35
	for w, n := range seen {
		require.Less(t, n, 12, w) // 1.3 on average
	}
	_, err := Offer(bytes.NewReader(nil))
	require.ErrorContains(t, err, "draw words")
}

func TestAcceptable(t *testing.T) {
	for phrase, want := range map[string]string{
		"":                                  "has 0 characters, fewer than 15",
		"fourteen chars":                    "has 14 characters, fewer than 15",
		"fifteen  chars.":                   "",
		"äöüäöüäöüäöüäö":                    "has 14 characters",
		"äöüäöüäöüäöüäöü":                   "",
		"               ":                   "", // no rules of composition
		"with a tab\tin the middle":         "cannot be typed",
		strings.Repeat("x", MaxPhrase):      "",
		strings.Repeat("x", MaxPhrase+1):    "more than 1024",
		"fernladder mosskettle briargate x": "",
	} {
		if want == "" {
			require.NoError(t, Acceptable(phrase), phrase)
			continue
		}
		require.ErrorContains(t, Acceptable(phrase), want, phrase)
	}
}
