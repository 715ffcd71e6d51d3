package main

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"time"

	"example.org/ringtrue/hazards"
)

// Invented names: given names and family names of no real persons, combined by luck.
var (
	givenNames  = []string{"Ana", "Ben", "Luis", "Maren", "Odile", "Tarek", "Ines", "Pavel", "Signe", "Rosa", "Emil", "Nadia", "Jorn", "Celine", "Bruno", "Alva", "Mateo", "Freya", "Ivo", "Leila", "Oskar", "Perla", "Quinn", "Runa", "Silas", "Tilda", "Uwe", "Vera", "Wim", "Yara", "Zeno", "Asta", "Cato", "Dara", "Elio", "Fenna", "Gil", "Hedda", "Ilan", "Juna", "Kael", "Liv", "Milo", "Nils", "Orla"}
	familyNames = []string{"Alderfold", "Birkenmoor", "Cairnwell", "Dunmarsh", "Elmhurst-Ro", "Fernlund", "Gorsebank", "Hagelstrom", "Islay-Ness", "Juniperry", "Kestrelow", "Larchmont", "Mossgrave", "Nettlesund", "Oakenfall", "Pinewarden", "Quillstone", "Rowanbeck", "Sedgewater", "Thistledal", "Underwood-Li", "Vetchfield", "Willowbrae", "Yarrowby", "Ashendale", "Brackenlo", "Cloudberg", "Driftholm", "Eskerling", "Fallowmere", "Gladewright", "Heathcrown", "Inverlund", "Jarrowdin", "Kelpstrand", "Lochanby", "Marramdal", "Northlea-Vik", "Ospenrun", "Peatling", "Ridgeholt", "Spruceton", "Tarnbeck", "Upfell", "Vinterlow"}
)

// inventNames mixes all names in a luck of their own, each name once.
func inventNames(luck *rand.Rand) []string {
	var all []string
	for _, f := range familyNames {
		for _, g := range givenNames {
			all = append(all, g+" "+f)
		}
	}
	luck.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all
}

// demoCrew is a crew of the demo. The supervisor and the deputy look and decide; the supervisor does not saw.
type demoCrew struct {
	name       string
	supervisor string
	deputy     string
	block      string
	members    []*demoMember // the deputy first, then the others; recruits last
	saws       int           // on the list
}

// demoMember is one worker of a crew.
type demoMember struct {
	short   string
	recruit bool // new in this season
	passes  map[string]int
	failing string // skill restricted and not yet lifted
	since   time.Time
	signed  map[string]int // skill -> year of the last sign-off
	release int            // year of the last release
}

// second is who makes every other look at a member: the deputy; at the deputy, the owner.
func (c *demoCrew) second(m *demoMember) string {
	if m.short == c.deputy {
		return ""
	}
	return c.deputy
}

// recruit is the short id of the first recruit, or of the last member.
func (c *demoCrew) recruit() string {
	for _, m := range c.members {
		if m.recruit {
			return m.short
		}
	}
	return c.members[len(c.members)-1].short
}

// crewSize is how many people one crew has, its supervisor counted.
const crewSize = 7

// hire fills the crews up to the number of workers asked, in the name of the owner.
func (w *world) hire(day time.Time) error {
	if err := w.acting("", w.at(day, "10:00")); err != nil {
		return err
	}
	if len(w.crews) == 0 {
		for _, size := range crewSizes(w.options.workers) {
			if err := w.hireCrew(day, size); err != nil {
				return err
			}
		}
		return nil
	}
	for _, c := range w.crews {
		if err := w.replace(c, day); err != nil {
			return err
		}
	}
	return nil
}

// crewSizes parts so many workers into crews; a rest of one or two joins the crew before it.
func crewSizes(workers int) []int {
	var sizes []int
	for left := workers; left > 0; {
		size := crewSize
		if left-size < 3 {
			size = left
		}
		sizes = append(sizes, size)
		left -= size
	}
	return sizes
}

