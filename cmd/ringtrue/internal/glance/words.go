package glance

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store/page/words"
)

// voice says a screen in a language and a width.
type voice struct {
	s    Screen
	say  *words.Speaker
	wide int
	in   int // cells before what stands behind a label
	cut  cut

	rendered map[string]rendered // texts said already: a screen is laid out several times
}

// rendered is a recorded text in the language, and whether all of it is known there.
type rendered struct {
	said string
	ok   bool
}

func (v voice) render(english string) (string, bool) {
	r, known := v.rendered[english]
	if !known {
		r.said, r.ok = v.say.Render(english)
		v.rendered[english] = r
	}
	return r.said, r.ok
}

// labelWidth is the room of the labels of a screen, all of which have the same.
func (v voice) labelWidth() int {
	in := 0
	for label, there := range map[string]bool{"stops": len(v.s.Stops) > 0, "missing": len(v.s.Missing) > 0, "find-out": len(v.s.Ask) > 0, "may": len(v.s.May) > 0,
		"no-saw": len(v.s.NoSaw) > 0, "meanwhile": len(v.s.Meanwhile) > 0, "first": len(v.s.Controls) > 0, "watch": len(v.s.Watch) > 0, "again": len(v.s.Again) > 0,
		"changed": len(v.s.Changed) > 0, "hurt": true} {
		if there {
			in = max(in, width(v.label(label)))
		}
	}
	return in + 2
}

func (v voice) label(id string) string { return v.say.Say("glance." + id) }

func (v voice) room() int { return v.wide - v.in }

// text is a recorded sentence in the language.
func (v voice) text(english string) string {
	said, _ := v.render(english)
	return said
}

// head is the word, where and when, what was decided, and who decides until when.
func (v voice) head() []block {
	s := v.s
	parts := []string{v.word(s.Word), spaced(s.Block, s.BlockName), v.day(s.When)}
	if s.Ends != "" {
		parts = append(parts, v.say.Say("glance.ends-by", s.Ends))
	}
	out := []block{{lines: v.parted(parts)}}
	if s.Decided != nil {
		out = append(out, block{lines: v.decided(*s.Decided)})
	}
	return append(out, block{lines: wrap(v.sentence(), v.wide)})
}

// parted sets parts apart; those that do not fit go on in the next line.
func (v voice) parted(parts []string) []string {
	var lines []string
	line := ""
	for _, p := range parts {
		switch {
		case line == "":
			line = p
		case width(line)+gap+width(p) <= v.wide:
			line += strings.Repeat(" ", gap) + p
		default:
			lines, line = append(lines, line), p
		}
	}
	return append(lines, line)
}

func (v voice) word(w Word) string { return v.say.Word("verdict", string(w)) }

// day is a moment as people write it.
func (v voice) day(t time.Time) string {
	return v.say.Say("glance.day", v.say.Word("weekday", t.Format("Mon")), strconv.Itoa(t.Day()), v.say.Word("month", t.Format("January")), strconv.Itoa(t.Year())) +
		", " + t.Format("15:04")
}

// sentence says who decides, or that no saw starts, and once what a check does not say.
func (v voice) sentence() string {
	s := v.s
	var say []string
	if s.Late != "" {
		say = append(say, v.text("This was "+s.Late+"."))
	}
	if s.Sentence != "" {
		say = append(say, v.text(s.Sentence))
	}
	if s.Word == NotYet || s.Word == Stopped {
		say = append(say, v.say.Say("glance.no-saw-starts", s.Block))
	}
	say = append(say, v.say.Say("glance.caution"))
	if s.Unsigned {
		say = append(say, v.say.Say("glance.unsigned"))
	}
	return strings.Join(say, " ")
}

// decided is what somebody decided on the ground, before all that was computed.
func (v voice) decided(d Decision) []string {
	lines := wrap(v.say.Say("glance.decided", d.At.Format("15:04"), d.By, d.Text), v.wide)
	say := []string{v.say.Say("glance.because", d.What)}
	if len(d.Told) > 0 {
		say = append(say, v.say.Say("glance.told", strings.Join(d.Told, ", ")))
	}
	if len(d.NotTold) > 0 {
		say = append(say, v.say.Say("glance.not-told", strings.Join(d.NotTold, ", ")))
	}
	if v.s.Computed != "" {
		say = append(say, v.say.Say("glance.computed", v.word(v.s.Computed)))
	}
	return append(lines, wrap(strings.Join(say, " "), v.wide)...)
}

