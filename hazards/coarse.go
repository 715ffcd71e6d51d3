package hazards

import (
	"strings"

	"example.org/ringtrue/hazards/weather"
)

// Coarse is a word that stands for a value where nobody has an instrument. It counts by its severe end: Value. Means says what it
// covers.
type Coarse struct{ Word, Means, Value string }

// Words for the air and its humidity (company choice). What is colder or hotter than the last word is told in degrees.
var (
	airWords = []Coarse{
		{"bitter", "-15 to -30C", "-30C"}, {"cold", "0 to -15C", "-15C"}, {"mild", "1 to 22C", "22C"}, {"hot", "23 to 35C", "35C"},
	}
	dampWords = []Coarse{{"dry", "up to 40%", "40%"}, {"damp", "40 to 70%", "70%"}, {"muggy", "70 to 100%", "100%"}}
)

// windWords are the names of the Beaufort scale, and short ones: by what trees do, as the scale describes it.
var windWords = func() []Coarse {
	short := []Coarse{{"light", "leaves rustle", "2"}, {"gentle", "twigs move", "3"}, {"moderate", "small branches move", "4"}, {"fresh", "small trees sway", "5"},
		{"strong", "large branches move", "6"}}
	for n := range 13 {
		if f, ok := weather.ForceOf(n); ok {
			short = append(short, Coarse{strings.ToLower(f.Name), f.Trees, number(float64(n), 0)})
		}
	}
	return short
}()

// plain is what was said as a value with its unit: a coarse word by its severe end, everything else as it stands.
func (q Question) plain(said string) string {
	for _, w := range q.Coarse {
		if strings.EqualFold(strings.TrimSpace(said), w.Word) {
			return w.Value
		}
	}
	return said
}

// inWords names the coarse words of a question with what they cover, "" where it has none.
func inWords(list []Coarse) string {
	var words []string
	for _, w := range list {
		words = append(words, w.Word+" ("+w.Means+")")
	}
	return strings.Join(words, ", ")
}

// asSaid writes an answer as it was told, with the value that a coarse word counts as.
func (d *day) asSaid(id string) string {
	a := d.answers[id]
	q, _ := questionByID(id)
	if v := q.plain(a.Value); v != a.Value {
		return a.Value + ", counts as " + v
	}
	return a.Value
}
