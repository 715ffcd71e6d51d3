package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// calculation is one formula of package hazards or training as a command. define declares its flags and returns what
// computes the answer from them; an error of that is a refusal outside the published validity.
type calculation struct {
	name    string
	short   string
	long    string
	example string
	define  func(*calcInputs) calcFunc
}

// calcFunc computes once the flags have been read without a problem.
type calcFunc func() (calcAnswer, error)

// calculations lists every formula in the order of the help.
var calculations = []calculation{
	calcSlope, calcWindChill, calcHumidex, calcHeatIndex, calcWBGT, calcFWI, calcNoise, calcProtector, calcVibration,
	calcWalk, calcLight, calcBlade, calcMatrix, calcFuel, calcTransport, calcPlot, calcSpacing, calcHarness, calcAgreement, calcProportion,
}

func newCalcCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "calc",
		Short: "One formula for one set of inputs, with its source; needs no book",
		Long: `Compute one formula that a hazard check rests on: results with their units, notes, and where the formula was
published. Numbers that could be taken for another unit carry theirs. A number is no answer about safety: the
local code, the maker's manual and a competent person decide.

EXIT STATUS
  0 computed   1 outside the range for which the formula was published   2 a flag was not understood`,
		Example: "  ringtrue calc windchill --temp -20C --wind 30km/h\n  ringtrue calc noise --criterion niosh --exposure 95dBA:2h --json",
	}
	for _, one := range calculations {
		c.AddCommand(newCalculationCmd(a, one))
	}
	return c
}

func newCalculationCmd(a *app, one calculation) *cobra.Command {
	c := &cobra.Command{
		Use:     one.name,
		Short:   one.short,
		Long:    one.short + ".\n\n" + one.long,
		Example: "  " + strings.ReplaceAll(one.example, "\n", "\n  "),
		Args:    exactly(0, "no arguments"),
	}
	in := &calcInputs{cmd: c}
	compute := one.define(in)
	c.RunE = func(*cobra.Command, []string) error {
		if err := in.read(); err != nil {
			return usage("see: ringtrue calc "+one.name+" --help", "calc %s:\n%v", one.name, err)
		}
		answer, err := compute()
		if err == nil {
			err = answer.finite()
		}
		if err != nil {
			return a.calcOutside(one.name, in, answer.source, err)
		}
		return a.calcPrint(one.name, in, answer)
	}
	return c
}

// calcPrint writes an answer as JSON or as a table with notes and sources after it.
func (a *app) calcPrint(name string, in *calcInputs, answer calcAnswer) error {
	if a.json {
		return a.printJSON(answer.object(name, in))
	}
	var rows [][]string
	for _, r := range answer.results {
		rows = append(rows, []string{r.name, r.text(), r.unit})
	}
	a.table([]string{"RESULT", "VALUE", "UNIT"}, rows)
	for _, n := range answer.notes {
		a.remark("note: %s", n)
	}
	for _, s := range answer.source {
		a.remark("source: %s", s)
	}
	return nil
}

// calcOutside refuses inputs outside the published validity. With --json the object says so itself, without results.
func (a *app) calcOutside(name string, in *calcInputs, source []string, why error) error {
	if !a.json {
		return refuse("for its range see: ringtrue calc "+name+" --help", "calc %s: %v", name, why)
	}
	empty := calcAnswer{notes: strings.Split(why.Error(), "\n"), source: source}
	if err := a.printJSON(empty.object(name, in)); err != nil {
		return err
	}
	return &failure{code: exitRefused}
}
