package hazards

import (
	"fmt"
	"strconv"
	"time"
)

// minuteOf turns a clock time HH:MM into minutes since midnight; what is no clock time is midnight.
func minuteOf(clock string) int {
	t, err := time.Parse("15:04", clock)
	if err != nil {
		return 0
	}
	return 60*t.Hour() + t.Minute()
}

// clockOf turns minutes since midnight into a clock time, at most 23:59.
func clockOf(minute int) string {
	minute = max(0, min(minute, 24*60-1))
	return fmt.Sprintf("%02d:%02d", minute/60, minute%60)
}

// span writes minutes as people say them: "45 min", "2 h", "2 h 05 min". It rounds down.
func span(minutes float64) string {
	m := int(minutes)
	switch {
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	}
	return fmt.Sprintf("%d h %02d min", m/60, m%60)
}

// number writes a computed value with so many decimals, without trailing zeros.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	r, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	if r == 0 {
		r = 0 // no minus before a nought
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
