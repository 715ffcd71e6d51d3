package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// benchApp is a program with its clock on a day after the entries of benchBook.
func benchApp(path string) *app {
	now := func() time.Time { return time.Date(2026, time.October, 1, 12, 0, 0, 0, time.UTC) }
	return &app{env: env{out: io.Discard, err: io.Discard, getenv: os.Getenv, now: now}, ctx: context.Background(), path: path}
}

// benchBook writes a book of 500 workers and about 200,000 entries: nine observations and a sign-off for each worker
// and skill, with the attendances they rest on.
func benchBook(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "bench.db")
	a := benchApp(path)
	_, err := a.init(initOptions{company: "Bench", owner: "Olive Bench", jurisdiction: "bc", zone: "UTC", device: "laptop-1", at: "2026-01-05"})
	require.NoError(b, err)
	defer a.close()
	std, err := a.standards(a.knownNow(1 << 20))
	require.NoError(b, err)
	require.NoError(b, a.book.Batch(a.ctx, func() error {
		for i := range 500 {
			d, err := a.addWorker(workerOptions{name: fmt.Sprintf("Worker Number%d", i), at: "2026-01-05"})
			if err != nil {
				return err
			}
			if err := benchWorker(a, std, d.who.ID); err != nil {
				return err
			}
		}
		return nil
	}))
	return path
}

func benchWorker(a *app, std standards, id string) error {
	at := func(day int) time.Time { return time.Date(2026, time.March, day, 10, 0, 0, 0, time.UTC) }
	var es []ledger.Entry
	for _, m := range std.Modules {
		es = append(es, entry(training.KindAttendance, at(1), a.opening.Owner, id, "", training.Attendance{Module: m.ID}))
		for _, s := range m.Skills {
			for n := range 8 {
				es = append(es, entry(training.KindObservation, at(2+n), a.opening.Owner, id, s.ID, training.Observation{
					Marks: []training.Mark{{Criterion: "seen", Seen: training.Met}}, Announced: n%2 == 0, Outcome: training.OutcomeMet, Reasons: []string{}}))
			}
			es = append(es, entry(training.KindSignOff, at(20), a.opening.Owner, id, s.ID, training.SignOff{Evidence: []string{}, Until: "2027-03-20"}))
		}
	}
	_, err := a.append(es)
	return err
}

// BenchmarkMatrix answers where 500 workers stand with every skill, from about 200,000 entries: the book opened, the
// facts read on two connections, the reasons written out.
func BenchmarkMatrix(b *testing.B) {
	path := benchBook(b)
	for b.Loop() {
		a := benchApp(path)
		require.NoError(b, a.read())
		asked, err := a.asked(questionTimes{})
		require.NoError(b, err)
		std, err := a.standards(asked)
		require.NoError(b, err)
		rows, err := a.matrix(std, standingOptions{}, asked)
		require.NoError(b, err)
		require.Len(b, rows, 501*43)
		a.close()
	}
}

// BenchmarkExport writes the workbook of the same book; divide by its rows (about 200,000) for the price of one.
func BenchmarkExport(b *testing.B) {
	path := benchBook(b)
	dir := b.TempDir()
	for b.Loop() {
		a := benchApp(path)
		require.NoError(b, a.read())
		_, err := a.export(filepath.Join(dir, "out.xlsx"), questionTimes{}, true)
		require.NoError(b, err)
		a.close()
	}
}

// BenchmarkEvidence gathers everything behind one worker's standing.
func BenchmarkEvidence(b *testing.B) {
	path := benchBook(b)
	for b.Loop() {
		a := benchApp(path)
		require.NoError(b, a.read())
		asked, err := a.asked(questionTimes{})
		require.NoError(b, err)
		std, err := a.standards(asked)
		require.NoError(b, err)
		people, err := a.crew()
		require.NoError(b, err)
		_, err = a.evidence(people.list[0].ID, std, asked)
		require.NoError(b, err)
		a.close()
	}
}
