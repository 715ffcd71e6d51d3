package hazards

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/training/spelling"
)

type problem struct {
	line int
	text string
}

type reader struct {
	name     string
	known    Known
	problems []problem
}

func (r *reader) say(line int, format string, args ...any) {
	r.problems = append(r.problems, problem{line, fmt.Sprintf(format, args...)})
}

func (r *reader) err() error {
	sort.SliceStable(r.problems, func(i, j int) bool { return r.problems[i].line < r.problems[j].line })
	var all []error
	for _, p := range r.problems {
		all = append(all, fmt.Errorf("%s:%d: %s", r.name, p.line, p.text))
	}
	return errors.Join(all...)
}

var yamlLine = regexp.MustCompile(`line (\d+)`)

// document reads the one YAML document and refuses what a day sheet does not need.
func (r *reader) document(text []byte) (*yaml.Node, error) {
	if len(text) > MaxSheet {
		return nil, fmt.Errorf("%s:1: the sheet has %d bytes; at most %d are read", r.name, len(text), MaxSheet)
	}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var doc yaml.Node
	switch err := dec.Decode(&doc); {
	case errors.Is(err, io.EOF) || (err == nil && len(doc.Content) == 0):
		return nil, fmt.Errorf("%s:1: the sheet is empty", r.name)
	case err != nil:
		return nil, fmt.Errorf("%s:%s: not a sheet that can be read: %s (an answer with a colon in it needs quotes)",
			r.name, lineOf(err), oneLine(strings.TrimPrefix(err.Error(), "yaml: ")))
	}
	var more yaml.Node
	if err := dec.Decode(&more); !errors.Is(err, io.EOF) {
		r.say(max(more.Line, 1), "a second document follows; a sheet is one")
	}
	r.plain(doc.Content[0])
	if err := r.err(); err != nil {
		return nil, err
	}
	return doc.Content[0], nil
}

func lineOf(err error) string {
	if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
		return m[1]
	}
	return "1"
}

// plain refuses anchors, aliases and explicit tags anywhere in the tree.
func (r *reader) plain(n *yaml.Node) {
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		r.say(n.Line, "a sheet has no anchors and no aliases (& and *)")
		return
	case n.Style&yaml.TaggedStyle != 0:
		r.say(n.Line, "a sheet has no tags (!)")
	}
	for _, c := range n.Content {
		r.plain(c)
	}
}

// fields reads a mapping with known keys. Unknown and repeated keys are problems; a missing key is nil in the result.
func (r *reader) fields(n *yaml.Node, where string, keys []string) map[string]*yaml.Node {
	out := make(map[string]*yaml.Node, len(keys))
	if n.Kind != yaml.MappingNode {
		r.say(n.Line, "%s: write lines of the form key: answer", where)
		return out
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		switch known := contains(keys, key.Value); {
		case !known:
			r.say(key.Line, "%s: %q is not known%s", where, key.Value, perhaps(key.Value, keys))
		case out[key.Value] != nil:
			r.say(key.Line, "%s: %s stands twice", where, key.Value)
		default:
			out[key.Value] = n.Content[i+1]
		}
	}
	return out
}

func contains(names []string, name string) bool {
	for _, n := range names {
		if n == name {
			return true
		}
	}
	return false
}

func perhaps(word string, names []string) string {
	if n := spelling.Nearest(word, names); n != "" {
		return "; did you mean " + n + "?"
	}
	return ""
}

func blank(n *yaml.Node) bool {
	return n == nil || (n.Kind == yaml.ScalarNode && (n.ShortTag() == "!!null" || strings.TrimSpace(n.Value) == ""))
}

// text reads one line of text; blank is "".
func (r *reader) text(n *yaml.Node, where string) string {
	if blank(n) {
		return ""
	}
	if n.Kind != yaml.ScalarNode {
		r.say(n.Line, "%s: write one answer, not a list", where)
		return ""
	}
	t := strings.TrimSpace(n.Value)
	switch {
	case len(t) > maxText:
		r.say(n.Line, "%s: longer than %d letters", where, maxText)
	case !utf8.ValidString(t) || strings.ContainsFunc(t, unicode.IsControl):
		r.say(n.Line, "%s: write one line of plain text", where)
	}
	return t
}

// need reads text that may not be blank. Parent gives the line where the key is missing altogether.
func (r *reader) need(n, parent *yaml.Node, where, hint string) string {
	t := r.text(n, where)
	if t == "" && (n == nil || n.Kind == yaml.ScalarNode) {
		r.say(lineIn(n, parent), "%s is blank: %s", where, hint)
	}
	return t
}

func lineIn(n, parent *yaml.Node) int {
	if n != nil {
		return n.Line
	}
	return parent.Line
}

func (r *reader) items(n *yaml.Node, where string) []*yaml.Node {
	if blank(n) {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		r.say(n.Line, "%s: write a list, each line with a dash", where)
		return nil
	}
	return n.Content
}
