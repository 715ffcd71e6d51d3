package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newSawCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "saw", Short: "Saws and blades: who had them, upkeep, defects, tag-out, what is due"}
	c.AddCommand(newSawAddCmd(a), newSawListCmd(a), newSawShowCmd(a), newSawRetireCmd(a), newSawBladeCmd(a),
		newSawUseCmd(a), newSawUpkeepCmd(a), newSawRefuelCmd(a), newSawFileCmd(a), newSawSetCmd(a),
		newSawDefectCmd(a), newSawTagCmd(a), newSawClearCmd(a), newSawDueCmd(a), newSawHarnessCmd(a))
	return c
}

// sawCard is the newest card of a saw with the entry and day that brought it first.
type sawCard struct {
	upkeep.Saw
	added civil.Day
}

// saws lists the saws of the book with their newest cards, in the order in which they came. Retired ones are among them.
func (a *app) saws(asked training.Asked) ([]sawCard, error) {
	facts, err := a.listed(asked, store.KindSaw)
	if err != nil {
		return nil, err
	}
	var list []sawCard
	at := map[string]int{}
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		s := sawCard{added: f.Day}
		if _, err := a.book.Entry(a.ctx, f.Entry, &s.Saw); err != nil {
			return nil, err
		}
		if i, ok := at[s.ID]; ok {
			list[i].Saw = s.Saw
			continue
		}
		at[s.ID] = len(list)
		list = append(list, s)
	}
	return list, nil
}

func sawIDs(list []sawCard) []string {
	ids := make([]string, len(list))
	for i, s := range list {
		ids[i] = s.ID
	}
	return ids
}

