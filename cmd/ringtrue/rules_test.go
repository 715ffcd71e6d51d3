package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/rules"
)

// runRules runs one command line without a book and returns its exit code, results and errors.
func runRules(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	at := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	code = run(context.Background(), env{in: strings.NewReader(""), out: &o, err: &e,
		getenv: func(string) string { return "" }, now: func() time.Time { return at }}, append([]string{"rules"}, args...))
	return code, o.String(), e.String()
}

func TestRulesListShowsOwnRulesFirstAndEndsWithTheClosingWords(t *testing.T) {
	code, out, errs := runRules(t, "list", "--jurisdiction", "us-wa", "--topic", "spacing")
	require.Equal(t, exitDone, code, errs)
	require.Empty(t, errs)
	lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	require.Equal(t, "RULE\tTOPIC\tTEXT\tCITES\tDUTY", lines[0])
	require.True(t, strings.HasPrefix(lines[1], "us-wa-296-54-513-1-2\tspacing\tread\tWAC 296-54, 296-54-513(1)-(2)\t"), lines[1])
	require.Contains(t, out, "\nus-1910.266-d-6-ii\tspacing\tread\t29 CFR 1910.266, (d)(6)(ii)\t")
	require.Contains(t, out, "# us-wa: Washington State; decides: the state's workplace-safety agency")
	require.Equal(t, "# "+rules.Closing, lines[len(lines)-1])
}

func TestRulesListTakesAliases(t *testing.T) {
	_, bc, _ := runRules(t, "list", "--jurisdiction", "bc")
	code, same, errs := runRules(t, "list", "--jurisdiction", "CA-BC")
	require.Equal(t, exitDone, code, errs)
	require.Equal(t, bc, same)
	for _, args := range [][]string{{"list", "bc"}, {"list", "British Columbia"}, {"list", "ca-bc", "--jurisdiction", "CA-BC"}} {
		_, same, _ = runRules(t, args...)
		require.Equal(t, bc, same, "the argument says what the flag says")
	}
	require.Contains(t, bc, "bc-ohsr-26.11\t")
	require.Contains(t, bc, "ca-tdg-1.15\t")
}

func TestRulesListWithoutAPlaceNamesEveryPlace(t *testing.T) {
	code, out, errs := runRules(t, "list")
	require.Equal(t, exitDone, code, errs)
	e, err := rules.Starter()
	require.NoError(t, err)
	require.NotEmpty(t, e.Jurisdictions)
	for _, j := range e.Jurisdictions {
		require.Contains(t, out, "\n# "+j.Code+": "+j.Title+"; decides: ")
	}
}

func TestRulesNotReadInTheirTextAreShownAsSuch(t *testing.T) {
	_, out, _ := runRules(t, "list", "--jurisdiction", "us-or", "--topic", "spacing")
	require.Contains(t, out, "us-or-437-007-subdivision-i\tspacing\tnot read: heading only\t")
	_, out, _ = runRules(t, "list", "--jurisdiction", "uk")
	require.Contains(t, out, "uk-clearing-saw-15m\tspacing\tnot read: memory\t")
	require.Contains(t, out, "uk-puwer-9\ttraining\tnot read: restatement\t")
	_, out, _ = runRules(t, "list", "--jurisdiction", "qc", "--topic", "fuel")
	require.Contains(t, out, "\t[not in force since 2013-06-13] History: ")
	require.Contains(t, out, " [Replaced on 13 June 2013.]\n", "the list tells what limits a rule")
	_, out, _ = runRules(t, "show", "uk-clearing-saw-15m")
	require.Contains(t, out, "text\tnot read in its text: from memory\n")
}

func TestRulesListSaysWhenNothingIsListed(t *testing.T) {
	code, out, errs := runRules(t, "list", "--jurisdiction", "us", "--topic", "vibration")
	require.Equal(t, exitDone, code, errs)
	require.Contains(t, out, "# no rule about vibration is listed here; that does not mean that there is none\n")
	require.True(t, strings.HasSuffix(out, "# "+rules.Closing+"\n"))
}

