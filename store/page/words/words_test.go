package words

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var place = regexp.MustCompile(`%.`)

// Every message is there in each language, with the same places to fill in.
func TestMessagesAreComplete(t *testing.T) {
	all, err := Messages()
	require.NoError(t, err)
	require.Greater(t, len(all), 300)
	for id, m := range all {
		want := place.FindAllString(m.En, -1)
		for _, lang := range Languages() {
			text := m.In(lang)
			require.NotEmpty(t, strings.TrimSpace(text), "%s in %s", id, lang)
			require.Equal(t, strings.TrimSpace(text), text, "%s in %s", id, lang)
			require.Equal(t, want, place.FindAllString(text, -1), "%s in %s", id, lang)
			require.True(t, utf8.ValidString(text))
		}
		for _, p := range want {
			require.Equal(t, "%s", p, id)
		}
	}
}

func TestMostTogetherIsEnough(t *testing.T) {
	all, err := Messages()
	require.NoError(t, err)
	require.NotEmpty(t, all)
	for id, m := range all {
		require.LessOrEqual(t, strings.Count(m.En, ". ")+1, mostTogether, id)
	}
}

// A sentence left as it was is a translation forgotten; short words may be the same in two languages.
func TestMessagesAreTranslated(t *testing.T) {
	all, err := Messages()
	require.NoError(t, err)
	long := 0
	for id, m := range all {
		if len(m.En) > 25 {
			long++
			require.NotEqual(t, m.En, m.Fr, id)
			require.NotEqual(t, m.En, m.Es, id)
		}
	}
	require.Greater(t, long, 100)
}

// No translation says more than the English does: none says that something is safe without saying not.
func TestMessagesPromiseNothing(t *testing.T) {
	all, err := Messages()
	require.NoError(t, err)
	denied := 0
	for id, m := range all {
		for lang, pair := range map[string][2]string{English: {"safe", "not|that anybody|Make it"}, French: {"sans danger|sécuritaire", "ne dit pas|Rien"}, Spanish: {"segur[oa]", "no dice|Nada"}} {
			if regexp.MustCompile(`(?i)\b(` + pair[0] + `)\b`).MatchString(m.In(lang)) {
				denied++
				require.Regexp(t, pair[1], m.In(lang), "%s in %s", id, lang)
			}
		}
	}
	require.GreaterOrEqual(t, denied, 6)
}

func TestInUnknownLanguage(t *testing.T) {
	_, err := In("de")
	require.EqualError(t, err, `"de" is not a language of the sheets; there are en, fr, es`)
	s, err := In("")
	require.NoError(t, err)
	require.Equal(t, English, s.Lang())
}

func speaker(t require.TestingT, lang string) *Speaker {
	s, err := In(lang)
	require.NoError(t, err)
	return s
}

func TestRender(t *testing.T) {
	for _, c := range []struct {
		lang, english, want string
		ok                  bool
	}{
		{English, "Anything at all.", "Anything at all.", true},
		{Spanish, "Thunder or lightning. Go to shelter. Check again 30 minutes after the last thunder.",
			"Truenos o relámpagos. Pónganse a resguardo. Repitan la revisión 30 minutos después del último trueno.", true},
		{Spanish, "No way to call for help. (not known yet, so it counts; luis finds out by 07:30)",
			"No hay forma de pedir ayuda. (no se sabe todavía: cuenta como lo peor; luis lo averigua antes de las 07:30)", true},
		{French, "No stop for the site found at 06:40 on the answers given. Not for: ana, ben. okafor decides. Ends when an answer changes, at 18:00, or on leaving B7.",
			"Aucun motif d'arrêt du chantier trouvé à 06:40 d'après les réponses données. Pas pour\u00a0: ana, ben. okafor décide. Prend fin si une réponse change, à 18:00, ou en quittant B7.", true},
		{French, "Hold at 06:40 on the answers given. No saw starts on B7. No way to call for help. No first aider today.",
			"Arrêt à 06:40 d'après les réponses données. Aucune scie ne démarre sur B7. Aucun moyen d'appeler les secours. Pas de secouriste aujourd'hui.", true},
		{Spanish, "planned unsupervised for thinning, may work in sight", "previsto sin supervisión para aclareo, puede trabajar a la vista", true},
		{Spanish, "Saw S1 stays down: it leaks.", "La sierra S1 no se usa: tiene una fuga.", true},
		{Spanish, "Without a helicopter: carry to the landing. Wait there.", "Sin helicóptero: carry to the landing. Wait there.", true},
		{Spanish, "No way to call for help. Nobody has written this.", "No hay forma de pedir ayuda. Nobody has written this.", false},
		{French, "written by somebody", "written by somebody", false},
		{Spanish, "stems too thick for one cut (9cm; house rule 6cm), lowered (organised)", "tallos demasiado gruesos para un solo corte (9cm; regla de la casa 6cm), reducido (organizativa)", true},
		{French, "", "", false},
	} {
		said, ok := speaker(t, c.lang).Render(c.english)
		require.Equal(t, c.want, said)
		require.Equal(t, c.ok, ok, c.english)
	}
}

