package hazards

import "strings"

// blanks names what stays blank and is not named where its topic is judged. Readings that only say more about another one - how long
// from flash to thunder, how much up or down - are left out; so is what the card answers.
func (d *day) blanks() {
	for _, b := range []struct {
		what string
		ids  []string
	}{
		{"heavy rain", []string{HeavyRain}},
		{"measured wind and gusts", []string{WindSpeed, Gusts}},
		{"when thunder was last heard", []string{ThunderLast}},
		{"fuel in the vehicle", []string{VehicleFuel}},
	} {
		if d.allBlank(b.ids) {
			d.unseen("%s", b.what)
		}
	}
	d.neverAsked()
	if c, told := d.value(Temperature); told && c >= hotFrom-tenth && !d.answered(NewToHeat) {
		d.unseen("who is not used to the heat")
	}
}

// neverAsked names those who saw and count as newer than they may be, because nobody asked for their seasons before.
func (d *day) neverAsked() {
	var names []string
	for _, c := range d.in.Sheet.Crew {
		if p := d.people[c.Worker]; c.Saws() && p.NeverAsked && len(d.experience(c.Worker)) > 0 {
			names = append(names, d.name(c.Worker))
		}
	}
	if len(names) > 0 {
		d.unseen("seasons before this book of %s (never asked; tell them with: worker seasons NAME N)", strings.Join(names, ", "))
	}
}

func (d *day) allBlank(ids []string) bool {
	for _, id := range ids {
		if d.answered(id) {
			return false
		}
	}
	return true
}
