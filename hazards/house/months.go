package house

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Months returns a rule that is a run of months, written as its first and last one: "4-10" for April to October, "10-4" for October to
// April. Both are included.
func (h House) Months(key string) (first, last time.Month, err error) {
	from, to, ok := strings.Cut(h.Value(key), "-")
	a, errFirst := strconv.Atoi(strings.TrimSpace(from))
	b, errLast := strconv.Atoi(strings.TrimSpace(to))
	if !ok || errFirst != nil || errLast != nil || a < 1 || a > 12 || b < 1 || b > 12 {
		return 0, 0, fmt.Errorf("house rule %s: %q is no run of months; write the first and the last one, as 4-10", key, h.Value(key))
	}
	return time.Month(a), time.Month(b), nil
}

// monthsSound reports rules that are to be months and are none.
func (h House) monthsSound() []error {
	var problems []error
	for _, key := range []string{FireMonthsNorth, FireMonthsSouth} {
		if !h.Has(key) {
			continue
		}
		if _, _, err := h.Months(key); err != nil {
			problems = append(problems, err)
		}
	}
	return problems
}
