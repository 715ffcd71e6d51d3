package hazards

// fromBook fills in what a sheet leaves blank and the book knows: the air and its humidity of the same day's noon, from the readings
// kept for the fire station. What the book knows of fire classes is looked at where they are judged, and what the card knows of the
// walk and the trees likewise.
func (d *day) fromBook() {
	for _, f := range d.in.FireDays {
		if f.Day == d.in.Sheet.Day && f.HasReadings() && d.in.Sheet.At >= noon {
			d.fill(Temperature, f.Temp)
			d.fill(Humidity, f.RH)
		}
	}
}

func (d *day) fill(id, value string) {
	if d.answers[id].Is == "" && value != "" {
		d.answers[id] = Said{Is: Told, Value: value}
		d.unseen("%s by eye (the noon readings of today count: %s)", id, value)
	}
}
