package hazards

import (
	"regexp"
	"strings"
)

// What a decision during the day says of the saws.
const (
	SawsOff = "off"
	SawsOn  = "on"
)

// Decision is what somebody decided on the ground during the day. People stand in it as ids; words are as told.
type Decision struct {
	At    string `json:"at"` // HH:MM
	By    string `json:"by"`
	What  string `json:"what"` // what had changed, "rain"
	Words string `json:"words"`
	Saws  string `json:"saws"` // SawsOff, SawsOn, or "": it says nothing of them
}

// Word is what holds now on a day: what was decided, by whom and when, beside what was computed. Answer is the stricter of the two.
type Word struct {
	Answer   Verdict
	Decided  Decision // the one that stands; empty where nothing was decided since the check
	Computed Verdict
	At       string // HH:MM of the answers that Computed was computed on
}

// ByDecision reports whether the decision is stricter than what was computed.
func (w Word) ByDecision() bool { return w.Answer != w.Computed }

// Changed reports whether anything was decided since the check.
func (w Word) Changed() bool { return w.Decided != Decision{} }

// WordOf gives the word of a day: the newest assessment of it and the decisions since the check, in the order in which they were made.
// Saws that were taken off stay off until a later decision says that they run; what is decided in between about other things does not
// start them. Else the newest decision stands.
func WordOf(newest Assessment, decisions []Decision) Word {
	w := Word{Answer: newest.Answer, Computed: newest.Answer, At: newest.At}
	for _, d := range decisions {
		if w.Decided.Saws == SawsOff && d.Saws == "" {
			continue
		}
		w.Decided = d
	}
	if w.Decided.Saws == SawsOff {
		w.Answer = Hold
	}
	return w
}

// Words of decisions in which the saws stop, and in which they run, in the three languages of crews (company choice). A decision that
// says off in any way does not say on.
var (
	offWords = regexp.MustCompile(`\b(off|stop|stops|stopped|hold|halt|wait|nobody|no one|none|no saws?|not|don't|until|till|unless|when|once|after|if|home|leave|shelter|` +
		`arrêt\S*|attend\S*|personne|aucune?|jusqu'\S*|quand|apagad\S*|para[nr]?|paren|paramos|esper\S*|nadie|ningun\S*|hasta|cuando)(?:$|[^\p{L}])`)
	stopWords = regexp.MustCompile(`\b(saws (are |stay |stand |all )*(off|down|stop|stopped|still)|(all |the )*(saws|work) (off|down|stops?)|stop (all |the )*(saws?|work|sawing)|(nobody|no one) (saws|starts|works)|` +
		`no (more )?(sawing|cutting)|no saws? (starts?|runs?|moves?|anywhere|until|before)|(everybody|all|crew|they|we|everyone) (stops?|goes? home|to shelter|to the (vehicles|truck|trucks))|work stops|` +
		`scies? (arrêtées?|coupées?|à l'arrêt)|arrêt(ez)? (de |du |les |des )*(scies?|travail)|personne ne scie|aucune scie|` +
		`sierras? apagadas?|apag(ar|uen) (las )?sierras|paren (las )?sierras|nadie sierra|ninguna sierra)|^hold(?:$|[;,.:])|\bhold (until|all|everything|work)\b`)
	onWords = regexp.MustCompile(`\b(saws? (are |is |go |run |back |all )*(on|run|running)|starts? again|resumes?|go(es)? on|work goes on|back to work|lets? work resume|saws? again|` +
		`reprise|reprend(re|s)?|reprenez|on continue|sierras? (encendidas?|en marcha)|reanud\S*|se sigue|siguen|sigan)(?:$|[^\p{L}])`)
)

// SawsOf reads from the words of a decision what it says of the saws, for decisions entered without saying so: SawsOff where they plainly
// stop, SawsOn where they plainly run and nothing in the words takes that back ("start again when it is dry" does not), else "".
func SawsOf(words string) string {
	low := strings.ToLower(strings.ReplaceAll(words, "’", "'"))
	switch {
	case stopWords.MatchString(low):
		return SawsOff
	case onWords.MatchString(low) && !TakesBack(words):
		return SawsOn
	}
	return ""
}

// TakesBack reports whether the words of a decision hold anything that keeps it from plainly starting the saws: a no, or a condition.
func TakesBack(words string) bool {
	return offWords.MatchString(strings.ToLower(strings.ReplaceAll(words, "’", "'")))
}
