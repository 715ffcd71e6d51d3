package main

import (
	"fmt"
	"os"
	"slices"
	"strings"

	tea "charm.land/bubbletea/v2"
	"charm.land/huh/v2"
	"golang.org/x/term"
)

// The screen shows one question at a time as a form. Keys that answer at once are read here, before the form sees
// them: most answers of a morning are one key.

// Smallest terminal on which a form can be read; below it questions are asked line by line (company choice).
const (
	fewestColumns = 40
	fewestRows    = 10
)

// canPaint reports whether forms can be drawn: not where lines were asked for, or the terminal is dumb or too small.
func (a *app) canPaint() bool {
	f, ok := past(a.err).(*os.File)
	if a.plainly || !ok || a.getenv("TERM") == "dumb" || a.getenv("TERM") == "" {
		return false
	}
	w, h, err := term.GetSize(int(f.Fd()))
	return err == nil && w >= fewestColumns && h >= fewestRows
}

// askOnScreen asks every question of a guide with forms.
func (a *app) askOnScreen(g *guide) error {
	s := &screen{g: g, width: 80, height: 24}
	p := tea.NewProgram(s, tea.WithContext(a.ctx), tea.WithInput(a.in), tea.WithOutput(past(a.err)), tea.WithoutSignalHandler())
	_, err := p.Run()
	switch {
	case s.stop || a.ctx.Err() != nil:
		return stopped()
	case err != nil:
		return fmt.Errorf("ask at the terminal: %w; try --plain", err)
	}
	return s.err
}

// screen is what the terminal shows: the form of the question that is being asked.
type screen struct {
	g             *guide
	q             question
	form          *huh.Form
	field         *huh.Select[string] // of a question with one answer to pick
	words         string              // typed
	picked        []string            // of several
	moved         bool                // the cursor was moved by hand: enter means where it stands
	wrong         string              // what was wrong with the last answer
	width, height int
	stop          bool
	err           error
}

// Init asks the first question.
func (s *screen) Init() tea.Cmd { return s.ask() }

// ask shows the next question, or ends.
func (s *screen) ask() tea.Cmd {
	q, ok, err := s.g.next()
	if err != nil || !ok {
		s.err, s.form = err, nil
		return tea.Quit
	}
	s.q, s.words, s.picked, s.moved, s.wrong = q, "", nil, false, ""
	if q.many && q.from == wasYours {
		s.picked = strings.FieldsFunc(q.preset, func(r rune) bool { return r == ',' })
	}
	return tea.Sequence(append(s.above(q.preview), s.draw())...)
}

// above prints a text above the form, where it stays however long it is. Line by line: more at once than the screen has
// rows would push the form out of its place.
func (s *screen) above(text string) []tea.Cmd {
	if text == "" {
		return nil
	}
	var cmds []tea.Cmd
	for line := range strings.SplitSeq(wrapped(text, s.width-1), "\n") {
		cmds = append(cmds, tea.Println(line))
	}
	return cmds
}

// draw builds the form of the question as it stands.
func (s *screen) draw() tea.Cmd {
	rows := max(3+s.over(), s.height-8)
	s.field = nil
	var field huh.Field
	switch {
	case s.q.many:
		field = huh.NewMultiSelect[string]().Title(s.q.title).Description(s.q.help).Options(s.options()...).Value(&s.picked).
			Height(min(rows, len(s.q.choices)+1+s.over())).Filterable(false)
	case len(s.q.choices) > 0:
		one := s.q.preset
		shown := s.options()
		s.field = huh.NewSelect[string]().Title(s.title()).Description(s.q.help).Options(shown...).Value(&one).
			Height(min(rows, len(shown)+1+s.over()))
		field = s.field
	default:
		field = huh.NewInput().Title(s.q.title).Description(s.q.help).Value(&s.words).Placeholder(s.q.preset)
	}
	s.form = huh.NewForm(huh.NewGroup(field)).WithShowHelp(false).WithTheme(huh.ThemeFunc(huh.ThemeBase)).WithWidth(s.width - 1)
	s.form.Init() // what it would ask of the terminal, its size above all, is known here and told at once
	form, cmd := s.form.Update(tea.WindowSizeMsg{Width: s.width, Height: s.height})
	s.form = form.(*huh.Form)
	return cmd
}

// over is how many lines stand over the choices: a form breaks its title and help to its width.
func (s *screen) over() int {
	lines := strings.Split(wrapped(s.title(), s.inside()), "\n")
	if s.q.help != "" {
		lines = append(lines, strings.Split(wrapped(s.q.help, s.inside()), "\n")...)
	}
	return len(lines)
}

// inside is the width that a form leaves for text.
func (s *screen) inside() int { return s.width - 4 }

// title shows beside a question what was typed to narrow the choices.
func (s *screen) title() string {
	if !s.q.search {
		return s.q.title
	}
	return s.q.title + "  " + s.words + "_"
}

// options are the choices on show, each with the key that gives it.
func (s *screen) options() []huh.Option[string] {
	choices := s.q.choices
	if s.q.search {
		choices = s.q.matching(s.words)
	}
	var out []huh.Option[string]
	for i, c := range choices {
		label := c.label
		if !s.q.search && s.q.keyOf(i) != "" {
			label = s.q.keyOf(i) + "  " + label
		}
		if wide := s.inside() - len("> [ ] "); len([]rune(label)) > wide && wide > 1 {
			label = string([]rune(label)[:wide-1]) + "…"
		}
		out = append(out, huh.NewOption(label, c.value).Selected(slices.Contains(s.picked, c.value)))
	}
	return out
}

