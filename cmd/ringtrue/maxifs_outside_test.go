//go:build outside

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// A spreadsheet can answer by formula when each worker was last seen to do each skill well: one MAXIFS for each cell
// of the matrix, over the rows of all looks. Here LibreOffice answers that from the rows of a book, each cell is
// compared with the facts of the book, and the benchmark sets the time of the whole matrix beside it:
//
//	go test -tags outside -run '^$' -bench MAXIFS -benchtime 20x ./cmd/ringtrue

// lookRow is one look, as a row for the spreadsheet.
type lookRow struct {
	Worker string `json:"worker"`
	Skill  string `json:"skill"`
	Seen   string `json:"seen"`
	Day    string `json:"day"`
}

// lookedAt is a book of so many workers with so many looks at each of 43 skills, some of them not met.
type lookedAt struct {
	path    string
	rows    []lookRow
	workers []string
	skills  []string
}

func newLookedAt(tb testing.TB, workers, looks int) *lookedAt {
	tb.Helper()
	l := &lookedAt{path: filepath.Join(tb.TempDir(), "looks.db")}
	a := benchApp(l.path)
	_, err := a.init(initOptions{company: "Bench", owner: "Olive Bench", jurisdiction: "bc", zone: "UTC", device: "laptop-1", at: "2026-01-05"})
	require.NoError(tb, err)
	defer a.close()
	std, err := a.standards(a.knownNow(1 << 20))
	require.NoError(tb, err)
	require.NoError(tb, a.book.Batch(a.ctx, func() error {
		for i := range workers {
			d, err := a.addWorker(workerOptions{name: fmt.Sprintf("Worker Number%d", i), at: "2026-01-05"})
			require.NoError(tb, err)
			l.workers = append(l.workers, d.who.ID)
			_, err = a.append(l.looks(a, std, i, looks))
			require.NoError(tb, err)
		}
		return nil
	}))
	return l
}

// looks gives each worker and skill other days, and a pattern of met and not met of its own.
func (l *lookedAt) looks(a *app, std standards, worker, looks int) (es []ledger.Entry) {
	l.skills = nil
	for _, m := range std.Modules {
		for k, s := range m.Skills {
			l.skills = append(l.skills, s.ID)
			for n := range looks {
				at := time.Date(2026, time.March, 2+(worker+7*k+11*n)%90, 10, 0, 0, 0, time.UTC)
				met := training.OutcomeMet
				if (worker+k+n)%4 == 0 {
					met = training.NotMet
				}
				es = append(es, entry(training.KindObservation, at, a.opening.Owner, l.workers[worker], s.ID, training.Observation{
					Marks: []training.Mark{{Criterion: "seen", Seen: training.Met}}, Outcome: met, Reasons: []string{}}))
				l.rows = append(l.rows, lookRow{l.workers[worker], s.ID, met.String(), at.Format(time.DateOnly)})
			}
		}
	}
	return es
}

// writeFormulas makes a workbook of the rows, and of the matrix with or without its formulas.
const writeFormulas = `
import datetime, json, sys, openpyxl
given = json.load(sys.stdin)
book = openpyxl.Workbook()
looks = book.active
looks.title = "looks"
for r in given["rows"]:
    looks.append([r["worker"], r["skill"], r["seen"], datetime.date.fromisoformat(r["day"])])
last = len(given["rows"])
matrix = book.create_sheet("matrix")
matrix.append(["worker"] + ["s" + s for s in given["skills"]])
for n, w in enumerate(given["workers"], 2):
    line = [w]
    for s in given["skills"]:
        line.append('=_xlfn.MAXIFS(looks!$D$1:$D$%d,looks!$A$1:$A$%d,$A%d,looks!$B$1:$B$%d,"=%s",looks!$C$1:$C$%d,"met")' % (last, last, n, last, s, last) if given["formulas"] else 0)
    matrix.append(line)
    for c in matrix[n][1:]:
        c.number_format = "yyyy-mm-dd"
book.save(sys.argv[1])
`

// calculated has LibreOffice open the rows and write the matrix, and says how long that took.
func (l *lookedAt) calculated(tb testing.TB, formulas bool) (matrix [][]string, took time.Duration) {
	tb.Helper()
	given, err := json.Marshal(map[string]any{"rows": l.rows, "workers": l.workers, "skills": l.skills, "formulas": formulas})
	require.NoError(tb, err)
	path := filepath.Join(tb.TempDir(), "rows.xlsx")
	cmd := exec.Command("/usr/bin/python3", "-c", writeFormulas, path)
	cmd.Stdin = bytes.NewReader(given)
	said, err := cmd.CombinedOutput()
	require.NoError(tb, err, "%s", said)
	start := time.Now()
	matrix = readByLibreOffice(tb, path)["matrix"]
	return matrix, time.Since(start)
}

// lastMet tells from the facts of the book on which day each cell of the matrix was last met.
func (l *lookedAt) lastMet(tb testing.TB) (matrix [][]string) {
	tb.Helper()
	a := benchApp(l.path)
	require.NoError(tb, a.read())
	defer a.close()
	asked, err := a.asked(questionTimes{})
	require.NoError(tb, err)
	for _, w := range l.workers {
		topics, err := a.book.Facts(a.ctx, asked, w)
		require.NoError(tb, err)
		line := []string{w}
		for _, s := range l.skills {
			day := civil.Day(-1)
			for _, f := range topics[s] {
				if f.Kind == training.FactObservation && training.Outcome(f.Code) == training.OutcomeMet {
					day = max(day, f.Day)
				}
			}
			line = append(line, day.String())
		}
		matrix = append(matrix, line)
	}
	return matrix
}

func (l *lookedAt) answer(tb testing.TB) {
	a := benchApp(l.path)
	require.NoError(tb, a.read())
	defer a.close()
	asked, err := a.asked(questionTimes{})
	require.NoError(tb, err)
	std, err := a.standards(asked)
	require.NoError(tb, err)
	rows, err := a.matrix(std, standingOptions{}, asked)
	require.NoError(tb, err)
	require.Len(tb, rows, (len(l.workers)+1)*len(l.skills))
}

func TestLastMetDaysAreThoseOfMAXIFS(t *testing.T) {
	l := newLookedAt(t, 6, 8)
	matrix, _ := l.calculated(t, true)
	require.Len(t, matrix, 1+len(l.workers))
	require.Equal(t, l.lastMet(t), matrix[1:])
}

// BenchmarkMatrixBesideMAXIFS tells the time of the whole matrix, reasons included, from 100 workers, 43 skills and
// 51,600 looks, and that of LibreOffice for its last met days: the time with formulas less that without.
func BenchmarkMatrixBesideMAXIFS(b *testing.B) {
	l := newLookedAt(b, 100, 12)
	_, without := l.calculated(b, false)
	matrix, with := l.calculated(b, true)
	require.Equal(b, l.lastMet(b), matrix[1:])
	for b.Loop() {
		l.answer(b)
	}
	ours := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric((with-without).Seconds()*1000, "maxifs-ms")
	b.ReportMetric((with-without).Seconds()/ours, "times-as-fast")
}