// hireCrew hires a crew: supervisor, deputy, hands with earlier training, and recruits.
func (w *world) hireCrew(day time.Time, size int) error {
	c := &demoCrew{name: fmt.Sprintf("crew %d", len(w.crews)+1), block: w.blockOf(len(w.crews))}
	w.crews = append(w.crews, c)
	supervisor, err := w.hireOne(c, day, false)
	if err != nil {
		return err
	}
	c.supervisor = supervisor
	for i := range size - 1 {
		if err := w.hireMember(c, day, i >= (size+1)/2); err != nil {
			return err
		}
	}
	c.deputy = c.members[0].short
	return nil
}

// hireOne puts one person on the crew list, from a day on: recruits from now, the others from some year before.
func (w *world) hireOne(c *demoCrew, day time.Time, recruit bool) (short string, err error) {
	from := day
	if !recruit {
		from = day.AddDate(-2-w.luck.IntN(8), 0, 0)
	}
	d, err := w.addWorker(workerOptions{name: w.name(), crew: c.name, from: from.Format("2006-01-02"), seasons: strconv.Itoa(day.Year() - from.Year())})
	return d.who.Handle, err
}

func (w *world) hireMember(c *demoCrew, day time.Time, recruit bool) error {
	short, err := w.hireOne(c, day, recruit)
	if err != nil {
		return err
	}
	c.members = append(c.members, &demoMember{short: short, recruit: recruit, passes: map[string]int{}, signed: map[string]int{}})
	return nil
}

// replace lets one member of a crew leave between seasons and hires a recruit in their place.
func (w *world) replace(c *demoCrew, day time.Time) error {
	for _, m := range c.members {
		m.recruit = false
	}
	if len(w.names) == 0 || len(c.members) < 3 || !w.chance(60) {
		return nil
	}
	gone := c.members[1]
	c.members = append(c.members[:1:1], c.members[2:]...)
	if err := w.leave(gone.short, day); err != nil {
		return err
	}
	return w.hireMember(c, day, true)
}

// blockOf names the block of the nth crew.
func (w *world) blockOf(n int) string { return fmt.Sprintf("H%d", n%w.blockCount()+1) }

func (w *world) blockCount() int { return max(4, (w.options.workers+crewSize-1)/crewSize) }

var blockNames = []string{"Upper Hazel", "Crow Bench", "Two Fords", "Stone Ladder", "Mill Slope", "Long Draw", "Far Meadow", "Otter Bend"}

// blocks records the cards of the demo's blocks. Their coordinates lie in the open ocean, near enough to
// the book's zone that the sun is up when the crews start, and short enough a walk that one crew can carry.
func (w *world) blocks() error {
	var err error
	if w.std, err = w.standards(w.knownNow(0)); err != nil {
		return err
	}
	for i := range w.blockCount() {
		b := hazards.Block{ID: fmt.Sprintf("H%d", i+1), Name: blockNames[i%len(blockNames)],
			Access: fmt.Sprintf("%dkm", 12+i%40), Walk: fmt.Sprintf("%dmin", 6+2*(i%5)), SlopeMax: fmt.Sprintf("%d%%", 18+6*(i%5)),
			TreeHeight: fmt.Sprintf("%dm", 3+i%4), Ambulance: fmt.Sprintf("%dmin", 25+10*(i%5)),
			Call: "the emergency number, then the office", Road: fmt.Sprintf("km %d of the Hazelrun road, blue gate", 12+i%40),
			Channel: "radio 4, then the satellite phone", Meeting: fmt.Sprintf("the landing at km %d", 11+i%40), PlanB: "carry to the landing and meet the ambulance there", Carry: "the crew of the next block"}
		place := fmt.Sprintf("%d.%02d,-%d.%02d", 40, i%100, 126, (3*i)%100)
		if _, _, _, err := w.addBlock(blockOptions{Block: b, place: place}); err != nil {
			return err
		}
	}
	return nil
}