// stops is what stops and what is missing, each on lines of its own, never cut.
func (v voice) stops() []block {
	var out []block
	for _, list := range []struct {
		label string
		rows  []Stop
	}{{"stops", v.s.Stops}, {"missing", v.s.Missing}} {
		b := block{label: v.label(list.label)}
		for _, r := range list.rows {
			b.lines = append(b.lines, hung(v.stop(r), v.room())...)
		}
		if len(b.lines) > 0 {
			out = append(out, b)
		}
	}
	b := block{label: v.label("find-out")}
	for _, a := range v.s.Ask {
		b.lines = append(b.lines, hung(v.say.Say("glance.ask", a.Who, a.By, v.questions(a.Questions)), v.room())...)
	}
	if len(b.lines) > 0 {
		out = append(out, b)
	}
	return out
}

func (v voice) stop(r Stop) string {
	text := v.line(r.Names, r.Text, r.Long, r.Do)
	if r.Until != "" && !strings.Contains(r.Text+r.Long+r.Do, r.Until) {
		text += " " + v.say.Say("glance.not-before", r.Until)
	}
	return text
}

// line says the line of a finding and what to do about it; where the language lacks words for them, all of the finding, which may hold
// the names.
func (v voice) line(names []string, text, long, do string) string {
	said, ok := v.reasons(text)
	if do != "" {
		done, known := v.render(do)
		said, ok = said+" -> "+done, ok && known
	}
	if whole, known := v.reasons(long); !ok && known {
		return withNames(missing(names, whole), whole)
	}
	if len(names) == 0 {
		return upperFirst(said)
	}
	return withNames(names, said)
}

// reasons is a recorded sentence, or the part of one behind a name, which has lost its beginning where it is said alone.
func (v voice) reasons(text string) (string, bool) {
	said, ok := v.render(text)
	if short, cut := strings.CutSuffix(text, "."); !ok && cut {
		if part, known := v.render(short); known {
			return part + ".", true
		}
	}
	return said, ok && text != ""
}

// questions are what somebody finds out, as the sheet asks it.
func (v voice) questions(ids []string) string {
	var out []string
	for _, id := range ids {
		out = append(out, v.say.Word("question", id))
	}
	return strings.Join(out, " ")
}

func (v voice) notLooked() []block {
	if len(v.s.NotLookedAt) == 0 {
		return nil
	}
	items := append([]string{}, v.s.NotLookedAt...)
	for i := range items {
		items[i] = v.text(items[i])
	}
	lines := v.cut.notLooked
	for n := len(items); ; n-- {
		list := append([]string{}, items[:n]...)
		if n < len(items) {
			list = append(list, v.more(len(items)-n))
		}
		if out := wrap(v.say.Say("show.not-looked-at", strings.Join(list, ", ")), v.wide); lines < 0 || len(out) <= lines || n == 0 {
			return []block{{lines: out}}
		}
	}
}

// more says how many are left out; --full shows them.
func (v voice) more(n int) string { return v.say.Say("glance.more", strconv.Itoa(n)) }

// figures stand apart from their units on a screen.
var figures = regexp.MustCompile(`([0-9])([a-zA-Z])`)

func measure(said string) string { return figures.ReplaceAllString(said, "$1"+glue+"$2") }

// people is who may do what, who is here without a saw, and what those may do who are stopped.
func (v voice) people() []block {
	var out []block
	var may []pair
	for _, t := range v.s.May {
		may = append(may, pair{strings.Join(t.Names, ", "), v.task(t)})
	}
	if len(may) > 0 {
		out = append(out, block{v.label("may"), columns(may, v.room(), false)})
	}
	if len(v.s.NoSaw) > 0 {
		out = append(out, block{v.label("no-saw"), wrap(strings.Join(v.s.NoSaw, ", "), v.room())})
	}
	meanwhile := block{label: v.label("meanwhile")}
	for _, t := range v.s.Meanwhile {
		meanwhile.lines = append(meanwhile.lines, hung(withNames(t.Names, v.text(t.Instead)), v.room())...)
	}
	if len(meanwhile.lines) > 0 {
		out = append(out, meanwhile)
	}
	if v.s.Nobody {
		out = append(out, block{lines: wrap(v.say.Say("glance.nobody-joined"), v.wide)})
	} else if len(v.s.NotJoined) > 0 {
		out = append(out, block{lines: wrap(v.say.Say("show.not-joined", strings.Join(v.s.NotJoined, ", "))+".", v.wide)})
	}
	for _, n := range v.s.Notes {
		out = append(out, block{lines: wrap(n, v.wide)})
	}
	return out
}

