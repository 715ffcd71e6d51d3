package hazards

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/units"
)

const sheetHead = `# Day sheet. Fill in what stands after each colon; a blank is refused.
# Write yes, no, not applicable, or: don't know yet - NAME by 07:30 (NAME finds out; it counts as the worst).
# STOP marks an answer that stops the site. It does so on paper too, without any program.
# "carried from" marks what was true on that day: change it if it is no longer true.
# Behind an answer may stand who said so and when, as in: no - NAME at 06:30. Else it is whoever fills in the sheet, at its time.
# The check ranks what to talk about first; it does not say that work is safe. The regulation, the maker's manual
# and a competent person come first. Cut protection made for chain saws is not made for this blade.
`

// WriteSheet writes the sheet with comments that say how to answer. What is empty in s stays blank, unless a stable
// answer can be carried from hints.Last.
func WriteSheet(s Sheet, h Hints) []byte {
	w := &writer{}
	w.text(sheetHead)
	w.head(s, h)
	w.crew(s.Crew, h)
	w.visitors(s.Visitors)
	w.saws(s.Saws, h)
	w.answers(s, h)
	w.eventAnswers(s, h)
	w.readings(s, h)
	w.controls(s.Controls)
	w.end()
	return w.Bytes()
}

type writer struct{ bytes.Buffer }

func (w *writer) text(s string) { w.WriteString(s) }

func (w *writer) comment(format string, args ...any) {
	w.text(strings.TrimRight("# "+oneLine(fmt.Sprintf(format, args...)), " ") + "\n")
}

// oneLine keeps a comment from ending early.
func oneLine(s string) string {
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f || r == 0x85 || r == 0x2028 || r == 0x2029 }), " ")
}

func (w *writer) pair(key, value string) {
	w.text(strings.TrimRight(key+": "+scalar(value), " ") + "\n")
}

