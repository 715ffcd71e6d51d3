package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
)

// What is typed in a guided morning is held to all that the sheet is held to where it is typed: once the sheet is together, nobody knows
// any more which answer was meant.

var bareClock = regexp.MustCompile(`^(\d{1,2})[:.]?(\d\d)$`)

// typed reads the answer to a question of the sheet; clock times may lack their colon, and one that has not come is a slip. "?" is don't
// know yet.
func (m *morning) typed(q hazards.Question) func(string) (string, error) {
	return func(text string) (string, error) {
		if text == dontKnow {
			return dontKnow, nil
		}
		if p := bareClock.FindStringSubmatch(text); p != nil && q.Kind == hazards.Clock {
			text = p[1] + ":" + p[2]
		}
		a, err := hazards.ParseAnswerFor(m.known, q.ID, text)
		if err == nil && q.Kind == hazards.Clock && a.Is == hazards.Told {
			err = m.notAhead(a.Value)
		}
		return a.String(), err
	}
}

// notAhead refuses a clock time of today that has not come.
func (m *morning) notAhead(clock string) error {
	if now := m.clock(); clock > now {
		return fmt.Errorf("%s has not come yet; it is %s", clock, now)
	}
	return nil
}

// begun reads the clock time at which work began.
func (m *morning) begun(text string) (string, error) {
	clock, err := clockAnswer(text)
	if err == nil {
		err = m.notAhead(clock)
	}
	return clock, err
}

// clockAnswer reads a clock time with or without its colon.
func clockAnswer(text string) (string, error) {
	if p := bareClock.FindStringSubmatch(text); p != nil {
		text = p[1] + ":" + p[2]
	}
	return hazards.ParseClock(text)
}

// inWords takes a few words that may stand on a sheet.
func inWords(text string) (string, error) { return text, hazards.CheckWords(text) }

// readBack takes coordinates as the receiver shows them, in the form of the card.
func (m *morning) readBack(text string) (string, error) {
	b := m.Block
	if words := placeWords.Split(text, -1); len(words) == 2 {
		b.Lat, b.Lon = words[0], words[1]
	}
	if !b.SamePlace(text) || !b.OnEarth() {
		return "", fmt.Errorf("%q is no place; write both numbers as on the card: %s, %s", text, m.Block.Lat, m.Block.Lon)
	}
	return text, nil
}

var placeWords = regexp.MustCompile(`[ ,;]+`)

// free are the saws that nobody else uses who is here.
func (m *morning) free(worker string, said answers) []string {
	return slices.DeleteFunc(slices.Clone(m.Saws), func(saw string) bool { return m.usedBy(worker, saw, said) != "" })
}

// usedBy is who else uses a saw today, "" where nobody does.
func (m *morning) usedBy(worker, saw string, said answers) string {
	for _, w := range said.list(askCrew) {
		if w != worker && strings.EqualFold(m.line(w, said).Saw, saw) {
			return m.name(w)
		}
	}
	return ""
}

// sawOf takes a saw that nobody else uses; where the book keeps no saws its id is typed.
func (m *morning) sawOf(worker string, said answers) func(string) (string, error) {
	return func(saw string) (string, error) {
		if who := m.usedBy(worker, saw, said); who != "" {
			return "", fmt.Errorf("%s uses saw %s today; name another one, or go back and change that", who, saw)
		}
		return inWords(saw)
	}
}

// offered reports whether a plan of before can still be meant: its saw and task group are still there.
func (m *morning) offered(c hazards.CrewLine) bool {
	saw := c.Saw == "" || len(m.Saws) == 0 || slices.Contains(m.Saws, c.Saw)
	return saw && (c.Group == "" || slices.Contains(m.Groups, c.Group))
}
