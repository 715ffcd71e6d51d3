package page

import (
	"flag"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/page/words"
)

var update = flag.Bool("update", false, "rewrite the golden pages")

const root = "f1bb1e4db5f0fced926c9b79dcebd89ae3f31c703f9aa8adc9ecc0a745e76684" // any 64 hex digits

func common(paper Paper) Common {
	return Common{Paper: paper, Company: "Hazelrun Thinning", Printed: "2026-05-06 06:50", Heads: []Head{{"hazelrun-thinning/laptop-1", 6372, root}}}
}

// withLevels is for sheets that tell levels.
func withLevels(paper Paper) Common {
	c := common(paper)
	c.Caution = "The level ranks what to talk about first; it does not say that work is safe."
	return c
}

// emergency is the text of a block card, as package hazards words it.
var emergency = []string{
	"If somebody is hurt: call the emergency number, then the office on radio 5.",
	"Say who you are, what happened, and where: block B7, Upper Larch.",
	"By road: km 42.5 on the Larch road, red gate.",
	"Coordinates: 54.71, -124.92.",
	"Meeting point: landing at km 42.",
	"Without a helicopter: carry to the landing.",
	"An ambulance needs about 75min to the meeting point. The walk is 35min.",
}

// bigMorning is a morning of twelve people and eight saws: one stopped, one saw down, two tasks.
func bigMorning(paper Paper, supervisor bool) Tailgate {
	t := Tailgate{
		Common: withLevels(paper), Supervisor: supervisor, Block: "B7", BlockName: "Upper Larch", When: "2026-05-06 06:40", Answer: "go with controls",
		Sentence:  "No stop for the site found at 06:40 on the answers given. Not for: ana. Not with saw: S8. okafor decides. Ends when an answer changes, at 18:00, or on leaving B7.",
		Emergency: emergency, NotLookedAt: []string{"wind force", "heat and cold", "fuel and day plan", "road travel"},
		WatchFor: []string{"thunder or lightning", "rain, frost or thaw", "somebody comes, leaves or is unwell", "a saw is swapped", "a call is not answered",
			"ground, stems or slope change, or the crew moves", "an incident or a close call"},
		Closing: "Who decides is the authority named for the place, and the competent person its rules call for; not this list. Duties are told in our own words and the text may have changed since: read it before relying on it. Nothing here says that anybody complies, or that work is safe.",
		Knows:   "as far as this book knows (hazelrun-thinning/laptop-1, 6372 entries; no other device met yet)",
		Entry:   "6370", Recorded: "recorded as M. Okafor (okafor), not personally signed",
	}
	if supervisor {
		t.Answers = []Answered{
			{"At the truck", []AnswerRow{{"Who is first aider today?", "luis", "okafor 06:40", "", ""}, {"How often does each one check in?", "1h", "okafor 06:40", "2026-05-05 06:40", ""}}},
			{"Sky and light", []AnswerRow{{"Is there thunder or lightning?", "no", "luis 06:30", "", "10:40 yes (luis)"}, {"Does fog, smoke or dusk hide your neighbours?", "", "", "", ""}}},
		}
	}
	t.Findings = []Finding{
		{Topic: "training", Effect: stopPerson, Subject: "ana", What: "ana: a skill needed for this is restricted: 5.3.", Rules: []string{"OHS Regulation 26.3"}},
		{Topic: "saws", Effect: stopSaw, What: "Saw S8 stays down: the blade turns at idle."},
		{Topic: "kickback", Effect: control, Subject: "luis", What: "Kickback for luis: Serious after controls. It needs a control with an owner, and acceptance by name.", Before: "High", After: "Serious",
			Reasons: []string{"first month with a saw here"}, Controls: []string{"hidden-base: part the brush first (organised), okafor sees to it"}},
		{Topic: "kickback", Effect: control, Subject: "ben", What: "Kickback for ben: Serious after controls. It needs a control with an owner, and acceptance by name.", Before: "High", After: "Serious",
			Reasons: []string{"first season with a saw"}, Controls: []string{"hidden-base: part the brush first (organised), okafor sees to it"}},
		{Topic: "spacing", Effect: control, What: "The public or another crew can walk in. Close the way in, or post somebody.", Controls: []string{"public: tape across the road (technical), ben sees to it"},
			Rules: []string{"OHS Regulation 26.11", "OHS Regulation 26.3"}},
		{Topic: "fuel", Effect: watch, What: "A fuel burn or spill at the fuel spot: Medium after controls. Standing controls. Check again when ground or weather changes.", Before: "Medium", After: "Medium"},
		{Topic: "slope", Effect: watch, What: "A fall on this ground: Medium after controls. Standing controls. Check again when ground or weather changes.", Before: "Medium", After: "Medium"},
		{Topic: "noise", Effect: watch, Subject: "ben", What: "ben: Time to the action value, nothing worn, 12 min; behind the protector never beyond 3 h. Planned is 90min (99dBA told; at the ear 84.5 dBA by csa_muff 25)."},
		{Topic: "first-aid", Effect: watch, What: "A carry-out to the road takes about 2 h 06 min (an estimate from the walk of 35min on the card) and 6 carriers beside the one who is hurt; 11 are here."},
	}
	for i, name := range []string{"M. Okafor (okafor)", "Luis Vega (luis)", "Ana Ruiz (ana)", "Ben Holm (ben)", "Zeno Fallowmere (zeno-fallowmere)", "Odile Thistledal (odile)", "Cato Vinterlow (cato)",
		"Elio Driftholm (elio-driftholm)", "Nadia Mossgrave (nadia)", "Cato Upfell (cato-upfell)", "Rosa Kestrelow (rosa)", "Bruno Tarnbeck (bruno)"} {
		m := May{Name: name, Saw: fmt.Sprintf("S%d", i%8+1), Group: "light-brush", Level: "in hearing", RestsOn: []string{"released for light-brush, in hearing"}}
		switch name {
		case "M. Okafor (okafor)":
			m = May{Name: name, Level: "no saw"}
		case "Ana Ruiz (ana)":
			m = May{Name: name, Level: "no saw", Saw: "S3", Stopped: []string{"a skill needed for this is restricted: 5.3"},
				Instead: "that skill only as instruction, in sight of one appointed person who is not sawing, nobody else in the zone"}
		case "Nadia Mossgrave (nadia)":
			m.Level, m.With = "in sight", "okafor"
		}
		t.May = append(t.May, m)
	}
	t.Visitors = []Visitor{{"forester of the client", "okafor"}}
	t.Later = []Later{{"Mila Ashgrove (mila)", "09:10", "okafor"}}
	t.SawsUp, t.SawsDown = []string{"S1", "S2", "S3", "S4", "S5", "S6", "S7"}, []SawDown{{"S8", []string{"the blade turns at idle"}}}
	return t
}