// plainScalar is text that needs no quotes. It is compiled when first needed, because it is costly and most commands
// write no sheet.
var plainScalar = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[\pL\pN][\pL\pN _.,/'%:+-]*$`) })

// scalar writes text so that YAML reads the same text back, with quotes only where they are needed.
func scalar(s string) string {
	plain := plainScalar().MatchString(s) && !strings.Contains(s, ": ") && !strings.HasSuffix(s, ":") && !strings.EqualFold(s, "null")
	if s == "" || plain {
		return s
	}
	return strconv.Quote(s)
}

// inFlow is scalar for text between braces, where a comma would end it.
func inFlow(s string) string {
	if strings.Contains(s, ",") && !strings.HasPrefix(scalar(s), `"`) {
		return strconv.Quote(s)
	}
	return scalar(s)
}

func (w *writer) head(s Sheet, h Hints) {
	w.pair("format", SheetFormat)
	w.pair("block", s.Block)
	if b := h.Block; b.ID != "" {
		w.comment("%s. The card says: steepest %s, stems up to %s, walk %s, ambulance %s.", b.Name, b.SlopeMax, b.TreeHeight, b.Walk, b.Ambulance)
	}
	w.pair("block-edition", editionText(s.BlockEdition))
	w.pair("day", s.Day)
	w.comment("Clock time now, for example 06:40.")
	w.pair("at", s.At)
	w.comment("Who fills this in, and who accepts by name what is left after controls.")
	w.pair("by", s.By)
	w.pair("accepted-by", s.AcceptedBy)
	w.comment("Emergency coordinates: read them from the map or the receiver. They are compared with the block card.")
	w.pair("coordinates", s.Coordinates)
	w.comment("Clock time at which work began, if it had begun before this was entered. Else leave it blank.")
	w.pair("started", s.Started)
	if s.GroundAt != "" {
		w.comment("Who answered for the ground, and when; in the dark it does not count.")
		w.pair("ground-by", s.GroundBy)
		w.pair("ground-at", s.GroundAt)
	}
}

func editionText(e int) string {
	if e == 0 {
		return ""
	}
	return strconv.Itoa(e)
}

func (w *writer) crew(lines []CrewLine, h Hints) {
	w.text("\n# -- Who is here --\n")
	w.comment("One line each. Level: %s.", strings.Join(levelWords(), ", "))
	if len(h.Groups) > 0 {
		w.comment("Task groups: %s.", strings.Join(h.Groups, ", "))
	}
	w.comment("Without a saw: leave saw blank and write no saw. In sight: name who watches; they do not saw.")
	w.comment("A line may add trigger: 3h (time at the trigger planned) and ears: csa_muff 25 (method and rating of the hearing protector).")
	w.text("crew:\n")
	for _, c := range lines {
		w.text("  - {worker: " + inFlow(c.Worker) + ", saw: " + inFlow(c.Saw) + ", group: " + inFlow(c.Group) + ", level: " + c.Level.String() +
			", watched-by: " + inFlow(c.WatchedBy) + ", fit: " + inFlow(c.Fit.String()) + pairIf("trigger", c.Trigger) + pairIf("ears", c.Ears) + "}\n")
	}
	const empty = "- {worker: %s, saw: , group: , level: , watched-by: , fit: }\n"
	switch {
	case len(lines) > 0:
	case len(h.People) == 0:
		w.text(fmt.Sprintf("  "+empty, ""))
	default:
		w.text("  # Take the # away before everybody who stands here now.\n")
		for _, p := range h.People {
			w.text("  # - " + h.offered(p) + "\n")
		}
	}
}

func (w *writer) visitors(list []Visitor) {
	w.comment("Visitors, each with who they stay with: - {name: , with: }")
	w.text("visitors:\n")
	for _, v := range list {
		w.text("  - {name: " + inFlow(v.Name) + ", with: " + inFlow(v.With) + "}\n")
	}
}

func (w *writer) saws(lines []SawLine, h Hints) {
	w.text("\n# -- The saws that are here --\n")
	for _, q := range sawChecks {
		w.comment("%s: %s %s: %s.", q.ID, q.Text, q.Bad, sawMeans(q.ID))
	}
	w.comment("A line may add vibration: 4.5m/s2, noise: 101dBA at the ear, and noise-c: 103dBC, as told for that saw.")
	w.text("saws:\n")
	for _, s := range lines {
		w.text("  - " + sawLine(s.ID, s, func(id string) string { return answerText(s.Checks, id) }) + "\n")
	}
	blank := func(string) string { return "" }
	switch {
	case len(lines) > 0:
	case len(h.Saws) == 0:
		w.text("  - " + sawLine("", SawLine{}, blank) + "\n")
	default:
		w.text("  # Take the # away before each saw that is here.\n")
		for _, id := range h.Saws {
			w.text("  # - " + sawLine(oneLine(id), h.lastSaw(id), blank) + "\n")
		}
	}
}

// sawMeans says what the bad answer to a saw check does.
func sawMeans(check string) string {
	if check == SawFiled {
		return "kickback scores higher for whoever uses it"
	}
	return "that saw stays down"
}

// pairIf writes a key of a line in braces only where something is told.
func pairIf(key, value string) string {
	if value == "" {
		return ""
	}
	return ", " + key + ": " + inFlow(value)
}

// sawLine writes a saw; its figures come from told.
func sawLine(id string, told SawLine, answer func(string) string) string {
	words := []string{"id: " + inFlow(id)}
	for _, q := range sawChecks {
		words = append(words, q.ID+": "+inFlow(answer(q.ID)))
	}
	return "{" + strings.Join(words, ", ") + pairIf("vibration", told.Vibration) + pairIf("noise", told.Noise) + pairIf("noise-c", told.NoiseC) + "}"
}

// answerText is what stands on the sheet for a question, "" where nothing does.
func answerText(answers []Answer, id string) string {
	for _, a := range answers {
		if a.Question == id {
			return a.String()
		}
	}
	return ""
}

func (w *writer) answers(s Sheet, h Hints) {
	w.text("\nanswers:\n")
	section := ""
	for _, q := range questions {
		if q.Section != section {
			section = q.Section
			w.text("\n  # -- " + section + sectionHint(section) + "\n")
		}
		said, _ := s.answered(q.ID)
		w.question(q, said.String(), s, h.Last)
	}
}

// question writes one question with its answer, or a stable answer of the last sheet, or blank.
func (w *writer) question(q Question, text string, s Sheet, last *Sheet) {
	from := ""
	if text == "" {
		text, from = carry(q, s, last)
	}
	w.text("  # " + q.Text + q.mark() + "\n  ")
	if from != "" {
		text = scalar(text) + "  # carried from " + oneLine(from)
		w.text(q.ID + ": " + text + "\n")
		return
	}
	w.pair(q.ID, text)
}

func sectionHint(section string) string {
	if section == FuelSpot {
		return " -- (not applicable, all of it, if nobody fuels on the block)"
	}
	return " --"
}

// carry returns a stable answer of the last sheet and its day. What was not known then is asked again.
func carry(q Question, s Sheet, last *Sheet) (text, from string) {
	if last == nil || !q.Carried || last.Block != s.Block || last.BlockEdition != s.BlockEdition {
		return "", ""
	}
	said, ok := last.answered(q.ID)
	if !ok || said.Is == DontKnow {
		return "", ""
	}
	return said.Carried().String(), last.Day
}

func (w *writer) controls(list []Control) {
	w.text("\n# -- What you do about it --\n")
	w.comment("One line for each control: what it acts on, its kind, what is done, who sees to it.")
	w.comment("Kinds: %s. Telling and wearing lower no chance.", strings.Join(risk.KindWords(), ", "))
	w.comment("- {for: hidden-base, kind: organised, what: part the brush first, owner: }")
	w.text("controls:\n")
	for _, c := range list {
		w.text("  - {for: " + inFlow(c.For) + ", kind: " + c.Kind.String() + ", what: " + inFlow(c.What) + ", owner: " + inFlow(c.Owner) + "}\n")
	}
}

// mark says beside a question how it is answered and whether one answer stops the site.
func (q Question) mark() string {
	var words []string
	if stop := q.StopsIf(); stop != "" {
		words = append(words, "STOP if "+stop)
	}
	switch {
	case q.Of == units.Count:
		words = append(words, "a number: "+q.Such)
	case q.Kind == Value:
		words = append(words, "with unit: "+q.Such)
	case q.Kind == Clock && q.None:
		words = append(words, "clock time, or no")
	case q.Kind == Clock:
		words = append(words, "clock time")
	case q.Kind == Person:
		words = append(words, "name, or no")
	case q.Such != "":
		words = append(words, q.Such)
	}
	if q.NA && !q.fuelQuestion() {
		words = append(words, "or not applicable")
	}
	if len(words) == 0 {
		return ""
	}
	return " [" + strings.Join(words, "; ") + "]"
}

// howTo says in a message how the question is answered.
func (q Question) howTo() string {
	form := map[Kind]string{
		YesNo: "yes, no", Value: "a value with its unit (" + q.Such + ")", Clock: "a clock time (06:40)",
		Person: "a name", Words: "a few words",
	}[q.Kind]
	if q.Of == units.Count {
		form = "a number (" + q.Such + ")"
	}
	if q.None {
		form += ", no"
	}
	if q.NA {
		form += ", not applicable"
	}
	return "write " + form + ", or " + DontKnow + " - NAME by 07:30"
}
