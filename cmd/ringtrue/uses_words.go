package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// reasonLine is one reason for --json.
type reasonLine struct {
	Code  against.Code `json:"code"`
	Entry string       `json:"entry"` // that said so, "" = something is missing
	Of    string       `json:"of"`    // skill, task group, saw, block or finding
	Text  string       `json:"text"`
}

// usedLine is one use of a saw with what the book said of it, for --json. What stood against it is there twice: as known when the use was
// recorded, and as known now. The rest is as known now.
type usedLine struct {
	Entry       string          `json:"entry"`
	Kind        against.Kind    `json:"kind"`
	Worker      string          `json:"worker"` // person id, "" = the entry names nobody
	Saw         string          `json:"saw"`
	Block       string          `json:"block"`
	From        string          `json:"from"`
	Until       string          `json:"until"` // the same as from: at that moment
	Minutes     int64           `json:"minutes"`
	Level       string          `json:"level"` // at which the worker might work
	Group       string          `json:"group"`
	Release     string          `json:"release"`
	Restriction string          `json:"restriction"`
	Join        string          `json:"join"`
	JoinedWith  string          `json:"joined_with"` // saw
	Check       string          `json:"check"`
	Answer      hazards.Verdict `json:"answer"`
	Tag         string          `json:"tag"`
	Against     bool            `json:"against"`
	Differs     bool            `json:"differs"`
	Then        []reasonLine    `json:"then"`
	Now         []reasonLine    `json:"now"`
	AnsweredBy  []string        `json:"answered_by"` // events
}

// useWords chooses the words for uses; events that answer for them are read once.
type useWords struct {
	*app
	people   *people
	answered map[training.Ref][]string
}

func (a *app) useWords(asked training.Asked) (useWords, error) {
	people, err := a.crew()
	if err != nil {
		return useWords{}, err
	}
	answered, err := a.usesAnsweredBy(asked)
	return useWords{a, people, answered}, err
}

// shortOrNone writes an entry as people type it, "" where there is none.
func (a *app) shortOrNone(ref training.Ref) string {
	if ref == 0 {
		return ""
	}
	return a.book.Short(ref)
}

// line is a use for --json.
func (w useWords) line(c against.Case) usedLine {
	now := c.Now
	l := usedLine{Entry: w.book.Short(c.Entry), Kind: c.Kind, Worker: c.Worker, Saw: c.Saw, Block: c.Block, From: w.moment(c.From), Until: w.moment(c.Until), Minutes: c.Ran / 60,
		Group: now.Group, Release: w.shortOrNone(now.Release), Restriction: w.shortOrNone(now.Restriction), Join: w.shortOrNone(now.Join), JoinedWith: now.With,
		Check: w.shortOrNone(now.Check), Answer: now.Answer, Tag: w.shortOrNone(now.Tag), Against: c.Against(), Differs: c.Differs(),
		Then: w.reasons(c, c.Then), Now: w.reasons(c, c.Now), AnsweredBy: append([]string{}, w.answered[c.Entry]...)}
	if now.Level != 0 {
		l.Level = now.Level.String()
	}
	return l
}

func (w useWords) reasons(c against.Case, s against.Said) []reasonLine {
	list := []reasonLine{}
	for _, r := range s.Reasons {
		list = append(list, reasonLine{r.Code, w.shortOrNone(r.Entry), r.Of, w.cited(c, s, r)})
	}
	return list
}

// cited is one no in words with the entry that said it.
func (w useWords) cited(c against.Case, s against.Said, r against.Reason) string {
	if r.Entry == 0 {
		return w.reason(c, s, r)
	}
	return w.reason(c, s, r) + " (entry " + w.book.Short(r.Entry) + ")"
}

// plainReasons are the reasons that need no more than their own words.
var plainReasons = map[against.Code]string{
	against.OnHold: "the check was on hold", against.Retired: "the saw was retired", against.SawDown: "the saw stayed down by the check",
	against.NotLookedAt: "the saw was not on the sheet, nobody had looked at it that day", against.NotOriented: "not oriented", against.Unfit: "not fit for work",
	against.NotWatched: "nobody was named who watched, and in sight was as far as it went", against.NotJoined: "had not joined the check",
	against.JoinedWithout: "had joined without a saw",
}

