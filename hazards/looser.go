package hazards

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards/house"
)

// LooserRules is the id of the finding that names house rules looser than the starter's.
const LooserRules = "looser-rules"

// notOfTheMorning are the house rules that no answer of a morning rests on: the plan of the day and its kit, what is carried, fittings,
// how observers agree, and how long names are kept.
var notOfTheMorning = []string{
	house.KitWalk1, house.KitWalk2, house.KitWalk3, house.KitDays, house.PlanBurn, house.PlanTank, house.PlanRatio, house.PlanReserve,
	house.PlanFiling, house.PlanArea, house.PlanStrip, house.PlanBlades, house.RockBlade, house.PlanCan, house.FuelReach, house.LearnDays,
	house.LearnLeast, house.WristBend, house.BladeTilt, house.AgreementDays, house.KeepTraining, house.KeepExposure, house.KeepEvent,
	house.KeepOther,
}

// loosened names every house rule of the morning that the company has made looser than it was, with who did it and why: one
// finding, whatever else was found, because what it lets pass makes no finding of its own.
func (d *day) loosened() {
	var found []house.Loosening
	var words []string
	for _, l := range d.in.House.Looser() {
		if slices.Contains(notOfTheMorning, l.Key) {
			continue
		}
		found = append(found, l)
		words = append(words, l.Key+": "+l.Words())
	}
	if len(found) > 0 {
		d.find(Finding{Topic: TopicBook, ID: LooserRules, Effect: Watch, Of: OfSite, Looser: found,
			What: "House rules that the company has made looser: " + strings.Join(words, "; ") + "."})
	}
}
