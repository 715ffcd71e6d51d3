package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Sheets that hold entries, and so have a spool.
const (
	trainingSheet = "Training"
	lookSheet     = "Observations"
	decisionSheet = "Decisions"
	ppeSheet      = "PPE"
	sawSheet      = "Saws"
	tailgateSheet = "Tailgate"
	eventSheet    = "Events and actions"
	joinSheet     = "Who was there"
	exposureSheet = "Exposure"
	struckSheet   = "Struck entries"
)

// sheetOf says on which sheet the entries of a kind stand.
var sheetOf = map[string]string{
	training.KindAttendance: trainingSheet, training.KindOrientation: trainingSheet, training.KindNewAgain: trainingSheet, training.KindTicket: trainingSheet,
	training.KindObservation: lookSheet,
	training.KindSignOff:     decisionSheet, training.KindWithdrawal: decisionSheet, training.KindRestriction: decisionSheet, training.KindLift: decisionSheet,
	training.KindRelease: decisionSheet, training.KindReleaseEnd: decisionSheet, training.KindStatement: decisionSheet, training.KindCredit: decisionSheet, training.KindAppointment: decisionSheet, training.KindAppointmentEnd: decisionSheet, training.KindTold: decisionSheet,
	training.KindIssue: ppeSheet,
	store.KindSaw:      sawSheet, store.KindRetire: sawSheet, store.KindBladeFitted: sawSheet, store.KindBladeScrapped: sawSheet, store.KindSawUse: sawSheet,
	store.KindUpkeep: sawSheet, store.KindRefuel: sawSheet, store.KindFiling: sawSheet, store.KindSetting: sawSheet, store.KindDefect: sawSheet,
	store.KindTag: sawSheet, store.KindClear: sawSheet, store.KindLookAgain: sawSheet, store.KindFitting: sawSheet,
	store.KindTailgate: tailgateSheet, store.KindChange: tailgateSheet, store.KindCheckIn: tailgateSheet, store.KindClose: tailgateSheet,
	training.KindEvent: eventSheet, training.KindAction: eventSheet, training.KindActionDone: eventSheet, training.KindActionChecked: eventSheet, training.KindEventClosed: eventSheet,
	store.KindJoin: joinSheet, store.KindExposure: exposureSheet, store.KindStrike: struckSheet,
}

// exporter holds what every sheet of one export needs. The book is read once, in the order of its ledgers; what a sheet
// holds is put aside until that sheet is written.
type exporter struct {
	*app
	asked    training.Asked
	std      standards
	people   *people
	onList   []onList // everybody on the crew list by the moment asked
	filter   filter
	keys     *ledger.Keys
	progress *progress

	dir    string // of the spools
	spools map[string]*spool
	leaves *spool
	heads  []ledger.Head
	made   time.Time // recorded of the newest entry: the same book gives the same bytes
	struck map[training.Ref]training.Ref
	why    map[training.Ref]string // what the column Struck says

	stands  map[string][]standLine // by worker
	rowOf   map[training.Ref]workbook.Link
	tally   tally
	charts  charts
	looks   map[string]map[string]bool // critical criteria of each edition of the curriculum
	nameFor map[string]string
}

// newExporter asks where everybody stands and reads the book; end removes what was put aside.
func (a *app) newExporter(asked training.Asked, o filterOptions, beside string) (*exporter, error) {
	e := &exporter{app: a, asked: asked, spools: map[string]*spool{}, why: map[training.Ref]string{}, rowOf: map[training.Ref]workbook.Link{},
		tally: newTally(), charts: newCharts(), looks: map[string]map[string]bool{}, nameFor: map[string]string{}, progress: newProgress(a.err, time.Now)}
	err := e.ready(o)
	if err == nil {
		err = e.putAside(beside)
	}
	if err != nil {
		e.end()
		return nil, err
	}
	return e, nil
}

func (e *exporter) ready(o filterOptions) (err error) {
	if e.struck, err = e.book.Strikes(e.ctx, e.asked.Known); err != nil {
		return err
	}
	if e.std, err = e.standards(e.asked); err != nil {
		return err
	}
	if e.people, err = e.crew(); err != nil {
		return err
	}
	if e.keys, err = e.keyring(); err != nil {
		return err
	}
	if e.onList, err = e.crewList(e.asked); err != nil {
		return err
	}
	if e.filter, err = e.newFilter(o); err != nil {
		return err
	}
	e.stands, err = e.standings()
	return err
}

// end removes the folder of what was put aside.
func (e *exporter) end() {
	e.progress.end()
	for _, s := range e.spools {
		_ = s.file.Close() // what it held is thrown away
	}
	if e.leaves != nil {
		_ = e.leaves.file.Close()
	}
	if e.dir != "" {
		_ = os.RemoveAll(e.dir)
	}
}