// Update takes a key, or what else the terminal reports.
func (s *screen) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch m := msg.(type) {
	case tea.WindowSizeMsg:
		s.width, s.height = max(m.Width, 20), m.Height
		if s.form != nil {
			return s, s.draw()
		}
		return s, nil
	case tea.PasteMsg:
		if s.q.search {
			return s, s.narrow(s.words + strings.Join(strings.Fields(m.Content), " "))
		}
	case tea.KeyPressMsg:
		if cmd, taken := s.key(m); taken {
			return s, cmd
		}
	}
	if s.form == nil {
		return s, nil
	}
	form, cmd := s.form.Update(msg)
	s.form = form.(*huh.Form)
	return s, cmd
}

// key does what a key means here; taken is false where it is for the form.
func (s *screen) key(m tea.KeyPressMsg) (cmd tea.Cmd, taken bool) {
	switch m.String() {
	case "ctrl+c":
		s.stop, s.form = true, nil
		return tea.Quit, true
	case "esc", "shift+tab":
		return s.back(), true
	case "enter", "tab":
		return s.take(s.value()), true
	case "up", "down", "home", "end":
		s.moved, s.wrong = true, ""
		return nil, false
	case "backspace":
		if s.q.search && s.words != "" {
			r := []rune(s.words)
			return s.narrow(string(r[:len(r)-1])), true
		}
		return nil, s.q.search
	}
	return s.typed(m)
}

// back asks the question before again. What was answered stays on the screen above, so it is said that it counts no more.
func (s *screen) back() tea.Cmd {
	back, ok := s.g.back()
	if !ok {
		return s.ask()
	}
	cmd := s.ask()
	if s.q.id == back {
		return tea.Sequence(tea.Println(wrapped("taken back: "+s.q.title, s.width-1)), cmd)
	}
	return cmd
}

// typed is a key that writes something: it narrows a search, answers at once, or belongs to the form.
func (s *screen) typed(m tea.KeyPressMsg) (cmd tea.Cmd, taken bool) {
	switch {
	case len(s.q.choices) == 0:
		return nil, false
	case s.q.search:
		if m.Text != "" {
			return s.narrow(s.words + m.Text), true
		}
		return nil, false
	case m.Text == " " && s.q.many:
		s.wrong = ""
		return nil, false // the form marks where the cursor stands
	}
	for i, c := range s.q.choices {
		if m.Text == "" || s.q.keyOf(i) != strings.ToLower(m.Text) {
			continue
		}
		if !s.q.many {
			return s.take(c.value), true
		}
		s.toggle(c.value)
		s.wrong = ""
		return s.draw(), true
	}
	s.wrong = fmt.Sprintf("%q answers nothing here; press %s", m.String(), s.q.keysSaid())
	return nil, true
}

func (s *screen) toggle(value string) {
	if i := slices.Index(s.picked, value); i >= 0 {
		s.picked = slices.Delete(s.picked, i, i+1)
		return
	}
	s.picked = append(s.picked, value)
}

func (s *screen) narrow(typed string) tea.Cmd {
	s.words, s.wrong = typed, ""
	if len(s.q.matching(typed)) == 0 {
		_, err := s.q.pick(typed)
		s.wrong = err.Error() + "; backspace takes letters back"
	}
	return s.draw()
}

// value is what enter takes. Where nothing is offered and the cursor was not moved, it takes nothing.
func (s *screen) value() string {
	switch {
	case s.q.many:
		return strings.Join(s.picked, ",")
	case s.q.search && s.words != "" && !s.moved:
		if found := s.q.matching(s.words); len(found) > 0 {
			return found[0].value
		}
		return s.words
	case s.field != nil && s.moved:
		on, _ := s.field.Hovered()
		return on
	case s.field != nil:
		return ""
	}
	return s.words
}

// take gives an answer; where it is not taken, the screen says why and asks again.
func (s *screen) take(text string) tea.Cmd {
	q := s.q
	if err := s.g.answer(q, text); err != nil {
		s.wrong = err.Error()
		return nil
	}
	said := s.g.said[q.id]
	if q.id == resumeQuestion { // no answer of the entry
		said, _ = q.understand(text)
	}
	return tea.Sequence(tea.Println(wrapped(q.title+"  "+firstText(q.labelOf(said), "-"), s.width-1)), s.ask())
}

// View draws the question, what was wrong, and the keys.
func (s *screen) View() tea.View {
	if s.form == nil {
		return tea.NewView("")
	}
	text := strings.TrimRight(s.form.View(), "\n") + "\n"
	if s.wrong != "" {
		text += "\n" + wrapped("not taken: "+s.wrong, s.width-1) + "\n"
	}
	keys := "\n" + wrapped(strings.Join([]string{s.howToAnswer(), "esc: back", "control-C: stop, keeps your answers"}, " · "), s.width-1)
	if strings.Count(text+keys, "\n") >= s.height { // the question itself would leave the screen
		return tea.NewView(strings.TrimRight(text, "\n"))
	}
	return tea.NewView(text + keys)
}

// howToAnswer says which keys give an answer. What enter would leave out is not told any more once something is marked.
func (s *screen) howToAnswer() string {
	offer := s.q.offer()
	switch {
	case s.q.many && len(s.picked) > 0:
		return "press a key to mark or unmark · enter: take the marked"
	case s.q.many && !s.q.search:
		return "press a key to mark · " + firstText(offer, "enter: take the marked")
	case offer != "":
		return offer
	case len(s.q.choices) == 0 || s.q.many || s.q.search:
		return "enter: take it"
	}
	return "press the key of an answer"
}
