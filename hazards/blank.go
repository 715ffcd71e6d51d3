package hazards

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
	if c, told := d.value(Temperature); told && c >= hotFrom-tenth && !d.answered(NewToHeat) {
		d.unseen("who is not used to the heat")
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