// What is filled in comes out again, whatever it is.
func TestRenderKeepsWhatIsFilledIn(t *testing.T) {
	name := rapid.StringMatching(`[A-Z][a-z]{2,8}[0-9]{2}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := name.Draw(t, "a"), name.Draw(t, "b")
		for _, lang := range []string{French, Spanish} {
			said, ok := speaker(t, lang).Render(a + " cannot watch: " + b)
			require.True(t, ok)
			require.Contains(t, said, a)
			require.Contains(t, said, b)
		}
	})
}

func FuzzRender(f *testing.F) {
	for _, s := range []string{"", ". ", "No first aider today.", "Not for: %s.", "a: b (c), d sees to it", strings.Repeat("Saw . ", 40)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, english string) {
		said, _ := speaker(t, Spanish).Render(english)
		if strings.TrimSpace(english) != "" && strings.TrimSpace(said) == "" {
			t.Fatalf("%q became nothing", english)
		}
	})
}

func TestWord(t *testing.T) {
	s := speaker(t, Spanish)
	require.Equal(t, "sin sierra", s.Word("level", "no saw"))
	require.Equal(t, "elsewhere", s.Word("level", "elsewhere"))
	require.Equal(t, "page.nothing", s.Say("page.nothing"))
}

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"a: {en: x, fr: y, es: z, de: q}", "field de not found"},
		{"a: {en: x}\na: {en: x}", "already defined"},
		{"b: {en: x}", "b stands in another file too"},
	} {
		require.ErrorContains(t, read("f.yaml", []byte(c.text), map[string]Message{"b": {}}), c.want)
	}
}

func BenchmarkRender(b *testing.B) {
	s := speaker(b, Spanish)
	for b.Loop() {
		s.Render("No stop found at 06:40 on the answers given. okafor decides. Ends when an answer changes, at 18:00, or on leaving B7.")
	}
}

// A stop of one person is said behind their name, and what they lack word by word.
func TestRenderBehindANameAndInLists(t *testing.T) {
	for lang, want := range map[string]string{
		French:  "Ana Ruiz\u00a0: n'est pas en état de travailler aujourd'hui. ben\u00a0: équipement de protection manquant ou en retard de contrôle\u00a0: casque, lunettes.",
		Spanish: "Ana Ruiz: hoy no está en condiciones de trabajar. ben: equipo de protección que falta o con revisión vencida: casco, gafas.",
	} {
		s, err := In(lang)
		require.NoError(t, err)
		said, ok := s.Render("Ana Ruiz: not fit today. ben: protective equipment missing or overdue: helmet, eyes.")
		require.True(t, ok, said)
		require.Equal(t, want, said)
	}
	s, err := In(Spanish)
	require.NoError(t, err)
	said, ok := s.Render("Hung-up trees and what somebody wrote: nobody knows")
	require.False(t, ok)
	require.Equal(t, "Hung-up trees and what somebody wrote: nobody knows", said)
}

// What is not known yet is a sentence of its own and takes no other stop with it.
func TestNotKnownTakesNoStopWithIt(t *testing.T) {
	s, err := In(Spanish)
	require.NoError(t, err)
	said, ok := s.Render("No way to call for help. (not known yet, so it counts; luis finds out by 07:30). Wind-thrown trees where you work. Mark them and stay at least two tree lengths off, then answer again.")
	require.True(t, ok, said)
	require.Contains(t, said, "Árboles derribados por el viento donde trabajan.")
}

// What a control is named for is said as a thing, never as an id.
func TestThingsAreSaid(t *testing.T) {
	s, err := In(French)
	require.NoError(t, err)
	said, ok := s.Render("Nobody is named for extinguisher and spill mat; say what is done and who sees to it.")
	require.True(t, ok)
	require.Equal(t, "Il manque une mesure de prévention avec un responsable pour\u00a0: l'extincteur et le tapis absorbant.", said)
}