func blankSheet(paper Paper) Blank {
	return Blank{Common: withLevels(paper), Block: "B7", BlockName: "Upper Larch", Edition: "2", Slope: "45%", Trees: "4m", Walk: "35min", Ambulance: "75min",
		Sections: []Section{{"At the truck", []Question{{ID: "call-by", Text: "?", Stop: "no", None: true}, {ID: "tired-hurried", Text: "?", YesNo: true}, {ID: "bent-stems", Text: "?", YesNo: true, Part: "few"}}},
			{"The stems", []Question{{ID: "tallest-stem", Text: "?", Such: "4m or 13ft", NA: true}, {ID: "not-yet-known", Text: "A question of a later edition?", YesNo: true, NA: true}}}},
		Asked:    []string{"Was the anchor point looked at? (close call of 2026-05-04, entry 6300)"},
		Readings: []Section{{"Fire danger", []Question{{ID: "fire-watch", Text: "?", None: true}}}},
		Saws:     []Question{{ID: "tagged"}, {ID: "guard"}, {ID: "filed"}}, Levels: []string{"no saw", "in sight"}, Groups: []string{"light-brush", "house-own"},
		Emergency: emergency, PeopleLines: 12, SawLines: 8, ControlLines: 6}
}

func skillForm(paper Paper) Skill {
	return Skill{Common: common(paper), ID: "3.3", Title: "Handles the saw and uses the quick release", Module: "M3", Edition: "starter-1", Misses: "1", House: "starter-1",
		Look: "Angle and release at the truck with the engine stopped; steering from the observer's place (house rule observer-place).", Place: "5m",
		Criteria: []Criterion{{ID: "steers", Text: "Steers the saw with hips and legs"}, {ID: "elbow", Text: "Keeps the elbow at the working angle", Measured: true, Min: "120deg", Max: "130deg"},
			{ID: "quick-release", Text: "Drops the saw on command", Critical: true, Measured: true, Max: "3s"}, {ID: "start", Text: "Walks away before the start", Measured: true, Min: "3m"}}}
}

