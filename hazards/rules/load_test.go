package rules

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const small = `code: low
aliases: [lowland]
title: Lowland
authority: the authority
thinning: covered
thinning_why: It says so.
sought: [slope]
sought_on: "2026-01-30"
rules:
  - id: low-1
    instrument: Act
    clause: 26.10
    topic: fuel
    duty: Do it.
    reference: Act s. 26.10
    read: verified
    read_on: "2026-01-30"
    version: as of 2025
`

func TestParseReadsAPlace(t *testing.T) {
	j, err := Parse("data/low.yaml", []byte(small))
	require.NoError(t, err)
	require.Equal(t, Jurisdiction{Code: "low", Aliases: []string{"lowland"}, Title: "Lowland", Authority: "the authority",
		Rules: []Rule{{ID: "low-1", Instrument: "Act", Clause: "26.10", Topic: "fuel", Also: []string{}, Kept: []string{}, Duty: "Do it.",
			Reference: "Act s. 26.10", Read: Verified, ReadOn: "2026-01-30", Version: "as of 2025"}},
		Thinning: Covered, ThinningWhy: "It says so.", Sought: []string{"slope"}, SoughtOn: "2026-01-30"}, j)
}

func TestParseRefusesWithFileAndLine(t *testing.T) {
	for name, c := range map[string]struct{ file, text, want string }{
		"unknown key of a rule":  {"low.yaml", small + "    dutty: x\n", "low.yaml: line 19: field dutty not found"},
		"unknown key of a place": {"low.yaml", "code: low\ncolour: red\n", "low.yaml: line 2: field colour not found"},
		"key twice":              {"low.yaml", small + "    duty: x\n", "low.yaml: line 19: "},
		"list for a word":        {"low.yaml", "code: [low]\n", "low.yaml: line 1: cannot unmarshal"},
		"broken YAML":            {"low.yaml", "code: low\n title: x\n", "low.yaml: line 2: "},
		"empty":                  {"low.yaml", "", "low.yaml: the file is empty"},
		"two documents":          {"low.yaml", small + "---\ncode: low\n", "low.yaml: more than one document"},
		"file of another code":   {"mid.yaml", small, `mid.yaml: the code inside is "low"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse(c.file, []byte(c.text))
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestParseReportsAllUnknownKeys(t *testing.T) {
	_, err := Parse("low.yaml", []byte(small+"    dutty: x\n    claus: y\n"))
	require.ErrorContains(t, err, "low.yaml: line 19: field dutty")
	require.ErrorContains(t, err, "low.yaml: line 20: field claus")
}

// FuzzParse: whatever the file holds, reading it neither panics nor hides the file's name; a place that passes lint
// comes back unchanged from the JSON in which a book records it.
func FuzzParse(f *testing.F) {
	f.Add(small)
	f.Add("code: &c low\ntitle: *c\nauthority: |\n  two\n  lines\n")
	f.Fuzz(func(t *testing.T, text string) {
		j, err := Parse("low.yaml", []byte(text))
		if err != nil {
			require.True(t, strings.Contains(err.Error(), "low.yaml"), "no file in %q", err)
			return
		}
		e := Edition{Edition: "f", Compiled: StarterCompiled, Jurisdictions: []Jurisdiction{j}}
		if len(Lint(e)) > 0 {
			return
		}
		body, err := json.Marshal(e)
		require.NoError(t, err)
		var back Edition
		require.NoError(t, json.Unmarshal(body, &back))
		require.Equal(t, e, back)
	})
}
