package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

func TestMeantTime(t *testing.T) {
	today := civil.Date(2026, time.November, 25)
	for text, want := range map[string]string{
		"2026-11-24": "2026-11-24", " 2026-11-24 ": "2026-11-24", "2026/11/24": "2026-11-24", "2026.1.4": "2026-01-04", "24.11.2026": "2026-11-24",
		"1.3.2027": "2027-03-01", "11/24/2026": "2026-11-24", "24/11/2026": "2026-11-24", "5/5/2026": "2026-05-05",
		"today": "2026-11-25", "Yesterday": "2026-11-24", "TOMORROW": "2026-11-26",
		"6:30": "2026-11-25T06:30", "6.30": "2026-11-25T06:30", "06h30": "2026-11-25T06:30", "16.00": "2026-11-25T16:00", "0.10": "2026-11-25T00:10",
		"2026-11-24 6.30": "2026-11-24T06:30", "24.11.2026  6:30": "2026-11-24T06:30", "2026-11-24T6:30": "2026-11-24T06:30", "yesterday 16:40": "2026-11-24T16:40",
		// What could be two things, or lacks a part, stays as it is and is refused.
		"5/6/2026": "5/6/2026", "11/25": "11/25", "6.10": "6.10", "25.11.": "25.11.", "31.2.2026": "31.2.2026", "25:00": "25:00", "": "", "2026": "2026",
		"2026-05-05T10:20:00-07:00": "2026-05-05T10:20:00-07:00", "today or so": "today or so",
	} {
		require.Equal(t, want, meantTime(text, today), text)
	}
	require.Equal(t, "2026-11-24", meantTime("24.11.2026", civil.None))
	require.Equal(t, "6:30", meantTime("6:30", civil.None), "a day is asked")
}

func TestPerhaps(t *testing.T) {
	today := civil.Date(2026, time.November, 25)
	for text, want := range map[string][]string{
		"5/6/2026": {"2026-06-05", "2026-05-06"}, "11/25": {"2026-11-25"}, "25.11.": {"2026-11-25"}, "6.10": {"2026-10-06", "06:10"}, "noon": nil, "13/13": nil,
	} {
		require.Equal(t, want, perhaps(text, today), text)
	}
}

// What is understood once stays, whatever was typed.
func FuzzMeantTime(f *testing.F) {
	for _, text := range []string{"24.11.2026 6.30", "5/6/2026", "today", "11.25", "2026-13-01", "0:00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := meantTime(text, civil.Date(2026, time.November, 25))
		require.Equal(t, got, meantTime(got, civil.None))
	})
}
