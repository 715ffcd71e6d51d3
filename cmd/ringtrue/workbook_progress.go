package main

import (
	"fmt"
	"io"
	"time"
)

// showEvery is how often long work shows how far it is, and askTime after how many steps the time is looked at (company
// choice).
const (
	showEvery = 250 * time.Millisecond
	askTime   = 512
)

// progress shows on a terminal how far long work is: entries, rate, time left. In a pipe it says nothing.
type progress struct {
	out         io.Writer // nil: nothing is shown
	now         func() time.Time
	begun, last time.Time
	done, all   int64
	shown       bool
}

func newProgress(out io.Writer, now func() time.Time) *progress {
	p := &progress{now: now}
	if terminal(out) {
		p.out = past(out) // the line is written over and over
	}
	return p
}

// expect says that so many more steps are to be done.
func (p *progress) expect(n int64) {
	if p.all == 0 {
		p.begun = p.now()
		p.last = p.begun
	}
	p.all += n
}

// step counts one entry.
func (p *progress) step() {
	p.done++
	if p.out == nil || p.done%askTime != 0 {
		return
	}
	if now := p.now(); now.Sub(p.last) >= showEvery {
		p.last, p.shown = now, true
		fmt.Fprintf(p.out, "\r%-78s", p.line(now))
	}
}

// line says how far the work is.
func (p *progress) line(now time.Time) string {
	rate := float64(p.done) / max(now.Sub(p.begun).Seconds(), 1e-3)
	left := time.Duration(float64(max(p.all-p.done, 0)) / max(rate, 1e-3) * float64(time.Second)).Round(time.Second)
	return fmt.Sprintf("%d of %d entries, %.0f a second, %s left", min(p.done, p.all), p.all, rate, left)
}

// end takes the line away.
func (p *progress) end() {
	if p.shown {
		fmt.Fprintf(p.out, "\r%78s\r", "")
	}
}