// putAside reads all ledgers.
func (e *exporter) putAside(beside string) (err error) {
	if e.dir, err = os.MkdirTemp(filepath.Dir(beside), ".workbook-*"); err != nil {
		return unwritten("put entries aside", err)
	}
	if e.leaves, err = newSpool(e.dir, "leaves"); err != nil {
		return err
	}
	for _, sheet := range sheetOf {
		if e.spools[sheet] != nil {
			continue
		}
		if e.spools[sheet], err = newSpool(e.dir, sheet); err != nil {
			return err
		}
	}
	origins, err := e.book.Origins(e.ctx)
	if err != nil {
		return err
	}
	for _, o := range origins {
		n, err := e.book.Size(e.ctx, o)
		if err != nil {
			return err
		}
		e.progress.expect(3 * n) // read, written to a sheet, written to the leaves
	}
	for _, o := range origins {
		if err := e.scan(o); err != nil {
			return err
		}
	}
	return nil
}

// scan reads one ledger from its first entry to its last.
func (e *exporter) scan(origin string) error {
	chain := ledger.NewChain(origin, 1)
	for row, err := range e.book.Rows(e.ctx, origin, 1, 0) {
		if err != nil {
			return err
		}
		h, ok := chain.Add(row)
		if !ok || len(chain.Findings) > 0 {
			return &failure{exitDamaged, fmt.Sprintf("entry %s of the book is damaged: %s", ledger.Ref(origin, row.Seq), chain.Findings[0].What), "see the whole extent: ringtrue book verify"}
		}
		e.progress.step()
		if err := e.leaves.leaf(row.Leaf); err != nil {
			return err
		}
		if h.Recorded.After(e.made) {
			e.made = h.Recorded
		}
		if h.Recorded.Unix() > e.asked.Known || h.Happened.Unix() > e.asked.On && h.Kind != store.KindStrike { // a strike counts from when it is known
			continue
		}
		if err := e.take(h, row); err != nil {
			return fmt.Errorf("entry %s: %w", ledger.Ref(origin, h.Seq), err)
		}
	}
	e.heads = append(e.heads, chain.Head())
	return nil
}

// take puts an entry aside for its sheet and counts what other sheets tell of it.
func (e *exporter) take(h ledger.Header, row ledger.Row) error {
	if h.Kind == store.KindCurriculum {
		return e.takeCurriculum(h)
	}
	sheet := sheetOf[h.Kind]
	if sheet == "" && h.Kind != training.KindInspection && h.Kind != training.KindReturn {
		return nil
	}
	ref, err := e.book.Ref(ledger.Ref(h.Origin, h.Seq))
	if err != nil {
		return err
	}
	_, struck := e.struck[ref]
	if !e.filter.keeps(h) {
		if h.Kind == store.KindTailgate && !struck {
			e.tally.left[e.placeOf(h)] = true
		}
		return nil
	}
	if !struck {
		if err := e.count(ref, h); err != nil {
			return err
		}
	}
	if sheet == "" {
		return nil
	}
	s := e.spools[sheet]
	if _, rests := e.rowOf[ref]; rests {
		e.rowOf[ref] = workbook.Link{Sheet: sheet, Row: s.rows + 1}
	}
	s.rows += rowsOf(h)
	return s.add(ref, e.signature(h, row), row.Body)
}

// rowsOf is how many rows an entry takes on its sheet: a look one for each criterion.
func rowsOf(h ledger.Header) int {
	if h.Kind != training.KindObservation {
		return 1
	}
	return max(1, bytes.Count(ledger.Lookup(h.Data, "marks"), []byte(`"criterion":`))) // quotes within texts have a backslash before them
}

// signature checks the signature of an entry.
func (e *exporter) signature(h ledger.Header, row ledger.Row) signature {
	if h.Key == "" && len(row.Sig) == 0 {
		return notSigned
	}
	if e.keys.Check(h, row.Body, row.Sig) != nil {
		return signedBadly
	}
	if key, _ := e.keys.Key(h.Key); key.Person == "" {
		return signedByCompany
	}
	return signedOwn
}

// takeCurriculum remembers which criteria of an edition are critical.
func (e *exporter) takeCurriculum(h ledger.Header) error {
	var c training.Curriculum
	if err := ledger.Decode(h.Data, &c); err != nil {
		return err
	}
	critical := map[string]bool{}
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			for _, one := range s.Criteria {
				critical[s.ID+" "+one.ID] = one.Critical
			}
		}
	}
	e.looks[c.Edition] = critical
	return nil
}

// dayOf is the day of a moment in the book's zone.
func (e *exporter) dayOf(t time.Time) civil.Day { return civil.Of(t, e.book.Zone()) }