func evidenceSheet(paper Paper) Evidence {
	return Evidence{Common: common(paper), Worker: "Ana Ruiz (ana)", On: "2026-05-06", Known: "2026-05-08", Knows: "as far as this book knows", Orientation: []string{"block B9 is new to ana"},
		Standings: []Standing{{"3.3", "Handles the saw", "restricted", "2026-06-01", []string{"critical point missed (entry 40)", "no lift since"}}},
		Entries: []Entry{{"14", "3.3", "2026-05-05 14:20", "2026-05-05 14:21", "observed met, unannounced", "luis", []Mark{{"elbow", "met", "125deg"}, {"steers", "not seen", ""}}, "wet day", &Struck{"17", "luis", "2026-05-08 09:00", "it was Ben"}},
			{"15", "", "2026-05-05 15:00", "2026-05-05 15:00", "was taught M3 in es; understood: showed it", "luis", nil, "", nil}},
		Pieces: []Piece{{"held", "boots", "Saw-protective boots", "CSA Z195", "16"}}}
}

// sheet is any of the sheets.
type sheet interface {
	HTML(*words.Speaker) ([]byte, error)
}

// goldenPages are one page of each kind, in the languages and on the papers that crews use.
func goldenPages() map[string]struct {
	lang string
	sheet
} {
	demo := evidenceSheet(Letter)
	demo.Demo = true
	hold := bigMorning(Letter, true)
	hold.Answer, hold.Open = "hold", []Open{{"thunder", "luis", "07:30"}}
	hold.Decided, hold.MovedTo = Decided{Clock: "10:40", By: "okafor", Words: "saws off until the rock has dried", Computed: "go with controls", ComputedAt: "10:40", Checked: "go", CheckedAt: "06:40"}, "K3"
	hold.Sentence = "Hold at 06:40 on the answers given. No saw starts on B7. Nobody may saw as planned."
	return map[string]struct {
		lang string
		sheet
	}{
		"crew.es": {"es", bigMorning(Letter, false)}, "supervisor.fr": {"fr", bigMorning(A4, true)}, "hold.en": {"en", hold},
		"blank.fr": {"fr", blankSheet(Letter)}, "skill.en": {"en", skillForm(A4)}, "evidence.es": {"es", demo},
	}
}

func html(t testing.TB, s sheet, lang string) string {
	t.Helper()
	speaker, err := words.In(lang)
	require.NoError(t, err)
	text, err := s.HTML(speaker)
	require.NoError(t, err)
	return string(text)
}

// goldenCount keeps an empty folder from passing.
const goldenCount = 6

func TestGoldenPages(t *testing.T) {
	pages := goldenPages()
	require.Len(t, pages, goldenCount)
	for name, p := range pages {
		path := filepath.Join("testdata", "golden", name+".html")
		got := html(t, p.sheet, p.lang)
		if *update {
			require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
			require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, string(want), got, "%s; if that is meant: go test ./store/page -update", path)
	}
	there, err := filepath.Glob("testdata/golden/*.html")
	require.NoError(t, err)
	require.Len(t, there, goldenCount, "a golden page that no test makes")
}

