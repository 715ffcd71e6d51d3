package exposure

import "math"

// Rule is how a place counts noise: its criterion, the eight-hour level from which something is done, and the one never to
// be gone beyond. The first is counted as if nothing were worn, the second behind the hearing protector.
type Rule struct {
	Criterion
	Action float64 // dBA over eight hours
	Limit  float64 // dBA over eight hours
}

// lex is the criterion of most places: 85 dBA for eight hours, 3 dB halve the time.
func lex(source string) Criterion {
	return Criterion{Name: "85 dBA, 3 dB", Level: 85, Exchange: 3, Top: NIOSH.Top, factor: NIOSH.factor, Source: source}
}

// recommended stands where no rule was read.
var recommended = Rule{Criterion: NIOSH, Action: 85, Limit: 85}

// rulesByPlace holds the noise rules by the code of the place (hazards/rules). How far each was read stands in its source. EU:
// Directive 2003/10/EC Art. 3 gives 80, 85 and 87 dBA, the limit behind the protector; the lower action value is kept.
var rulesByPlace = map[string]Rule{
	"us": {Criterion: OSHA, Action: 85, Limit: 90},
	"bc": {Criterion: lex("BC OHS Regulation 7.2, 85 dBA Lex (read); exchange rate from the definition of Lex (from memory)"), Action: 85, Limit: 85},
	"ab": {Criterion: lex("Alberta OHS Code Schedule 3 (heading read; 85 dBA and 3 dB from memory)"), Action: 85, Limit: 85},
	"on": {Criterion: lex("O. Reg. 381/15, 85 dBA Lex,8 (from memory)"), Action: 85, Limit: 85},
	"qc": {Criterion: lex("Quebec OHS Regulation, 85 dBA and 3 dB (from memory)"), Action: 85, Limit: 85},
	"nb": {Criterion: lex("General Regulation 91-191, 85 dBA (from memory)"), Action: 85, Limit: 85},
	"uk": {Criterion: lex("Control of Noise at Work Regulations 2005 (from memory; same figures as 2003/10/EC)"), Action: 80, Limit: 87},
	"eu": {Criterion: lex("Directive 2003/10/EC Art. 3 (quotation read)"), Action: 80, Limit: 87},
	"nz": {Criterion: lex("New Zealand, 85 dBA over eight hours (from memory)"), Action: 85, Limit: 85},
}

// RuleOf returns the noise rule of the first of the places that has one, the place itself first and then those whose rules follow;
// where none has, the recommendation of NIOSH.
func RuleOf(places []string) Rule {
	for _, p := range places {
		if r, ok := rulesByPlace[p]; ok {
			return r
		}
	}
	return recommended
}

// Recommended is the rule of NIOSH 98-126 for places without a rule, and for companies that choose it.
func Recommended() Rule { return recommended }

// HoursToLevel returns how long a level in dBA may last until the eight-hour level is reached; ok is false for levels that add no
// dose. Above the published table it is the time at its top, which is no longer.
func (r Rule) HoursToLevel(dBA, eightHours float64) (hours float64, ok bool) {
	if !Counts(dBA) {
		return 0, false
	}
	return 8 / math.Exp2((dBA-eightHours)/r.Exchange), true
}

// MethodOf finds a method by its name.
func MethodOf(name string) (Method, bool) {
	for _, m := range methods {
		if m.Name == name {
			return m, true
		}
	}
	return Method{}, false
}
