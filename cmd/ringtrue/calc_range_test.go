package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What nobody can mean is refused with from where to where it lies, in the unit typed; all bounds are company choice. A level of
// 300 dB, a blade of 225 cm and a humidity of 120 % are slips that went through once.
func TestCalcNamesTheRange(t *testing.T) {
	for line, says := range map[string]string{
		"protector --method osha_a --level-a 300 --rating 25":                                        `--level-a: "300" is out of range: 40 to 140 dBA; write for example 96`,
		"protector --method snr --level-c 300dBC --rating 28":                                        `--level-c: "300dBC" is out of range: 40 to 140 dBC`,
		"protector --method osha_a --level-a 96 --rating 96":                                         `--rating: "96" is out of range: 0 to 50 dB`,
		"blade --diameter 225cm --speed 9000rpm --mass 350g":                                         `--diameter: "225cm" is out of range: 10 to 50 cm; write for example 225mm`,
		"blade --diameter 225mm --speed 90000rpm --mass 350g":                                        `--speed: "90000rpm" is out of range: 0 to 20000 rpm`,
		"blade --diameter 225mm --speed 9000rpm --mass 350kg":                                        `--mass: "350kg" is out of range: 0.01 to 5 kg`,
		"humidex --temp 30C --rh 120%":                                                               `--rh: "120%" is out of range: 0 to 100 %`,
		"humidex --temp 30C --dewpoint -80F":                                                         `--dewpoint: "-80F" is out of range: -76 to 131 F`,
		"slope --percent 90000":                                                                      `--percent: "90000" is out of range: -6000 to 6000 %`,
		"walk --distance 800km":                                                                      `--distance: "800km" is out of range: 0 to 200 km`,
		"walk --distance 8km --climb 12km":                                                           `--climb: "12km" is out of range: 0 to 9 km`,
		"walk --slope 89.9deg":                                                                       `--slope: "89.9deg" is out of range: -89 to 89 deg`,
		"fuel --engine-hours 60h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 20":                  `--engine-hours: "60h" is out of range: 0 to 24 h`,
		"fuel --engine-hours 6h --burn 900L/h --tank 0.9L --ratio 50 --reserve 20":                   `--burn: "900L/h" is out of range: 0 to 20 L/h`,
		"fuel --engine-hours 6h --burn 0.9L/h --tank 900L --ratio 50 --reserve 20":                   `--tank: "900L" is out of range: 0.05 to 20 L`,
		"fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 0.02 --reserve 20":                 `--ratio: "0.02" is out of range: 1 to 200 :1`,
		"fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 2000":                 `--reserve: "2000" is out of range: 0 to 200 %`,
		"transport --jurisdiction bc --fuel 40000L":                                                  `--fuel: "40000L" is out of range: 0.1 to 5000 L`,
		"transport --jurisdiction bc --fuel 40L --can 2000L --can-mass 3000kg":                       `--can: "2000L" is out of range: 0.1 to 1000 L`,
		"plot --stems 12,9 --area 50ha":                                                              `--area: "50ha" is out of range: 0.0001 to 1 ha`,
		"plot --stems 12,90000 --area 50m2":                                                          `--stems: "90000" is out of range: 0 to 10000`,
		"plot --stems 12,9 --area 50m2 --slope 400%":                                                 `--slope: "400%" is out of range: 0 to 300 %`,
		"spacing --spacing 2km":                                                                      `--spacing: "2km" is out of range: 0.0001 to 0.1 km`,
		"spacing --density 9000000":                                                                  `--density: "9000000" is out of range: 1 to 1000000 stems/ha`,
		"fwi --temp 170C --rh 42 --wind 25km/h --rain 0mm --month 4 --ffmc 85 --dmc 6 --dc 15":       `--temp: "170C" is out of range: -60 to 60 C`,
		"fwi --temp 17C --rh 42 --wind 2500km/h --rain 0mm --month 4 --ffmc 85 --dmc 6 --dc 15":      `--wind: "2500km/h" is out of range: 0 to 324 km/h`,
		"fwi --temp 17C --rh 42 --wind 25km/h --rain 9m --month 4 --ffmc 85 --dmc 6 --dc 15":         `--rain: "9m" is out of range: 0 to 2 m`,
		"fwi --temp 17C --rh 42 --wind 25km/h --rain 0mm --month 4 --ffmc 850 --dmc 6000 --dc 15000": `--dc: "15000" is out of range: 0 to 3000`,
		"noise --criterion osha --exposure 95dBA:200h":                                               `--exposure: "95dBA:200h": 200h is out of range: 0 to 48 h`,
		"harness --hook 12m --height 35cm --tilt 2deg --tank full":                                   `--hook: "12m" is out of range: -1 to 1 m`,
		"agreement --table 20,5,10,-1":                                                               `--table: "-1" is negative`,
		"proportion --successes 0 --trials 0":                                                        `--trials: "0" is out of range: 1 to 1000000000`,
		"light --lat 91 --lon 5 --date 2026-05-01 --tz +01:00":                                       `--lat: "91" is out of range: -90 to 90 deg`,
	} {
		code, out, errs := runCalc(strings.Fields(line)...)
		require.Equal(t, exitUsage, code, "%s: %s", line, errs)
		require.Empty(t, out, line)
		require.Contains(t, errs, says, line)
	}
}

// What a formula was published for is another thing: understood, and refused with exit 1 as before.
func TestCalcKeepsThePublishedRangeApart(t *testing.T) {
	for line, says := range map[string]string{
		"noise --criterion osha --exposure 300dBA:1h": "outside the published", "windchill --temp 300C --wind 30km/h": "outside the published",
		"wbgt --metabolic 5kW": "outside the published", "vibration --exposure 400m/s2:1h": "outside the published",
	} {
		code, out, errs := runCalc(strings.Fields(line)...)
		require.Equal(t, exitRefused, code, line)
		require.Empty(t, out, line)
		require.Contains(t, errs, says, line)
	}
}

// The ends of a range are in it, in whatever unit they are typed.
func TestCalcTakesTheEndsOfARange(t *testing.T) {
	for _, line := range []string{
		"blade --diameter 500mm --speed 20000rpm --mass 10g", "blade --diameter 10cm --speed 0rpm --mass 5kg", "walk --distance 200km --climb 9km --slope -6000%",
		"fuel --engine-hours 1440min --burn 20L/h --tank 50mL --ratio 1 --reserve 200", "plot --stems 0,10000 --area 1ha", "spacing --spacing 10cm", "spacing --density 1000000",
		"protector --method osha_a --level-a 140 --rating 50", "noise --criterion osha --exposure 80dBA:32h",
	} {
		calcJSON(t, exitDone, line)
	}
}