// reason says one no in words. They name nobody: who it was stands before them.
func (w useWords) reason(c against.Case, s against.Said, r against.Reason) string {
	switch r.Code {
	case against.Tagged:
		if why, err := w.openWords(r.Entry); err == nil {
			return "the saw was out of use: " + why.text + ", by " + w.people.handle(why.who)
		}
		return "the saw was out of use"
	case against.Restricted:
		return "restricted on " + r.Of
	case against.NotReleased:
		return notReleased(s, r)
	case against.StoppedThere:
		return w.stoppedThere(c, r)
	case against.NoCheck:
		return "no check had been made" + note(" on block ", r.Of)
	}
	return plainReasons[r.Code]
}

func notReleased(s against.Said, r against.Reason) string {
	switch {
	case r.Of == slopeRelease:
		return "the ground was steeper than the release"
	case s.Level == training.NoSaw:
		return "might use no saw" + note(" for ", r.Of)
	}
	return "might work " + s.Level.String() + note(" for ", r.Of) + ", planned for more"
}

// slopeRelease is the finding of a check about ground that is steeper than a release.
const slopeRelease = "slope-release"

// stoppedThere says in the words of the check why it had stopped somebody.
func (w useWords) stoppedThere(c against.Case, r against.Reason) string {
	var rec struct {
		Findings []hazards.Finding `json:"findings"`
	}
	if h, err := w.book.Entry(w.ctx, r.Entry, nil); err == nil && json.Unmarshal(ledger.Lookup(h.Data, "assessment"), &rec) == nil {
		for _, f := range rec.Findings {
			if f.Subject == c.Worker && f.ID == r.Of {
				return "stopped by the check: " + w.people.inText(strings.TrimSuffix(f.What, "."))
			}
		}
	}
	return "stopped by the check"
}

// subject names a use in short: who, which saw, where and when.
func (w useWords) subject(c against.Case) string {
	when := civil.Of(time.Unix(c.Until, 0), w.book.Zone()).String()
	if c.From == c.Until {
		when = w.local(time.Unix(c.From, 0))
	}
	return strings.Join(notEmpty(w.people.handle(c.Worker), "saw "+c.Saw, note("block ", c.Block), when), ", ")
}

// why says what stands against a use: once where that was known when the use was recorded, else twice.
func (w useWords) why(c against.Case) string {
	join := func(s against.Said) string {
		texts := make([]string, len(s.Reasons))
		for i, r := range s.Reasons {
			texts[i] = w.cited(c, s, r)
		}
		return strings.Join(texts, "; ")
	}
	switch {
	case !c.Differs():
		return join(c.Now)
	case !c.Then.Against():
		return join(c.Now) + " [not known when it was recorded]"
	case !c.Now.Against():
		return join(c.Then) + " [as known when it was recorded; not as known now]"
	}
	return join(c.Now) + " [as known when it was recorded: " + join(c.Then) + "]"
}

// usesRecorded says what stands against uses of saws that a command has just recorded: in lines, and for --json.
func (a *app) usesRecorded(refs []training.Ref) (notes []string, lines []usedLine, err error) {
	uses, err := a.onlyUses(refs)
	if err != nil || len(uses) == 0 {
		return nil, nil, err
	}
	cases, err := a.casesOf(uses, anyUse, a.knownNow(1<<20))
	if err != nil {
		return nil, nil, err
	}
	w, err := a.useWords(a.knownNow(1 << 20))
	if err != nil {
		return nil, nil, err
	}
	for _, c := range cases {
		if c.Against() {
			notes, lines = append(notes, "against: "+w.subject(c)+": "+w.why(c)), append(lines, w.line(c))
		}
	}
	if len(notes) > 0 {
		notes = append(notes, fmt.Sprintf("it is recorded all the same; say what happened: ringtrue event add --kind incident --what TEXT --answers %s", strings.Join(w.entriesOf(cases), ",")))
	}
	return notes, lines, nil
}

// onlyUses are the entries among those that tell of a saw that ran.
func (a *app) onlyUses(refs []training.Ref) (uses []training.Ref, err error) {
	for _, ref := range refs {
		h, err := a.book.Entry(a.ctx, ref, nil)
		if err != nil {
			return nil, err
		}
		if isUse(h) {
			uses = append(uses, ref)
		}
	}
	return uses, nil
}

// entriesOf lists the entries of uses that something stands against.
func (w useWords) entriesOf(cases []against.Case) (entries []string) {
	for _, c := range cases {
		if c.Against() {
			entries = append(entries, w.book.Short(c.Entry))
		}
	}
	return entries
}
