// Package agree measures how far two observers agree, and how sure a share seen in a few cases is.
//
// Two observers who watch the same work and say met or missed agree by chance too; Cohen's kappa is what is left of
// their agreement when chance is taken off. Where one of the words is hardly ever used kappa comes out low although
// they agree, so observed agreement is always told with it. Kappa is not defined where chance alone would make them
// agree every time.
//
// A share seen in a few cases is told with its Wilson score interval, which never leaves 0 to 1 and is right for no
// case and for every case.
package agree

import (
	"errors"
	"fmt"
	"math"
)

// Sources of the two measures, for printing beside a result.
const (
	KappaSource  = "Cohen 1960, a coefficient of agreement for nominal scales (formula read in restatements)"
	WilsonSource = "Wilson 1927, score interval without continuity correction, 95 % (values of Newcombe 1998 Table I read in a restatement)"
)

// Table counts cases by what two observers A and B said of each: YesNo is A yes and B no.
type Table struct{ YesYes, YesNo, NoYes, NoNo int }

// Agreement is the share on which both said the same, the share expected by chance, and kappa. Kappa is 0 and Defined
// false where the share expected is 1.
type Agreement struct {
	Observed, Expected float64
	Kappa              float64
	Defined            bool
}

// Cohen returns the agreement of a table. It refuses counts below 0 and a table without a case; every problem is
// named.
func Cohen(t Table) (Agreement, error) {
	if err := t.check(); err != nil {
		return Agreement{}, err
	}
	yy, yn, ny, nn := float64(t.YesYes), float64(t.YesNo), float64(t.NoYes), float64(t.NoNo)
	n := yy + yn + ny + nn
	a := Agreement{
		Observed: (yy + nn) / n,
		Expected: ((yy+yn)/n)*((yy+ny)/n) + ((ny+nn)/n)*((yn+nn)/n),
	}
	if a.Defined = yy < n && nn < n; a.Defined { // all cases in one corner: both always say the same word
		a.Kappa = (a.Observed - a.Expected) / (1 - a.Expected)
	}
	return a, nil
}

func (t Table) check() error {
	var problems []error
	for _, c := range []struct {
		what string
		n    int
	}{{"yes-yes", t.YesYes}, {"yes-no", t.YesNo}, {"no-yes", t.NoYes}, {"no-no", t.NoNo}} {
		if c.n < 0 {
			problems = append(problems, fmt.Errorf("%s is %d; a count is not less than 0", c.what, c.n))
		}
	}
	if t == (Table{}) {
		problems = append(problems, errors.New("the table holds no case"))
	}
	return errors.Join(problems...)
}

// z95 is the two-sided 95 % quantile of the normal distribution.
const z95 = 1.959963984540054

// Wilson returns the 95 % score interval of a share seen as so many successes in so many trials. It refuses fewer
// than one trial and successes that are negative or more than the trials.
func Wilson(successes, trials int) (low, high float64, err error) {
	if trials < 1 || successes < 0 || successes > trials {
		return 0, 0, fmt.Errorf("%d successes in %d trials cannot be", successes, trials)
	}
	n := float64(trials)
	p := float64(successes) / n
	middle := p + z95*z95/(2*n)
	half := z95 * math.Sqrt(p*(1-p)/n+z95*z95/(4*n*n))
	whole := 1 + z95*z95/n
	low, high = (middle-half)/whole, (middle+half)/whole
	if successes == 0 {
		low = 0 // exactly; the difference above may leave a hair
	}
	if successes == trials {
		high = 1
	}
	return low, high, nil
}