// Nothing is fetched and nothing runs.
func TestPagesAreSelfContained(t *testing.T) {
	for name, p := range goldenPages() {
		text := strings.ToLower(html(t, p.sheet, p.lang))
		for _, no := range []string{"<script", "src=", "href", "url(", "@import", "http:", "https:", "<img", "<link", "onload", "zgotmplz"} {
			require.NotContains(t, text, no, name)
		}
		require.Contains(t, text, `<html lang="`+p.lang+`">`)
	}
}

// Text that looks like markup stays text.
func TestPagesQuoteText(t *testing.T) {
	m := bigMorning(Letter, true)
	m.BlockName, m.May[1].Name, m.Findings[1].What = `<b>"x"</b>`, `</td><script>alert(1)</script>`, `</style><script>`
	text := html(t, m, "en")
	require.NotContains(t, text, "<script>")
	require.Contains(t, text, "&lt;b&gt;")
}

// Reasons stay on the supervisor's copy.
func TestCrewCopyHoldsNoReasons(t *testing.T) {
	for _, lang := range words.Languages() {
		crew, supervisor := html(t, bigMorning(Letter, false), lang), html(t, bigMorning(Letter, true), lang)
		for _, reason := range []string{map[string]string{"en": "first month", "fr": "premier mois", "es": "primer mes"}[lang], "5.3", "12 min", map[string]string{"en": "released for", "fr": "autorisé pour", "es": "autorizado para"}[lang]} {
			require.NotContains(t, crew, reason, lang)
			require.Contains(t, supervisor, reason, lang)
		}
	}
	crew := html(t, bigMorning(Letter, false), "en")
	require.Contains(t, crew, "Serious after controls, for: luis, ben.")
	require.Contains(t, crew, `STOPPED</span> <span class="small">instead: that skill only as instruction`)
}

func TestSheetSaysWhatItIsNot(t *testing.T) {
	for name, p := range goldenPages() {
		text := html(t, p.sheet, p.lang)
		s, err := words.In(p.lang)
		require.NoError(t, err)
		cautions := strings.Count(text, template.HTMLEscapeString(s.Say("page.not-safe"))) + strings.Count(text, template.HTMLEscapeString(s.Say("text.caution")))
		require.Equal(t, 1, cautions, name)
		require.Equal(t, 1, strings.Count(text, template.HTMLEscapeString(s.Say("page.first"))), name)
		require.Contains(t, text, s.Say("page.signature"), name)
		require.Equal(t, 1, strings.Count(text, template.HTMLEscapeString(s.Say("page.as-entered"))), name)
		require.Contains(t, text, root, name)
		require.Equal(t, name == "evidence.es", strings.Contains(text, "INVENTED DEMO"), name)
	}
}

func TestUnknownPaper(t *testing.T) {
	s, err := words.In("en")
	require.NoError(t, err)
	_, err = skillForm("a3").HTML(s)
	require.EqualError(t, err, `"a3" is not a size of paper; there are letter, a4`)
}

func TestTasksAreJoinedOnlyWhereTheyAreTheSame(t *testing.T) {
	m := bigMorning(Letter, false)
	require.Len(t, m.Tasks(), 2)
	m.Findings[3].Controls = []string{"something else"}
	require.Len(t, m.Tasks(), 3)
	m.Findings[3].Controls, m.Findings[3].After = m.Findings[2].Controls, "Medium"
	require.Len(t, m.Tasks(), 3)
}

func BenchmarkTailgate(b *testing.B) {
	s, err := words.In("es")
	require.NoError(b, err)
	m := bigMorning(Letter, true)
	for b.Loop() {
		if _, err := m.HTML(s); err != nil {
			b.Fatal(err)
		}
	}
}
