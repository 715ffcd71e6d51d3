package main

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A clock that goes on 100 ms each time it is asked.
func TestProgressShowsEntriesRateAndTimeLeft(t *testing.T) {
	var out bytes.Buffer
	now := time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)
	p := &progress{out: &out, now: func() time.Time { now = now.Add(100 * time.Millisecond); return now }}
	p.expect(4096)
	for range 2048 {
		p.step()
	}
	require.Contains(t, out.String(), "1536 of 4096 entries, 5120 a second, 1s left", "three looks at the clock: 300 ms")
	p.end()
	require.True(t, bytes.HasSuffix(out.Bytes(), []byte("\r")))
}

func TestProgressIsSilentInAPipe(t *testing.T) {
	var out bytes.Buffer
	p := newProgress(&out, time.Now)
	p.expect(1)
	for range 10 * askTime {
		p.step()
	}
	p.end()
	require.Empty(t, out.String())
}
