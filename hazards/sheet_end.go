package hazards

import (
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// A sheet ends with a line that counts its questions, so that one of which part is lost - cut by a full disk, a copy that broke off, a
// thumb on the wrong key - is refused at whatever place it was cut.

// ErrFormat is what a sheet of an earlier format is refused with: nothing in it can be mended, it is to be written anew.
var ErrFormat = errors.New("the sheet is of an earlier format")

// SheetEnd is the last line of a sheet on which so many questions stand, those left blank counted, without its key.
func SheetEnd(count int) string { return fmt.Sprintf("%s, %d questions", SheetFormat, count) }

// sheetQuestions counts the questions of a sheet: those to be answered and those that may stay blank. Lines of people, saws, events and
// controls are not counted; people add them.
func sheetQuestions() int { return len(questions) + len(readings) }

// mustAnswer stands above a reading that may not stay blank.
const mustAnswer = "This one must be answered in these months."

func (w *writer) end() {
	w.text("\n")
	w.comment("The last line. Without it the sheet is refused: part of it may be lost.")
	w.pair("end", SheetEnd(sheetQuestions()))
}

// earlier formats, and why a sheet of each is not read.
var earlier = map[string]string{
	"ringtrue/day-sheet/1": "it could be cut unseen, and leave dead trees, heavy rain, wind and fire class blank",
	"ringtrue/day-sheet/2": "it does not ask who helps if the first aider is hurt, for a stop signal, who else is here, how far the nearest wire is, and about throttle and handles",
}

// format refuses other formats before anything else is looked at.
func (r *reader) format(root *yaml.Node) error {
	n := valueOf(root, "format")
	if blank(n) || n.Kind != yaml.ScalarNode || n.Value == SheetFormat {
		return nil
	}
	if why := earlier[n.Value]; why != "" {
		return fmt.Errorf("%s:%d: %w, %s: %s; write a new one", r.name, n.Line, ErrFormat, n.Value, why)
	}
	r.say(n.Line, "format is %q; this version reads %s", n.Value, SheetFormat)
	return r.err()
}

// valueOf finds the value of a key, nil where there is none.
func valueOf(mapping *yaml.Node, key string) *yaml.Node {
	if mapping.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		if mapping.Content[i].Value == key {
			return mapping.Content[i+1]
		}
	}
	return nil
}

// whole refuses a sheet without its end line, with anything behind it, or on which fewer questions stand than it counts.
func (r *reader) whole(f map[string]*yaml.Node, root *yaml.Node) {
	n := f["end"]
	if blank(n) {
		r.say(lastLine(root), "the sheet has no end line: part of it is lost; copy it whole, or write a new one")
		return
	}
	switch text := r.text(n, "end"); {
	case text != SheetEnd(sheetQuestions()):
		r.say(n.Line, "end is %q; a whole sheet ends with %q", text, SheetEnd(sheetQuestions()))
	case root.Content[len(root.Content)-1] != n:
		r.say(n.Line, "end is not the last line of the sheet; put it behind everything else")
	}
	r.missing(f["readings"], root)
}

// missing names readings whose line is gone: one that nobody looked at is left blank, not taken out.
func (r *reader) missing(n, root *yaml.Node) {
	var gone []string
	for _, q := range readings {
		if n == nil || n.Kind != yaml.MappingNode || valueOf(n, q.ID) == nil {
			gone = append(gone, q.ID)
		}
	}
	if len(gone) > 0 {
		r.say(lineIn(n, root), "readings: %d of the %d questions that the end line counts are not on the sheet: %s; leave blank what nobody looked at", len(gone), sheetQuestions(), strings.Join(gone, ", "))
	}
}

func lastLine(n *yaml.Node) int {
	last := n.Line
	for _, c := range n.Content {
		last = max(last, lastLine(c))
	}
	return last
}
