package upkeep

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func card() Saw {
	return Saw{ID: "S11", Edition: 1, Spindle: "9000rpm", BladeMin: "200mm", BladeMax: "225mm", Bore: "20mm", Tank: "0.9L"}
}

func TestCardOfASaw(t *testing.T) {
	require.NoError(t, card().Validate())
	s := card()
	s.Service, s.Vibration, s.Noise = "25h", "4.5m/s2", "100dBA"
	require.NoError(t, s.Validate())

	bad := Saw{ID: "S 11", Spindle: "9000", BladeMin: "225mm", BladeMax: "200mm", Bore: "20cm", Tank: "9L", Service: "2min", Vibration: "400m/s2", Noise: "100dBC"}
	err := bad.Validate()
	for _, want := range []string{
		`saw "S 11" is no id`, `"9000" has no unit`, "runs from the larger to the smaller", "bore: 20cm cannot be meant", "tank: 9L cannot be meant",
		"service: 2min cannot be meant", "vibration: 400m/s2 cannot be meant", "not A-weighted",
	} {
		require.ErrorContains(t, err, want)
	}
	require.ErrorContains(t, Saw{ID: "S1", Spindle: "90rpm", BladeMin: "200mm", BladeMax: "200mm"}.Validate(), "90rpm cannot be meant for a clearing saw")
}

func TestParseSizes(t *testing.T) {
	for text, want := range map[string][2]string{
		"200mm-225mm": {"200mm", "225mm"}, "200mm": {"200mm", "200mm"}, "8in - 9in": {"8in", "9in"}, "20cm-225mm": {"20cm", "225mm"},
	} {
		low, high, err := ParseSizes(text)
		require.NoError(t, err, text)
		require.Equal(t, want, [2]string{low, high}, text)
	}
	for text, says := range map[string]string{
		"": "is not a number", "200-225mm": "has no unit", "225mm-200mm": "from the larger", "20mm-25mm": "cannot be meant", "200mm-225mm-250mm": "not a unit",
	} {
		_, _, err := ParseSizes(text)
		require.ErrorContains(t, err, says, text)
	}
}

// Whatever is read can be written as a range and read again.
func FuzzParseSizes(f *testing.F) {
	for _, s := range []string{"200mm-225mm", "200mm", "8in - 9in", "-", "--", "0.2m-0.225m", "NaNmm", "1e9mm-2mm", "-200mm-225mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		low, high, err := ParseSizes(s)
		if err != nil {
			return
		}
		a, b, err := ParseSizes(low + "-" + high)
		require.NoError(t, err)
		require.Equal(t, [2]string{low, high}, [2]string{a, b})
	})
}

func TestBladeThatDoesNotFit(t *testing.T) {
	fits := BladeFitted{Saw: "S11", Blade: "B31", Diameter: "225mm", Bore: "20mm", Rated: "13000rpm", Teeth: 24}
	require.NoError(t, card().CheckBlade(fits))
	for name, c := range map[string]struct {
		with func(*BladeFitted)
		want string
	}{
		"rating unknown":     {func(b *BladeFitted) { b.Rated = "" }, "marked on the blade is not known; do not run it"},
		"rating without":     {func(b *BladeFitted) { b.Rated = "13000" }, "has no unit"},
		"rating 0":           {func(b *BladeFitted) { b.Rated = "0rpm" }, "cannot be meant"},
		"too large":          {func(b *BladeFitted) { b.Diameter = "255mm" }, "takes blades of 200mm to 225mm; this one is 255mm"},
		"too small":          {func(b *BladeFitted) { b.Diameter = "7in" }, "this one is 7in"},
		"another bore":       {func(b *BladeFitted) { b.Bore = "25.4mm" }, "has a bore of 20mm; the blade has 25.4mm"},
		"teeth":              {func(b *BladeFitted) { b.Teeth = 2 }, "does not have 2 teeth"},
		"teeth below 0":      {func(b *BladeFitted) { b.Teeth = -24 }, "does not have -24 teeth"},
		"id of spaces":       {func(b *BladeFitted) { b.Blade = " " }, `blade " " is no id`},
		"diameter of a slip": {func(b *BladeFitted) { b.Diameter = "225cm" }, "225cm cannot be meant"},
	} {
		b := fits
		c.with(&b)
		require.ErrorContains(t, card().CheckBlade(b), c.want, name)
	}
	inches := fits
	inches.Diameter = "8.5in"
	require.NoError(t, card().CheckBlade(inches))
	inches.Diameter = ""
	require.NoError(t, card().CheckBlade(inches), "not said is allowed; an unknown rating is not")
	noBore := card()
	noBore.Bore = ""
	require.NoError(t, noBore.CheckBlade(fits))
}

func TestFuelThatCannotBeMeant(t *testing.T) {
	for _, c := range []struct {
		fill Fill
		want string // "" = fine
	}{
		{Fill{Refuels: 5, Litres: "4.5L", Tank: "0.9L"}, ""},
		{Fill{Refuels: 1, Litres: "900mL", Tank: "0.9L"}, ""},
		{Fill{Refuels: 5, Litres: "5.4L", Tank: "0.9L", Started: true}, ""},
		{Fill{Refuels: 5, Litres: "5.4L", Tank: "0.9L"}, "5.4L cannot go in with 5 fills; the tank holds 0.9L"},
		{Fill{Refuels: 5}, ""},
		{Fill{Refuels: -1}, "refuels: -1 cannot be meant"},
		{Fill{Refuels: 500}, "refuels: 500 cannot be meant"},
		{Fill{Refuels: 1, Litres: "-0.9L"}, "-0.9L is not more than 0"},
		{Fill{Refuels: 1, Litres: "0L"}, "0L is not more than 0"},
		{Fill{Refuels: 1, Litres: "900L"}, "no clearing saw takes more than 3 L"},
		{Fill{Refuels: 1, Litres: "0.9"}, "has no unit"},
		{Fill{Refuels: 1, Litres: "1kg"}, "not a unit of volume"},
		{Fill{Refuels: 1, Litres: "NaNL"}, "is not a number"},
	} {
		err := c.fill.Check()
		if c.want == "" {
			require.NoError(t, err, c.fill)
			continue
		}
		require.ErrorContains(t, err, c.want, c.fill)
	}
}

func TestLineOfADay(t *testing.T) {
	l := Line{Saw: "S11", Daily: true, Left: []string{"grease"}, Refuels: 5, Filings: 2, Nut: 2, Litres: "5.4L", Hours: "6h", Area: "0.2ha"}
	require.NoError(t, l.Check("0.9L"))
	bad := Line{Daily: true, Left: []string{"plug", "gease"}, Refuels: -1, Filings: 99, Rock: -2, Nut: 400, Litres: "-1L", Hours: "30h", Area: "2"}
	err := bad.Check("0.9L")
	for _, want := range []string{
		"refuels: -1", "filings: 99", "rock: -2", "nut: 400", "litres: -1L", "hours: 30h cannot be one saw's day", `area: "2" has no unit`,
		"plug is left out of an upkeep that this line does not record", `"gease" is no upkeep item`,
	} {
		require.ErrorContains(t, err, want)
	}
}
