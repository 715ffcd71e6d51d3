package hazards

import (
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// FireClassAsked says why the fire class may not stay blank on a day, as "from 1 March to 1 November, by the rules of BC"; "" where it
// may. The months are those that the rules of a place name; places are the codes of the jurisdiction and of those whose rules follow,
// its own first. Where none of them names any, they are those of the house rules for the hemisphere of the latitude (decimal degrees,
// north positive; one that cannot be read counts as north). An edition of the house rules from before these came asks in no month.
func FireClassAsked(places []string, latitude string, h house.House, day civil.Day) string {
	for _, place := range places {
		if p, ok := fire.PeriodOf(place); ok {
			return askedIn(p, "the rules of "+strings.ToUpper(place), day)
		}
	}
	key := house.FireMonthsNorth
	if lat, err := strconv.ParseFloat(latitude, 64); err == nil && lat < 0 {
		key = house.FireMonthsSouth
	}
	if !h.Has(key) {
		return ""
	}
	first, last, err := h.Months(key)
	if err != nil { // recorded before such a rule was refused; the stricter reading
		return "the whole year, as " + err.Error()
	}
	return askedIn(fire.Months(first, last), "house rule "+key, day)
}

func askedIn(p fire.Period, by string, day civil.Day) string {
	if !p.Holds(day) {
		return ""
	}
	return "from " + p.String() + ", by " + by
}
