package main

import (
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
)

// hurtPlace is a place where people are, or a block that was named, with what is said there.
type hurtPlace struct {
	card  hazards.Block
	lines []string // as read aloud in the morning, where the card cannot be read
	day   *course  // nil: no check, only the card
}

func newHurtCmd(a *app) *cobra.Command {
	var lang string
	c := &cobra.Command{
		Use:   "hurt [BLOCK-OR-NAME]",
		Short: "Somebody is hurt: who to call, what to say, where to meet, at once",
		Long: `Print the emergency text of where people are now: place and time of the check it takes, who to call, what to say, where to
meet, and who is there. Where several blocks have a check today, that of the acting person comes first (--as), else the newest;
name a block or a person to take another one. After a move it is the text of the block that the crew moved to. Without a check
today it is the newest one, or the block's card.

It only reads, needs no name, and reads what can be read of a damaged book: the text first, then what is wrong, with exit 4.
A BLOCK or NAME that is not understood takes nothing away: the text comes, then what was not understood, with exit 1.`,
		Example: "  ringtrue hurt\n  ringtrue hurt K3\n  ringtrue hurt ana --lang es",
		Args:    cobra.ArbitraryArgs, // a name in two words is no reason to wait
		RunE: func(_ *cobra.Command, args []string) error {
			unknown := a.speak(lang)
			if unknown != nil {
				a.tongue = nil // the text comes all the same
			}
			h, err := a.readHurt()
			if err != nil {
				return err
			}
			places, err := h.places(a, args)
			if len(places) == 0 {
				return firstError(h.damaged(), refuse("call the emergency number of the place; then record a block's card: ringtrue block add --help", "this book has no block card"))
			}
			if err := firstError(a.printHurt(h, places), err, unknown); err != nil {
				return err
			}
			return h.damaged()
		},
	}
	langFlag(c, &lang)
	c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return append(a.offered([]string{"BLOCK"}, nil), a.offered([]string{"WORKER"}, nil)...), cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// places lists where people are, the place that is meant first. What is not understood is an error beside the list.
func (h *hurtBook) places(a *app, args []string) ([]hurtPlace, error) {
	var list []hurtPlace
	for i := range h.courses {
		list = append(list, h.placeOf(a, &h.courses[i]))
	}
	want := strings.Join(args, " ")
	if block, ok := h.blockMeant(a, want, list); ok {
		return h.blockFirst(a, block, list), nil
	}
	people := a.anybody(h)
	if len(list) == 0 {
		for _, card := range h.listCards(a) {
			list = append(list, hurtPlace{card: card})
		}
	}
	slices.SortStableFunc(list, func(x, y hurtPlace) int { return x.rank(h.today) - y.rank(h.today) })
	for _, name := range notEmpty(want, a.as) {
		if who := people.meant(name); who != "" {
			slices.SortStableFunc(list, func(x, y hurtPlace) int { return x.without(who) - y.without(who) })
			return list, nil
		}
	}
	if want != "" {
		return list, refuse("name a block or a person: ringtrue block list, ringtrue worker list", "%q is no block and nobody in this book; what stands above is the newest", want)
	}
	return list, nil
}

// rank puts days that are still open before those that have ended.
func (p hurtPlace) rank(string) int {
	if p.day == nil {
		return 2
	}
	if _, closed := p.day.closed(); closed {
		return 1
	}
	return 0
}

// without is 0 where a person is at a place, 1 where not.
func (p hurtPlace) without(who string) int {
	if p.day != nil && (slices.Contains(p.day.crew(), who) || p.day.by == who) {
		return 0
	}
	return 1
}

func (h *hurtBook) placeOf(a *app, day *course) hurtPlace {
	p := hurtPlace{day: day}
	card, known := h.card(a, day.place())
	if known {
		p.card = card
		return p
	}
	p.card.ID, p.lines = day.place(), day.answer().Emergency
	return p
}

// blockMeant finds the block that a word names, as people type it.
func (h *hurtBook) blockMeant(a *app, want string, list []hurtPlace) (string, bool) {
	if want == "" {
		return "", false
	}
	for _, p := range list {
		for _, id := range []string{p.card.ID, p.day.Block} {
			if bare(id) == bare(want) {
				return p.card.ID, true
			}
		}
	}
	for _, card := range h.listCards(a) {
		if bare(card.ID) == bare(want) || plain(card.Name) == plain(want) {
			return card.ID, true
		}
	}
	return "", false
}

// blockFirst puts a block before the others; one without a check that day stands there by its card.
func (h *hurtBook) blockFirst(a *app, block string, list []hurtPlace) []hurtPlace {
	if i := slices.IndexFunc(list, func(p hurtPlace) bool { return p.card.ID == block }); i >= 0 {
		one := list[i]
		return append([]hurtPlace{one}, slices.Delete(list, i, i+1)...)
	}
	card, _ := h.card(a, block)
	return append([]hurtPlace{{card: card}}, list...)
}

// anybody reads the names, as far as they can be read.
func (a *app) anybody(h *hurtBook) *people {
	people, err := a.crew()
	if err == nil {
		return people
	}
	h.note(err)
	a.people = newPeople(nil)
	return a.people
}

// meant is the id of the one person whom a word names, "" where there is none or several.
func (p *people) meant(text string) string {
	var found []string
	for _, one := range p.list {
		if one.Handle == plain(text) || one.ID == text || plain(one.Name) == plain(text) {
			return one.ID
		}
		if slices.Contains(strings.Fields(plain(one.Name)), plain(text)) {
			found = append(found, one.ID)
		}
	}
	if len(found) == 1 {
		return found[0]
	}
	return ""
}

// printHurt prints the first place whole, and one line for each other.
func (a *app) printHurt(h *hurtBook, places []hurtPlace) error {
	people := a.anybody(h)
	if a.json {
		return a.printJSON(a.hurtAnswer(h, places, people))
	}
	a.mark()
	first := places[0]
	a.say("%s", a.hurtHead(h, first))
	if first.lines != nil {
		for _, line := range first.lines {
			a.say("%s", a.inWords(line))
		}
	} else {
		a.cardText(first.card)
	}
	if first.day != nil {
		a.hereText(*first.day, people)
	}
	if h.inDoubt(a, first) {
		a.say("%s", a.said("hurt.doubt"))
	}
	for _, p := range places[1:] {
		a.labelled("hurt.also", strings.TrimSuffix(a.hurtHead(h, p)+". "+p.card.Road+". "+p.card.Lat+", "+p.card.Lon, ". . , "))
	}
	return nil
}

// hurtHead is place and time of the check that is taken.
func (a *app) hurtHead(h *hurtBook, p hurtPlace) string {
	if p.day == nil {
		return a.said("hurt.card", p.card.ID, p.card.Name)
	}
	clock := p.day.happened.In(a.book.Zone()).Format("15:04")
	if p.day.Sheet.Day != h.today {
		clock = a.local(p.day.happened)
	}
	head := a.said("hurt.check", p.card.ID, p.card.Name, clock)
	if at := p.day.movedAt(); p.card.ID != p.day.Block {
		head = a.said("hurt.moved", p.card.ID, p.card.Name, at.In(a.book.Zone()).Format("15:04"), p.day.Block+" "+clock)
	}
	if p.day.Sheet.Day != h.today {
		head += " (" + a.said("hurt.old") + ")"
	}
	if done, closed := p.day.closed(); closed {
		head += "; " + a.said("hurt.closed", done.happened.In(a.book.Zone()).Format("15:04"))
	}
	return head
}

// inDoubt reports whether what is printed of a place was read from an entry that does not agree with its hash.
func (h *hurtBook) inDoubt(a *app, p hurtPlace) bool {
	if h.doubt["block/"+p.card.ID] || p.day == nil {
		return h.doubt["block/"+p.card.ID]
	}
	return h.doubt[a.book.Name(p.day.ref)]
}

// hurtAnswer is the same for --json.
type hurtAnswer struct {
	Format string      `json:"format"`
	Places []hurtShown `json:"places"` // the one that is meant first
	Sound  bool        `json:"sound"`  // nothing was found to be wrong with the book; it was not verified
}

type hurtShown struct {
	Block     string            `json:"block"`
	Name      string            `json:"name"`
	Check     string            `json:"check"` // block of the check, "" = none
	Happened  string            `json:"happened"`
	Moved     string            `json:"moved"` // since when the crew is there, "" = from the check on
	Closed    bool              `json:"closed"`
	Call      string            `json:"call"`
	Channel   string            `json:"channel"`
	Road      string            `json:"road"`
	Lat       string            `json:"lat"`
	Lon       string            `json:"lon"`
	Meeting   string            `json:"meeting"`
	PlanB     string            `json:"plan_b"`
	Ambulance string            `json:"ambulance"`
	Walk      string            `json:"walk"`
	Emergency []string          `json:"emergency"` // to read aloud
	Here      []string          `json:"here"`
	People    map[string]string `json:"people"`
	Doubt     bool              `json:"doubt"`
}

func (a *app) hurtAnswer(h *hurtBook, places []hurtPlace, people *people) hurtAnswer {
	ans := hurtAnswer{Format: "ringtrue/hurt/1", Sound: h.damaged() == nil}
	for _, p := range places {
		c := p.card
		one := hurtShown{Block: c.ID, Name: c.Name, Call: c.Call, Channel: c.Channel, Road: c.Road, Lat: c.Lat, Lon: c.Lon, Meeting: c.Meeting, PlanB: c.PlanB,
			Ambulance: c.Ambulance, Walk: c.Walk, Emergency: p.lines, Here: []string{}, People: map[string]string{}, Doubt: h.inDoubt(a, p)}
		if p.lines == nil {
			one.Emergency = c.ReadAloud()
		}
		if p.day != nil {
			one.Check, one.Happened, one.Here = p.day.Block, p.day.happened.In(a.book.Zone()).Format(time.RFC3339), append(one.Here, p.day.crew()...)
			if at := p.day.movedAt(); !at.IsZero() {
				one.Moved = at.In(a.book.Zone()).Format(time.RFC3339)
			}
			_, one.Closed = p.day.closed()
			for _, w := range one.Here {
				one.People[w] = people.name(w)
			}
		}
		ans.Places = append(ans.Places, one)
	}
	return ans
}
