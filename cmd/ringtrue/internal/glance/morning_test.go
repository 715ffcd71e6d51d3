package glance

import (
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store/page/words"
	"example.org/ringtrue/training"
)

// handles are a crew of eight: a boss and a first aider without saws, five old hands, and a recruit in sight.
var handles = []string{"bruno", "rosa", "kael", "zeno", "maren", "elio", "ilan", "vet"}

// said answers every question so that little is found; where none of these is said, the answer is the good one.
var said = map[string]string{
	"call-by": "radio 4", "call-answered": "06:30", "check-in": "1h", "first-aider": "rosa", "who-calls": "kael", "aider-if-hurt": "bruno", "stop-signal": "both arms up", "neighbour-distance": "20m",
	"steepest-slope": "30%", "largest-stem": "5cm", "tallest-stem": "4m", "fuel-ignition": "15m", "fuel-start": "5m", "fuel-smoking": "20m", "fuel-can": "10L",
	"wind-force": "2", "temperature": "14C", "kit-distance": "50m",
}

func answerTo(q hazards.Question) hazards.Said {
	v, told := said[q.ID]
	switch {
	case told:
		return hazards.Said{Is: hazards.Told, Value: v}
	case q.ID == hazards.WhoElse:
		return hazards.Said{Is: hazards.No}
	case q.Bad == hazards.Yes:
		return hazards.Said{Is: hazards.No}
	}
	return hazards.Said{Is: hazards.Yes}
}

// cleanMorning is the clean morning of a crew of eight, in July at 06:40, with the recruit in sight of the first aider.
func cleanMorning(t testing.TB) hazards.Input {
	rules, err := house.Starter()
	require.NoError(t, err)
	in := hazards.Input{House: rules, Now: time.Date(2026, 7, 6, 6, 45, 0, 0, time.FixedZone("", -7*3600)),
		Block: hazards.Block{ID: "H1", Name: "Upper Hazel", Edition: 1, Lat: "54.7100", Lon: "-124.9200", Access: "12km", Walk: "10min", SlopeMax: "30%",
			TreeHeight: "4m", Ambulance: "25min", Call: "the emergency number", Road: "km 12 Hazelrun road, blue gate", Channel: "radio 4",
			Meeting: "landing at km 11", PlanB: "carry to the landing"},
		Sheet: hazards.Sheet{Block: "H1", BlockEdition: 1, Day: "2026-07-06", At: "06:40", By: "bruno", AcceptedBy: "bruno", Coordinates: "54.7100, -124.9200"}}
	for i, h := range handles {
		p := hazards.Worker{ID: "p" + strconv.Itoa(i), Handle: h, SawDays: 500, Seasons: 6, FirstAid: h == "rosa", Appointed: i < 2, Permissions: map[string]training.Permission{}}
		line := hazards.CrewLine{Worker: h, Fit: hazards.Said{Is: hazards.Yes}}
		if i >= 2 {
			saw := "S" + strconv.Itoa(i-1)
			line.Saw, line.Group, line.Level = saw, "thinning", training.InHearing
			in.Sheet.Saws = append(in.Sheet.Saws, soundSaw(saw))
		}
		if h == "vet" {
			p.SawDays, p.Seasons, line.Group, line.Level, line.WatchedBy = 4, 1, "light-brush", training.InSight, "rosa"
		}
		p.Permissions[line.Group] = training.Permission{Group: line.Group, Level: line.Level}
		in.People, in.Sheet.Crew = append(in.People, p), append(in.Sheet.Crew, line)
	}
	for _, q := range hazards.Questions() {
		in.Sheet.Answers = append(in.Sheet.Answers, hazards.Answer{Question: q.ID, Said: answerTo(q)})
	}
	for _, q := range hazards.Readings() {
		if said[q.ID] != "" || q.Kind == hazards.YesNo {
			in.Sheet.Readings = append(in.Sheet.Readings, hazards.Answer{Question: q.ID, Said: answerTo(q)})
		}
	}
	return in
}

func soundSaw(id string) hazards.SawLine {
	s := hazards.SawLine{ID: id}
	for _, q := range hazards.SawChecks() {
		s.Checks = append(s.Checks, hazards.Answer{Question: q.ID, Said: answerTo(q)})
	}
	return s
}

// say gives one question another answer.
func say(in *hazards.Input, id string, s hazards.Said) {
	for _, list := range [][]hazards.Answer{in.Sheet.Answers, in.Sheet.Readings} {
		for i := range list {
			if list[i].Question == id {
				list[i].Said = s
				return
			}
		}
	}
	in.Sheet.Readings = append(in.Sheet.Readings, hazards.Answer{Question: id, Said: s})
}

func yes(in *hazards.Input, ids ...string) {
	for _, id := range ids {
		say(in, id, hazards.Said{Is: hazards.Yes})
	}
}

func value(in *hazards.Input, id, v string) { say(in, id, hazards.Said{Is: hazards.Told, Value: v}) }

func control(in *hazards.Input, about, what, owner string) {
	in.Sheet.Controls = append(in.Sheet.Controls, hazards.Control{For: about, Kind: 1, What: what, Owner: owner})
}

// look is the screen of a morning as the program makes it.
func look(in hazards.Input) Screen {
	var owners []hazards.Control
	for _, c := range in.Sheet.Controls {
		owners = append(owners, hazards.Control{For: c.For, Kind: c.Kind, What: c.What, Owner: idOf(c.Owner)})
	}
	return Of(hazards.Assess(in), Morning{Name: called, BlockName: in.Block.Name, When: time.Date(2026, 7, 6, 6, 40, 0, 0, time.UTC), Controls: owners, Card: in.Block, Unsigned: true,
		Rest: Rest{Why: "ringtrue tailgate show --block H1 --why", Full: "--full", Print: "ringtrue tailgate print --block H1 -o crew.html"}})
}