func TestRulesShow(t *testing.T) {
	code, out, errs := runRules(t, "show", "US-1910.266-d-5")
	require.Equal(t, exitDone, code, errs)
	for _, line := range []string{
		"rule\tus-1910.266-d-5", "place\tus, United States (federal)", "cites\t29 CFR 1910.266, (d)(5)",
		"topic\temergency, weather, fire", "text\tread in the source, or on an official page that quotes or explains it",
		"where to read\t29 CFR 1910.266(d)(5); 59 FR 51672; 60 FR 47022", "# " + rules.Closing,
	} {
		require.Contains(t, strings.Split(out, "\n"), line)
	}
}

func TestRulesRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		code int
		want []string
	}{
		"unknown place":       {[]string{"list", "--jurisdiction", "bcc"}, exitUsage, []string{`"bcc"`, "nearest: bc\n", "rules list bc; all places"}},
		"unknown argument":    {[]string{"list", "bcc"}, exitUsage, []string{`"bcc"`, "nearest: bc\n", "rules list bc; all places"}},
		"gaps of nowhere":     {[]string{"gaps", "bcc"}, exitUsage, []string{`"bcc"`, "nearest: bc\n", "rules gaps bc; all places"}},
		"gaps of one and all": {[]string{"gaps", "bc", "--all"}, exitUsage, []string{"of bc, or of all places?"}},
		"two places":          {[]string{"list", "bc", "--jurisdiction", "us"}, exitUsage, []string{`PLACE "bc" and --jurisdiction "us" name two places`}},
		"empty place":         {[]string{"list", ""}, exitUsage, []string{"PLACE is empty"}},
		"unknown topic":       {[]string{"list", "--jurisdiction", "bc", "--topic", "spaceing"}, exitUsage, []string{`"spaceing"`, "nearest: spacing", "topics: kickback"}},
		"both at once":        {[]string{"list", "--jurisdiction", "bcc", "--topic", "spaceing"}, exitUsage, []string{`"bcc"`, `"spaceing"`}},
		"unknown rule":        {[]string{"show", "us-1910.266-d-50"}, exitRefused, []string{`"us-1910.266-d-50"`, "nearest: ringtrue rules show us-1910.266-d-5;"}},
		"no id":               {[]string{"show"}, exitUsage, []string{"rules show"}},
		"two ids":             {[]string{"show", "a", "b"}, exitUsage, []string{"rules show"}},
		"stray word":          {[]string{"list", "bc", "us"}, exitUsage, []string{"rules list"}},
		"unknown flag":        {[]string{"list", "--place", "bc"}, exitUsage, []string{"--place"}},
		"unknown verb":        {[]string{"lst"}, exitUsage, []string{`"lst"`}},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, errs := runRules(t, c.args...)
			require.Equal(t, c.code, code, errs)
			require.Empty(t, out)
			for _, w := range c.want {
				require.Contains(t, errs, w)
			}
			again, _, _ := runRules(t, append(c.args, "--json")...)
			require.Equal(t, c.code, again, "--json changes no exit code")
		})
	}
}

// ruleKeys lists the names of a JSON object.
func ruleKeys(t *testing.T, text json.RawMessage) []string {
	t.Helper()
	var object map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(text, &object))
	var names []string
	for name := range object {
		names = append(names, name)
	}
	return names
}