// pickSaw finds a saw by its id; capitals do not matter where only one is meant.
func pickSaw(list []sawCard, id string) (sawCard, error) {
	var found []sawCard
	for _, s := range list {
		if s.ID == id {
			return s, nil
		}
		if strings.EqualFold(s.ID, id) {
			found = append(found, s)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return sawCard{}, refuse(hint(id, sawIDs(list), "saw list"), "no saw %q in this book", id)
}

// sawAt is a saw at the moment of an entry about it: its card, what stays with it, and what is open on it.
type sawAt struct {
	sawCard
	topics  store.Topics
	retired bool
	open    []upkeep.OpenItem
	rules   house.House
	on      int64 // the moment, Unix seconds
}

// sawOn finds a saw as it was known to stand at a moment.
func (a *app) sawOn(id string, asked training.Asked) (sawAt, error) {
	list, err := a.saws(asked)
	if err != nil {
		return sawAt{}, err
	}
	card, err := pickSaw(list, id)
	if err != nil {
		return sawAt{}, err
	}
	return a.standOf(card, asked)
}

func (a *app) standOf(card sawCard, asked training.Asked) (sawAt, error) {
	s := sawAt{sawCard: card, on: asked.On}
	var err error
	if s.rules, err = a.house(asked); err != nil {
		return s, err
	}
	if s.topics, err = a.book.Facts(a.ctx, asked, store.SawSubject(card.ID)); err != nil {
		return s, err
	}
	s.retired = anyBy(s.topics[store.KindRetire], asked)
	s.open = upkeep.Open(sawEvents(s.topics), s.rules, asked.On)
	return s, nil
}

// firstUse is the first day on which the saw may have been used: cards are entered late.
func (s sawAt) firstUse() civil.Day { return s.added.AddMonths(-fewestMonths) }

func anyBy(facts []training.Fact, asked training.Asked) bool {
	return slices.ContainsFunc(facts, func(f training.Fact) bool { return !f.Struck && f.At <= asked.On })
}

// sawEvents turns the facts of a saw into what package upkeep asks for.
func sawEvents(topics store.Topics) []upkeep.Event {
	var events []upkeep.Event
	for _, k := range []struct {
		topic string
		kind  upkeep.EventKind
	}{{store.KindDefect, upkeep.Found}, {store.KindTag, upkeep.Tagged}, {store.KindClear, upkeep.Cleared}, {store.KindLookAgain, upkeep.SeenAgain}} {
		for _, f := range topics[k.topic] {
			if f.Struck {
				continue
			}
			e := upkeep.Event{Entry: int64(f.Entry), Kind: k.kind, At: f.At}
			e.Stops = k.kind == upkeep.Found && f.Code == store.DefectStops
			e.Again = k.kind == upkeep.Cleared && f.Code == store.ClearAgain
			for _, c := range f.Cites {
				e.Clears = append(e.Clears, int64(c))
			}
			events = append(events, e)
		}
	}
	return events
}

// sawKeys are the house rules that saws are looked after by.
var sawKeys = []string{house.UpkeepDaily, house.UpkeepWeekly, house.FileRefuels, house.SetFilings, house.SetsInLife, house.NutChecks,
	house.SecondLook, house.FinderClears}

// sawRules are the house rules in force; an edition from before they had numbers for saws is refused. Stops count under any
// edition: without the house time, a clearing by the finder is late at once.
func (a *app) sawRules(asked training.Asked) (house.House, error) {
	h, err := a.house(asked)
	if err != nil {
		return h, err
	}
	return h, hasRules(h, sawKeys)
}

// hasRules refuses an edition of the house rules that lacks some.
func hasRules(h house.House, keys []string) error {
	var lacks []string
	for _, k := range keys {
		if !h.Has(k) {
			lacks = append(lacks, k)
		}
	}
	if len(lacks) == 0 {
		return nil
	}
	return refuse("adopt an edition that has them: ringtrue house adopt --from FILE", "edition %s of the house rules does not have: %s", h.Edition, strings.Join(lacks, ", "))
}

// sawDoing is an entry about a saw under way: who records, when, and the saw as it stood then.
type sawDoing struct {
	by       store.Person
	happened time.Time
	asked    training.Asked
	saw      sawAt
	blade    fittedBlade
}

// doing gathers what every entry about a saw needs; what is wrong with it goes to the problems. The saw is one that the
// book knows now; it may have come onto the list later than what happened.
func (a *app) doing(saw, at string, p *problems) sawDoing { return a.doingOn(saw, at, p, pickSaw) }

// doingOn is doing with another way to find the saw.
func (a *app) doingOn(saw, at string, p *problems, pick func([]sawCard, string) (sawCard, error)) sawDoing {
	var d sawDoing
	var err error
	d.by, err = a.actor()
	p.add(err)
	d.happened, err = a.happened(a.todayAt(at))
	p.add(err)
	d.asked = a.knownAt(d.happened)
	list, err := a.saws(a.knownNow(1 << 20))
	p.add(err)
	card, err := pick(list, saw)
	p.add(err)
	if err == nil {
		d.saw, err = a.standOf(card, d.asked)
		p.add(err)
	}
	if err == nil {
		d.blade, err = a.currentBlade(d.saw)
		p.add(err)
	}
	return d
}

// knownAt asks for everything the book knows now about a moment.
func (a *app) knownAt(t time.Time) training.Asked {
	day := civil.Of(t, a.book.Zone())
	return training.Asked{Day: day, On: t.Unix(), Known: a.knownNow(day).Known}
}

// whyDown says in a line each why a saw is out of use; name writes a person.
func (a *app) whyDown(s sawAt, name func(id string) string) ([]string, error) {
	var why []string
	for _, o := range s.open {
		if !o.Stops {
			continue
		}
		text, err := a.openText(o, name)
		if err != nil {
			return nil, err
		}
		why = append(why, text)
	}
	return why, nil
}

// openText says what is open on a saw, who found it, and the entry that says so.
func (a *app) openText(o upkeep.OpenItem, name func(id string) string) (string, error) {
	w, err := a.openWords(training.Ref(o.Entry))
	return a.sayOpen(o, w, name), err
}

func (a *app) sayOpen(o upkeep.OpenItem, w openWords, name func(id string) string) string {
	text := fmt.Sprintf("%s, %s by %s (entry %s)", w.text, a.local(time.Unix(o.At, 0)), name(w.who), a.book.Short(training.Ref(o.Entry)))
	switch {
	case o.Late:
		text += ", cleared by its finder, and no second person looked at it by " + a.local(time.Unix(o.SeenBy, 0))
	case o.SeenBy != 0:
		text += ", cleared by its finder; a second person looks at it by " + a.local(time.Unix(o.SeenBy, 0))
	}
	return text
}

// short writes a person by the short id.
func (a *app) short(id string) string {
	people, err := a.crew()
	if err != nil {
		return id
	}
	return people.handle(id)
}

// openWords is a defect or a tag in words: its id ("tag" for a tag), what it is, and who found it or hung it.
type openWords struct{ id, text, who string }

func (a *app) openWords(ref training.Ref) (openWords, error) {
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return openWords{}, err
	}
	if h.Kind == store.KindTag {
		return openWords{"tag", "tagged out: " + ledger.Text(ledger.Lookup(h.Data, "reason")), h.By}, nil
	}
	var d upkeep.Defect
	err = ledger.Decode(h.Data, &d)
	return openWords{d.What, defectWords(d), d.By}, err
}

func defectWords(d upkeep.Defect) string {
	words := d.What
	if k, ok := upkeep.DefectByID(d.What); ok {
		words = k.Words
	}
	return words + note(", blade ", d.Blade) + note(": ", d.Note)
}

// edgeNote says how fast the teeth run, for scale.
func edgeNote(diameter, spindle string) string {
	d, err1 := units.Parse(diameter, units.Length)
	n, err2 := units.Parse(spindle, units.Rotation)
	if err1 != nil || err2 != nil {
		return ""
	}
	v := kickback.EdgeSpeed(d.SI(), n.SI())
	return fmt.Sprintf("%.0f m/s (%.0f km/h) at the teeth of %s at %s", v, 3.6*v, diameter, spindle)
}