func idOf(handle string) string { return "p" + strconv.Itoa(slices.Index(handles, handle)) }

// called gives the name of an id of the crew of eight.
func called(id string) string {
	n, err := strconv.Atoi(strings.TrimPrefix(id, "p"))
	if err != nil || n >= len(handles) {
		return ""
	}
	return strings.ToUpper(handles[n][:1]) + handles[n][1:]
}

func english(t require.TestingT) *words.Speaker { return speaker(t, words.English) }

func speaker(t require.TestingT, lang string) *words.Speaker {
	s, err := words.In(lang)
	require.NoError(t, err)
	return s
}

// Ten common mornings of a crew of eight each fit a terminal of 80 by 24, of which the last row is for typing.
func TestTenMorningsFitOneScreen(t *testing.T) {
	for _, c := range []struct {
		name string
		with func(*hazards.Input)
		word Word
		says []string
	}{
		{"a recruit in light brush, watched", func(*hazards.Input) {}, WithControls, []string{"Vet S6", "in sight of Rosa", "Kael S1, Zeno S2, Maren S3, Elio S4"}},
		{"thunder", func(in *hazards.Input) { yes(in, "thunder") }, Stopped, []string{"Thunder"}},
		{"most stops at once", func(in *hazards.Input) {
			yes(in, "thunder", "wires", "hung-up", "wind-thrown", "neighbours-hidden")
		}, Stopped, []string{"Thunder", "Wires", "Hung-up", "Wind-thrown", "Fog"}},
		{"wet and steep, controls named", func(in *hazards.Input) {
			yes(in, "wet-icy", "hidden-base", "rough-ground")
			value(in, "steepest-slope", "28%")
			control(in, "steepest-slope", "strips along the contour, bottom up", "kael")
			control(in, "wet-icy", "dry side first", "kael")
			control(in, "hidden-base", "part the brush first", "maren")
			control(in, "rough-ground", "walk the strip first and flag the holes", "elio")
		}, "", []string{"part the brush first", "Maren", "dry side first", "Kael"}},
		{"four blades not filed, stems hidden", func(in *hazards.Input) {
			yes(in, "hidden-base")
			for i := range 4 {
				in.Sheet.Saws[i].Checks[len(in.Sheet.Saws[i].Checks)-1].Said = hazards.Said{Is: hazards.No}
			}
		}, "", []string{"Kael", "Zeno", "Maren", "Elio"}},
		{"two saws leak", func(in *hazards.Input) {
			for i := range 2 {
				for j := range in.Sheet.Saws[i].Checks {
					if in.Sheet.Saws[i].Checks[j].Question == hazards.SawNoLeak {
						in.Sheet.Saws[i].Checks[j].Said = hazards.Said{Is: hazards.No}
					}
				}
			}
		}, WithControls, []string{"S1 Kael", "S2 Zeno"}},
		{"six people not oriented, without equipment and releases", func(in *hazards.Input) {
			for i := 2; i < 8; i++ {
				in.People[i].Orient, in.People[i].Lacks = []string{"no orientation yet"}, []string{"helmet", "visor", "eyes", "ears", "gloves", "trousers", "boots"}
				in.People[i].Permissions = nil
			}
		}, NotYet, []string{"Kael, Zeno, Maren, Elio, Ilan, Vet"}},
		{"dead trees, marked out", func(in *hazards.Input) {
			yes(in, "dead-trees")
			control(in, "dead-trees", "strip 3 marked out with tape, nobody goes in", "zeno")
		}, WithControls, []string{"strip 3 marked out", "Zeno"}},
		{"heat and wind, with owners", func(in *hazards.Input) {
			value(in, "temperature", "34C")
			value(in, "humidity", "50%")
			value(in, "wind-force", "5")
			control(in, "heat", "water and shade at the fuel spot, rest every hour", "rosa")
			control(in, "temperature", "water and shade at the fuel spot, rest every hour", "rosa")
			control(in, "wind-force", "watches the tops and says stop", "bruno")
		}, "", []string{"Rosa", "Bruno"}},
		{"noise and vibration of six saws", func(in *hazards.Input) {
			for i := range in.Sheet.Saws {
				in.Sheet.Saws[i].Noise, in.Sheet.Saws[i].Vibration = "101dBA", "4.5m/s2"
			}
			for i := 2; i < 8; i++ {
				in.Sheet.Crew[i].Trigger = "3h"
			}
		}, "", []string{"WATCH"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := cleanMorning(t)
			c.with(&in)
			s := look(in)
			if c.word != "" {
				require.Equal(t, c.word, s.Word)
			}
			for _, lang := range words.Languages() {
				lines := s.Lines(speaker(t, lang), Plain, 0)
				text := strings.Join(lines, "\n")
				if lang == words.English {
					t.Log("\n" + text)
					for _, want := range c.says {
						require.Contains(t, oneSpace(text), want)
					}
				}
				require.Less(t, len(lines), Plain.High, "%s\n%s", lang, text)
			}
		})
	}
}

// oneSpace joins the lines of a screen, so that a text is found wherever its lines break.
func oneSpace(text string) string { return strings.Join(strings.Fields(text), " ") }
