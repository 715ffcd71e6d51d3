package glance

import (
	"strings"

	"example.org/ringtrue/store/page/words"
)

// cut is how much is left out so that a screen fits.
type cut struct {
	tight     bool // no blank lines
	watch     int  // lines for what to watch; 0 counts what there is
	again     int  // lines for what makes the crew check again; 0 leaves it out
	controls  bool // one line for each control
	notLooked int  // lines for what nobody looked at; negative = all
}

// cuts go from nothing to all that may be left out.
var cuts = []cut{
	{watch: 3, again: 3, notLooked: -1},
	{watch: 2, again: 2, notLooked: -1},
	{tight: true, watch: 3, again: 2, notLooked: -1},
	{tight: true, watch: 2, again: 2, notLooked: -1},
	{tight: true, watch: 1, again: 2, notLooked: -1},
	{tight: true, watch: 1, again: 0, notLooked: -1},
	{tight: true, watch: 0, again: 0, notLooked: -1},
	{tight: true, watch: 0, again: 0, notLooked: -1, controls: true},
	{tight: true, watch: 0, again: 0, notLooked: 3, controls: true},
	{tight: true, watch: 0, again: 0, notLooked: 1, controls: true},
}

// whole leaves nothing out.
var whole = cut{watch: -1, again: -1, notLooked: -1}

// Lines says a screen in a language, in lines of at most size.Wide cells, and at most size.High-1 of them where that can be done without
// cutting what is never cut. above is how many lines stand before it.
func (s Screen) Lines(say *words.Speaker, size Size, above int) []string {
	v := voice{s: s, say: say, wide: size.Wide, rendered: map[string]rendered{}}
	v.in = v.labelWidth()
	var lines []string
	for _, v.cut = range append([]cut{whole}, cuts...) {
		if lines = v.laid(); len(lines) < size.High-above {
			break
		}
	}
	return lines
}

// block is some lines of a screen with a label beside the first one.
type block struct {
	label string
	lines []string
}

// laid puts the sections below each other.
func (v voice) laid() []string {
	var out []string
	for _, part := range [][]block{v.head(), v.stops(), v.notLooked(), v.people(), v.controls(), v.watch(), v.hurt(), v.rest()} {
		if len(part) == 0 {
			continue
		}
		if len(out) > 0 && !v.cut.tight {
			out = append(out, "")
		}
		for _, b := range part {
			out = append(out, v.labelled(b)...)
		}
	}
	return out
}

// labelled writes a label before the first line and sets in the others. A block without a label takes the whole width.
func (v voice) labelled(b block) []string {
	if b.label == "" {
		return eachTo(b.lines, written)
	}
	out := make([]string, len(b.lines))
	for i, l := range b.lines {
		label := ""
		if i == 0 {
			label = b.label
		}
		out[i] = strings.TrimRight(padded(label, v.in)+written(l), " ")
	}
	return out
}
