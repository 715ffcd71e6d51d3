package main

import (
	"fmt"
	"strings"

	"example.org/ringtrue/training"
)

// choicesFrom turns what the book offers ("id<TAB>what it is") into choices.
func choicesFrom(offered []string, err error) ([]choice, error) {
	var out []choice
	for _, o := range offered {
		id, what, _ := strings.Cut(o, "\t")
		out = append(out, choice{value: id, label: id + "  " + what})
	}
	return out, err
}

// workerQuestion asks for a person, who is found by short id or any part of the name; nobody is offered.
func (a *app) workerQuestion(title string) (question, error) {
	list, err := choicesFrom(a.offerWorkers())
	return question{id: "worker", title: title, help: "short id or any part of the name", choices: list, search: true}, err
}

// others are the workers but for who acts.
func (a *app) others() ([]choice, error) {
	by, err := a.actor()
	if err != nil {
		return nil, err
	}
	list, err := choicesFrom(a.offerWorkers())
	var out []choice
	for _, c := range list {
		if c.value != by.Handle {
			out = append(out, c)
		}
	}
	if err == nil && len(out) == 0 {
		err = refuse("add who else there is: ringtrue worker add NAME", "there is nobody but %s on the crew list", by.Name)
	}
	return out, err
}

// blockQuestion asks for a block; the block of the last entry is offered.
func (a *app) blockQuestion(title, last, from string) (question, error) {
	list, err := choicesFrom(a.offerBlocks())
	q := question{id: "block", title: title, choices: list}
	for _, c := range list {
		if c.value == last {
			q.preset, q.from = last, from
		}
	}
	return q, err
}

// lastAbout finds a worker's last entry of a kind with everything it says, in data; ok is false where there is none.
// The text says where it stands.
func (a *app) lastAbout(worker, kind string, data any, fits func() bool) (from string, ok bool, err error) {
	who, err := a.person(worker)
	if err != nil {
		return "", false, err
	}
	topics, err := a.book.Facts(a.ctx, a.askedToday(), who.ID)
	if err != nil {
		return "", false, err
	}
	var all []training.Fact
	for _, facts := range topics {
		for _, f := range facts {
			if !f.Struck {
				all = append(all, f)
			}
		}
	}
	training.Sort(all)
	for i := len(all) - 1; i >= 0; i-- {
		h, err := a.book.Entry(a.ctx, all[i].Entry, nil)
		if err != nil {
			return "", false, err
		}
		if h.Kind != kind {
			continue
		}
		if _, err := a.book.Entry(a.ctx, all[i].Entry, data); err != nil {
			return "", false, err
		}
		if fits() {
			return fmt.Sprintf("as on %s, entry %s", all[i].Day, a.book.Short(all[i].Entry)), true, nil
		}
	}
	return "", false, nil
}

// someBlock refuses a question about blocks where there is none.
func someBlock(q question) error {
	if len(q.choices) > 0 {
		return nil
	}
	return refuse("write its card first: ringtrue block add --help", "there is no block in this book")
}

// always takes the last entry, whatever it says.
func always() bool { return true }
