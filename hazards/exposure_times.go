package hazards

import (
	"math"

	"example.org/ringtrue/hazards/exposure"
)

// Times is how long one saw may be used in a day, as the morning check and the plan of a day both say it.
type Times struct {
	Vibration      float64 // m/s² as it counts, uncertainty added
	VibrationWords string  // what was told, or the planning figure
	Action         float64 // hours to the action value; +Inf where the saw does not shake
	Limit          float64 // hours never to go beyond
	Noise          float64 // dBA at the ear, nothing worn
	NoiseWords     string
	NoiseAction    float64 // hours to the action value of the place, nothing worn; +Inf where the level adds no dose
	NoiseLimit     float64 // hours to its limit, nothing worn
	Criterion      string  // of the noise, with its source
}

// TimesOf works out the times of a saw. In needs house rules, places and known saws only; what its sheet tells of the saw goes first.
func TimesOf(in Input, saw string) Times { return (&day{in: in}).times(saw) }

func (d *day) times(saw string) Times {
	f, r := d.figuresOf(saw), d.noiseRule()
	action, limit := d.vibrationLimits()
	t := Times{Vibration: f.vibration, VibrationWords: f.words, Noise: f.noiseA, NoiseWords: f.noise, Criterion: r.Source,
		Action: exposure.HoursTo(action, f.vibration), Limit: exposure.HoursTo(limit, f.vibration), NoiseAction: math.Inf(1), NoiseLimit: math.Inf(1)}
	if hours, counts := r.HoursToLevel(f.noiseA, r.Action); counts {
		t.NoiseAction = hours
		t.NoiseLimit, _ = r.HoursToLevel(f.noiseA, r.Limit)
	}
	return t
}
