package main

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/training/civil"
)

// draft is a guided entry that was stopped, in a file beside the book that only its owner reads. It is no part of the
// book. It lasts until the end of its day (company choice): what was true this morning is never carried into another. A
// tailgate check lasts only for a while, as the sky and the crew change within a day.
type draft struct {
	Command  string    `yaml:"command"`
	Day      string    `yaml:"day"`
	As       string    `yaml:"as"`
	Known    answers   `yaml:"known"` // what the command line said
	Order    []string  `yaml:"order"`
	Answers  answers   `yaml:"answers"`
	Saved    time.Time `yaml:"saved"` // when the last answer was given
	path     string
	now      func() time.Time
	existing *draft // the one found, if it belongs to this command line and day
}

// checkLasts is how long the answers of a stopped tailgate check hold (company choice).
const checkLasts = 2 * time.Hour

// maxDraft is far above any draft that was written here (company choice).
const maxDraft = 64 << 10

// draft looks for a draft of this command and prepares a new one.
func (a *app) draft(command string, known answers) (*draft, error) {
	path, err := a.bookPath()
	if err != nil {
		return nil, err
	}
	d := &draft{Command: command, Day: civil.Of(a.now(), a.book.Zone()).String(), As: a.as, Known: known,
		now: a.now, path: path + "." + strings.ReplaceAll(command, " ", "-") + ".draft.yaml"}
	d.existing = d.find()
	return d, nil
}

// find reads the draft that is there; one of another day or command line, or one that cannot be read, counts as none.
func (d *draft) find() *draft {
	info, err := os.Lstat(d.path)
	if err != nil || !info.Mode().IsRegular() || info.Size() > maxDraft {
		return nil
	}
	text, err := os.ReadFile(d.path)
	if err != nil {
		return nil
	}
	var old draft
	if err := yaml.Unmarshal(text, &old); err != nil || old.Command != d.Command || old.Day != d.Day || old.As != d.As || len(old.Order) == 0 || !maps.Equal(old.Known, d.Known) {
		return nil
	}
	if d.Command == tailgateCommand && d.now().Sub(old.Saved) > checkLasts {
		return nil
	}
	return &old
}

// save writes what has been answered by hand. A draft is a convenience: where it cannot be written, the entry goes on.
func (d *draft) save(g *guide) {
	d.Order, d.Answers = nil, answers{}
	for _, id := range g.order {
		if id != recordQuestion {
			d.Order = append(d.Order, id)
			d.Answers[id] = g.said[id]
		}
	}
	if len(d.Order) == 0 {
		return
	}
	d.Saved = d.now()
	text, err := yaml.Marshal(d)
	if err == nil {
		_ = os.WriteFile(d.path, text, 0o600)
	}
}

// dropDraft removes the draft of a command once its entry is recorded.
func (a *app) dropDraft(command string) error {
	path, err := a.bookPath()
	if err != nil {
		return err
	}
	err = os.Remove(path + "." + strings.ReplaceAll(command, " ", "-") + ".draft.yaml")
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// resumeQuestion stands before all others where there is a draft.
const resumeQuestion = "resume"

// summary says what has been answered in a draft.
func (d *draft) summary() string {
	var parts []string
	for _, id := range d.Order {
		parts = append(parts, id+": "+firstText(d.Answers[id], "-"))
	}
	if len(parts) > 6 { // one line of a small screen
		parts = slices.Concat(parts[:6], []string{"…"})
	}
	return strings.Join(parts, "; ")
}
