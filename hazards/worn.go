package hazards

import (
	"fmt"

	"example.org/ringtrue/hazards/exposure"
)

// Worn is the hearing protection that the book holds for somebody: the piece issued to them that may be used that day.
type Worn struct {
	Piece  string // what it is and by which entry, "" = none is in the book
	Rating string // "METHOD RATING" as told when it was issued, "" = not told
}

// ears is what somebody wore over or in the ears, as a method with its rating ("" = not told) and in words: what the sheet says for that
// person, else the piece that the book holds. Nothing is taken for worn because it would be usual.
func (d *day) ears(worker string) (rating, words string) {
	if c, here := d.lineOf(worker); here && c.Ears != "" {
		return c.Ears, c.Ears + ", as told on the sheet"
	}
	w := d.people[worker].Wears
	switch {
	case w.Piece == "":
		return "", ""
	case w.Rating == "":
		return "", w.Piece + "; its method and rating are not told"
	}
	return w.Rating, w.Piece + ", " + w.Rating
}

// worn adds to the minutes of a day what was worn and the dose behind it, where a method and a rating are known for the noise told.
func (d *day) worn(m *Minutes, f figures, r exposure.Rule, hours float64) {
	rating, words := d.ears(m.Worker)
	m.Worn = words
	level, source, why := f.atEar(rating)
	if rating == "" || source == "" {
		if rating != "" {
			m.Worn = words + "; " + why
		}
		return
	}
	m.WornDose, m.WornBy = "0%", source
	if full, counts := r.HoursToLevel(level, r.Level); counts {
		m.WornDose = number(100*hours/full, 0) + "%"
	}
}

// NoiseWords says what the noise of a day came to: the dose with nothing worn, what was worn by which method, and the dose behind it; or
// that nobody said what was worn.
func (m Minutes) NoiseWords() string {
	says := "noise dose " + m.Dose + " with nothing worn"
	switch {
	case m.Worn == "":
		return says + "; nobody said what was worn"
	case m.WornDose == "":
		return says + "; worn: " + m.Worn
	}
	return fmt.Sprintf("%s; worn: %s: dose %s behind it", says, m.Worn, m.WornDose)
}

// CheckEars refuses a hearing protector that is not written as a method with its rating, "csa_muff 25".
func CheckEars(text string) error {
	_, _, err := parseEars(text)
	return err
}
