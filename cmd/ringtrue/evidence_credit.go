package main

import (
	"fmt"
	"slices"

	"example.org/ringtrue/training"
)

// carriedDocument writes, as the document behind a credit, a file that a worker brought along: its SHA-256 and the key
// that signed. The file must be of that worker, and hold a sound sign-off of a skill of that module.
func (a *app) carriedDocument(path, worker, module string) (string, error) {
	ans, err := a.checkCarried(path)
	if err != nil {
		return "", err
	}
	see := "see: ringtrue evidence check " + path
	who, err := a.person(worker)
	if err != nil {
		return "", err
	}
	today, err := a.asked(questionTimes{})
	if err != nil {
		return "", err
	}
	std, err := a.standards(today)
	if err != nil {
		return "", err
	}
	m, err := std.module(module)
	if err != nil {
		return "", err
	}
	switch {
	case ans.Invented:
		return "", refuse("credit needs a file of a company's book", "%s comes from an invented demo", path)
	case ans.Worker == "":
		return "", refuse(see, "%s holds no sound sign-off", path)
	case plain(ans.Worker) != plain(who.Name):
		return "", refuse(see, "%s is of %s, not of %s", path, ans.Worker, who.Name)
	}
	line, ok := soundIn(ans, m)
	if !ok {
		return "", refuse(see, "%s holds no sound sign-off in module %s %s", path, m.ID, m.Title)
	}
	return fmt.Sprintf("sign-offs of %s, file sha256 %s, key fingerprint %s, %s", line.Company, ans.SHA256, line.Fingerprint, line.Issuer), nil
}

// soundIn finds a sound sign-off in a module. Another company may number its modules otherwise, so the title counts too.
func soundIn(ans broughtAnswer, m training.Module) (broughtLine, bool) {
	i := slices.IndexFunc(ans.SignOffs, func(l broughtLine) bool {
		return l.Sound && l.Module == m.ID && plain(l.ModuleTitle) == plain(m.Title)
	})
	if i < 0 {
		return broughtLine{}, false
	}
	return ans.SignOffs[i], true
}