func (v voice) task(t Task) string {
	text := v.say.Word("level", t.Level.String())
	if t.With != "" {
		text = v.say.Say("glance.in-sight-of", t.With)
	}
	for _, one := range (hazards.May{Only: t.Only}).KeepsTo() {
		text += "; " + v.text(one)
	}
	if t.Group == "" {
		return text
	}
	return v.say.Word("group", t.Group) + ", " + text
}

// controls is what is done first, each with its owner at the right.
func (v voice) controls() []block {
	var rows []pair
	for _, c := range v.s.Controls {
		rows = append(rows, pair{v.control(c), v.owner(c)})
	}
	if len(rows) == 0 {
		return nil
	}
	return []block{{v.label("first"), columns(rows, v.room(), v.cut.controls)}}
}

func (v voice) control(c Control) string {
	text := v.line(c.Names, c.Text, c.Long, c.Do)
	var topics []string
	for _, t := range c.Topics {
		topics = append(topics, v.say.Word("topic", t))
	}
	if len(topics) == 0 {
		return text
	}
	return upperFirst(strings.Join(topics, ", ")) + ": " + c.Text
}

func (v voice) owner(c Control) string {
	switch {
	case c.Owner != "":
		return c.Owner
	case c.Accepts != "":
		return v.say.Say("glance.accepts", c.Accepts)
	}
	return v.say.Say("glance.nobody")
}

// watch is what to watch, what changed, and what makes the crew check again.
func (v voice) watch() []block {
	var out []block
	held := v.s.Word == NotYet || v.s.Word == Stopped // then what to watch is for later
	add := func(label string, items []string, between string, lines int) {
		if len(items) == 0 || (lines == 0 && held) {
			return
		}
		out = append(out, block{v.label(label), few(items, between, lines, v.room(), v.more)})
	}
	add("changed", v.changed(), "; ", v.cut.watch)
	watch := make([]string, len(v.s.Watch))
	for i, w := range v.s.Watch {
		watch[i] = ended(v.stop(w))
	}
	add("watch", watch, " ", v.cut.watch)
	if v.cut.again != 0 {
		add("again", eachTo(v.s.Again, v.text), "; ", v.cut.again)
	}
	return out
}

// changed says answers that changed by their questions, and those before who and what came or left.
func (v voice) changed() []string {
	var answers, others []string
	for _, c := range v.s.Changed {
		id, now, _ := strings.Cut(c, ": ")
		if question := words.WordID("question", id); v.say.Known(question) {
			answers = append(answers, v.say.Say(question)+" "+now)
			continue
		}
		others = append(others, c)
	}
	return append(answers, others...)
}

// hurt is the text to read aloud, whole.
func (v voice) hurt() []block {
	var say []string
	if b := v.s.Hurt.Card; b != nil {
		say = []string{v.say.Say("glance.call", b.Call, b.Channel), v.say.Say("glance.where", b.ID, b.Name, b.Road, b.Lat, b.Lon),
			v.say.Say("glance.meet", b.Meeting), v.say.Say("glance.plan-b", b.PlanB), v.say.Say("glance.ambulance", measure(b.Ambulance), measure(b.Walk))}
	}
	for _, l := range v.s.Hurt.Lines {
		say = append(say, v.text(l))
	}
	if len(say) == 0 {
		return nil
	}
	return []block{{v.label("hurt"), wrap(strings.Join(say, " "), v.room())}}
}

// rest says in two lines where the rest is.
func (v voice) rest() []block {
	r := v.s.Rest
	var lines []string
	for _, one := range []struct{ id, command string }{{"glance.why", r.Why}, {"glance.full", r.Full}, {"glance.print", r.Print}} {
		if one.command != "" {
			lines = append(lines, v.say.Say(one.id, one.command))
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return []block{{lines: v.parted(lines)}}
}

// ended closes a sentence.
func ended(s string) string { return strings.TrimSuffix(s, ".") + "." }

func upperFirst(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}
