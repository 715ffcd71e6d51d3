package workbook

import (
	"context"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

// The aims on two cores: 100,000 rows × 10 columns in under 1.5 s and 120 MB, and at 1,000,000 rows a peak within 10 %
// of that. Run each alone, since the peak is that of the whole process:
//
//	go test -run '^$' -bench Write100k -benchtime 1x ./store/workbook
func BenchmarkWrite100k(b *testing.B) { benchmarkWrite(b, 100_000) }
func BenchmarkWrite1M(b *testing.B)   { benchmarkWrite(b, 1_000_000) }

func benchmarkWrite(b *testing.B, rows int) {
	path := filepath.Join(b.TempDir(), "bench.xlsx")
	book := Book{Created: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC), Sheets: []Sheet{{
		Name: "Observations", Note: "Invented rows.", Columns: benchColumns, Rows: benchRows(rows),
	}}}
	before := highWater(b)
	b.ReportAllocs()
	for b.Loop() {
		_, err := Write(context.Background(), path, book)
		require.NoError(b, err)
	}
	peak := highWater(b)
	b.ReportMetric(peak, "peak-MB")
	b.ReportMetric(peak-before, "growth-MB")
	at, err := os.Stat(path)
	require.NoError(b, err)
	b.ReportMetric(float64(at.Size())/1e6, "file-MB")
}

var benchColumns = []Column{
	{Title: "Number", Kind: Number}, {Title: "Worker"}, {Title: "Skill"}, {Title: "Day", Kind: Day},
	{Title: "Recorded", Kind: Moment}, {Title: "Announced", Kind: Flag}, {Title: "Cut height, m", Kind: Number},
	{Title: "Outcome", Tint: Tint{Stopped: []string{"not met"}, Soon: []string{"due"}}}, {Title: "Observer"}, {Title: "Remark"},
}

// benchRows yields rows without letting its own work weigh: it reuses one slice.
func benchRows(n int) iter.Seq2[[]any, error] {
	workers := make([]any, 500)
	for i := range workers {
		workers[i] = fmt.Sprintf("Worker %d", i)
	}
	outcomes := [...]any{"met", "met", "not met", "due"}
	start := time.Date(2026, 5, 1, 6, 0, 0, 0, time.UTC)
	return func(yield func([]any, error) bool) {
		row := make([]any, len(benchColumns))
		for i := range n {
			row[0], row[1], row[2] = i, workers[i%len(workers)], "felling below 8 cm"
			row[3], row[4] = civil.Day(20_500+i%200), start.Add(time.Duration(i)*time.Minute)
			row[5], row[6], row[7] = i%3 == 0, float64(i%40)/100, outcomes[i%len(outcomes)]
			row[8], row[9] = workers[i%7], "kept both feet below the stem & looked behind"
			if !yield(row, nil) {
				return
			}
		}
	}
}

// highWater is the largest resident memory of the process so far, in MB (10^6 bytes), as Linux counts it (VmHWM).
func highWater(b *testing.B) float64 {
	status, err := os.ReadFile("/proc/self/status")
	require.NoError(b, err)
	for line := range strings.Lines(string(status)) {
		if f := strings.Fields(line); len(f) == 3 && f[0] == "VmHWM:" {
			kib, err := strconv.ParseFloat(f[1], 64)
			require.NoError(b, err)
			return kib * 1024 / 1e6
		}
	}
	b.Fatal("no VmHWM in /proc/self/status")
	return 0
}
