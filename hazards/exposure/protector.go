package exposure

import "fmt"

// Numbers that a method may need, named as they are asked for.
const (
	NeedLevelA = "level-a" // A-weighted level, dBA
	NeedLevelC = "level-c" // C-weighted level, dBC
	NeedRating = "rating"  // SNR or NRR as the method has it, dB
	NeedHigh   = "high"    // H, M and L of EN ISO 4869-2, dB
	NeedMedium = "medium"
	NeedLow    = "low"
)

// Protector holds levels outside the protector and its ratings, in dB; what a method does not need may be 0.
type Protector struct {
	LevelA, LevelC    float64
	Rating            float64
	High, Medium, Low float64
}

// Falling refuses ratings that rise from H over M to L. A protector holds back high sound best and deep sound least, so such
// ratings are most likely mixed up (EN ISO 4869-2 names them after high, medium and low frequency; that they fall is from memory).
func (p Protector) Falling() error {
	if p.High >= p.Medium && p.Medium >= p.Low {
		return nil
	}
	return fmt.Errorf("ratings H %g, M %g, L %g do not fall from H to L; look at the protector again and write --high, --medium and --low in that order", p.High, p.Medium, p.Low)
}

// Method turns a level outside a hearing protector into the A-weighted level at the ear. Methods disagree by ten
// decibels and more, so one is always named: "70 %" means keep 70 % in one text and lose 70 % in another.
type Method struct {
	Name   string
	Needs  []string
	Source string
	ear    func(Protector) float64
}

// AtEar returns the level at the ear in dBA.
func (m Method) AtEar(p Protector) float64 { return m.ear(p) }

// AddsRealWorld reports whether the UK HSE adds RealWorld to what this method gives.
func (m Method) AddsRealWorld() bool { return m.Name == "snr" || m.Name == "hml" }

// RealWorld is what the UK HSE adds to the level at the ear by SNR or HML for how protectors are worn (HSE L108,
// read in a restatement), dB.
const RealWorld = 4.0

// Level at the ear to aim for in dBA (UK HSE, read in a restatement); below it people hear too little.
const (
	AimLow  = 70.0
	AimHigh = 80.0
)

var (
	sourceEN    = "EN ISO 4869-2 (worked example read in a restatement)"
	sourceOSHA  = "29 CFR 1910.95 Appendix B (read in restatements)"
	sourceField = "OSHA field practice, half of what Appendix B gives; not in Appendix B (training slides, read)"
	sourceCSA   = "CSA Z94.2-14 (factors read in a secondary page)"
	sourceNIOSH = "NIOSH 98-126 (factors from memory)"
)

var needNRR = []string{NeedLevelA, NeedRating}

var methods = []Method{
	{"snr", []string{NeedLevelC, NeedRating}, sourceEN, func(p Protector) float64 { return p.LevelC - p.Rating }},
	{"hml", []string{NeedLevelA, NeedLevelC, NeedHigh, NeedMedium, NeedLow}, sourceEN, hml},
	{"osha_a", needNRR, sourceOSHA, func(p Protector) float64 { return p.LevelA - (p.Rating - 7) }},
	{"osha_c", []string{NeedLevelC, NeedRating}, sourceOSHA, func(p Protector) float64 { return p.LevelC - p.Rating }},
	{"osha_field", needNRR, sourceField, func(p Protector) float64 { return p.LevelA - (p.Rating-7)/2 }},
	{"csa_plug", needNRR, sourceCSA, kept(0.50, 3)},
	{"csa_muff", needNRR, sourceCSA, kept(0.70, 3)},
	{"niosh_muff", needNRR, sourceNIOSH, kept(0.75, 7)},
	{"niosh_formable", needNRR, sourceNIOSH, kept(0.50, 7)},
	{"niosh_plug", needNRR, sourceNIOSH, kept(0.30, 7)},
}

// Methods lists every method. The slice is the caller's.
func Methods() []Method { return append([]Method(nil), methods...) }

// kept keeps a share of the NRR and takes off so many dB for the A-weighted level.
func kept(share, weighting float64) func(Protector) float64 {
	return func(p Protector) float64 { return p.LevelA - (p.Rating*share - weighting) }
}

// hml interpolates between M and H, or M and L, by how much low frequency there is (EN ISO 4869-2).
func hml(p Protector) float64 {
	deep := p.LevelC - p.LevelA - 2
	if deep <= 0 {
		return p.LevelA - (p.Medium - (p.High-p.Medium)/4*deep)
	}
	return p.LevelA - (p.Medium - (p.Medium-p.Low)/8*deep)
}