// The JSON is a contract: fields are only ever added.
func TestRulesJSONFields(t *testing.T) {
	for _, args := range [][]string{{"list", "--jurisdiction", "ca-bc", "--topic", "Spacing", "--json"}, {"show", "bc-ohsr-26.11", "--json"}} {
		code, out, errs := runRules(t, args...)
		require.Equal(t, exitDone, code, errs)
		require.ElementsMatch(t, []string{"format", "edition", "compiled", "jurisdiction", "topic", "jurisdictions", "rules", "fire_ladders", "closing"},
			ruleKeys(t, json.RawMessage(out)))
		var answer struct {
			Format        string
			Jurisdiction  string
			Closing       string
			Jurisdictions []json.RawMessage
			Rules         []json.RawMessage
		}
		require.NoError(t, json.Unmarshal([]byte(out), &answer))
		require.Equal(t, "ringtrue/rules/1", answer.Format)
		require.Equal(t, "bc", answer.Jurisdiction)
		require.Equal(t, rules.Closing, answer.Closing)
		require.ElementsMatch(t, []string{"code", "aliases", "title", "parent", "authority", "note",
			"thinning", "thinning_why", "sought", "sought_on"}, ruleKeys(t, answer.Jurisdictions[0]))
		require.NotEmpty(t, answer.Rules)
		for _, r := range answer.Rules {
			require.ElementsMatch(t, []string{"jurisdiction", "id", "instrument", "clause", "topic", "also", "duty", "reference",
				"read", "read_on", "version", "heading_only", "scope", "ended", "note", "kept", "text_read", "how"}, ruleKeys(t, r))
		}
	}
}

func TestRulesJSONSaysWhatWasRead(t *testing.T) {
	_, out, _ := runRules(t, "show", "us-or-437-007-subdivision-i", "--json")
	var answer struct{ Rules []ruleLine }
	require.NoError(t, json.Unmarshal([]byte(out), &answer))
	require.Len(t, answer.Rules, 1)
	require.Equal(t, rules.Verified, answer.Rules[0].Read)
	require.True(t, answer.Rules[0].HeadingOnly)
	require.False(t, answer.Rules[0].TextRead)
	require.Contains(t, answer.Rules[0].How, "not read in its text")
}

// A book hands in its own edition and place; the flag still names another one.
func TestRulesOfABookUseItsEditionAndPlace(t *testing.T) {
	place := func(code string) rules.Jurisdiction {
		return rules.Jurisdiction{Code: code, Title: code, Authority: "the authority", Rules: []rules.Rule{{ID: code + "-1", Topic: "fuel"}}}
	}
	e := rules.Edition{Edition: "own-7", Jurisdictions: []rules.Jurisdiction{place("low"), place("high")}}
	book := func(own string) rulesSource { return func() (rules.Edition, string, error) { return e, own, nil } }

	answer, err := listRules(book("high"), "", "")
	require.NoError(t, err)
	require.Equal(t, "own-7", answer.Edition)
	require.Equal(t, "high", answer.Jurisdiction)
	require.Equal(t, "high-1", answer.Rules[0].ID)

	answer, err = listRules(book("high"), "low", "")
	require.NoError(t, err)
	require.Equal(t, "low-1", answer.Rules[0].ID)

	_, err = listRules(book("hihg"), "", "")
	f, ok := errors.AsType[*failure](err)
	require.True(t, ok)
	require.Equal(t, exitRefused, f.code, "a book's place is no flag value")
	require.Contains(t, f.next, "rules list high")

	broken := errors.New("the book is busy")
	_, err = listRules(func() (rules.Edition, string, error) { return rules.Edition{}, "", broken }, "low", "")
	require.ErrorIs(t, err, broken)
}

// A text read more than two years ago shows as that wherever it would show as read; what was never read stays unread.
func TestRulesReadLongAgo(t *testing.T) {
	r := rules.Rule{Read: rules.Verified, ReadOn: "2026-11-30"}
	require.Equal(t, "read", readShort(r, "2028-11-30"))
	require.Equal(t, "read long ago", readShort(r, "2028-12-01"))
	require.Equal(t, "2026-11-30, long ago: read it anew", readOnWords(r, "2028-12-01"))
	r.HeadingOnly = true
	require.Equal(t, "not read: heading only", readShort(r, "2028-12-01"))
}
