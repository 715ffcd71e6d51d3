package main

import (
	"time"
)

// broughtLine is what was found of one sign-off in a carried file. Of one refused nothing that it says is given.
type broughtLine struct {
	Sound        bool   `json:"sound"`
	Refused      string `json:"refused"` // why, "" = sound
	Skill        string `json:"skill"`
	Title        string `json:"title"`
	Module       string `json:"module"`
	ModuleTitle  string `json:"module_title"`
	Company      string `json:"company"`
	DecidedBy    string `json:"decided_by"`
	Independence string `json:"independence"`
	From         string `json:"from"`
	Until        string `json:"until"`
	Over         bool   `json:"over"` // its end has passed
	Entry        string `json:"entry"`
	Inclusion    string `json:"inclusion"`
	Signed       string `json:"signed"` // on the signer's own word
	Signer       string `json:"signer"`
	Basis        string `json:"basis"` // on whose word the key is theirs
	Issuer       string `json:"issuer"`
	Fingerprint  string `json:"fingerprint"`
	Known        string `json:"known"`               // what this book knows of the key
	CompanyKey   string `json:"company_fingerprint"` // of the key with which the company vouched for the signer's, "" = it did not
	CompanyKnown string `json:"company_known"`       // what this book knows of that one
}

type broughtAnswer struct {
	Format   string        `json:"format"`
	File     string        `json:"file"`
	SHA256   string        `json:"sha256"`
	Invented bool          `json:"invented"` // from a demo book
	Worker   string        `json:"worker"`
	SignOffs []broughtLine `json:"sign_offs"`
	Refused  int           `json:"refused"`
	Head     string        `json:"head"`
	Text     string        `json:"text"`
	Unknown  []string      `json:"unknown"`
}

// unknowable is what no check of a file can tell.
var unknowable = []string{
	"whether a sign-off was withdrawn after the entry up to which withdrawals are known: ask the company",
	"who the person before you is: compare the name with a photo ID",
	"whose a key is, if this book does not know it: compare the fingerprint with one told another way",
	"whether what was signed is true, and whether the clock of the device was right",
}

func (a *app) carriedText(ans broughtAnswer) {
	if ans.Invented {
		a.say(demoMark)
	}
	switch {
	case ans.Refused == 0:
		a.say("sound: all sign-offs here (%d) of %s are signed as they stand", len(ans.SignOffs), ans.Worker)
	default:
		a.say("REFUSED: %d of %s", ans.Refused, counted(len(ans.SignOffs), "sign-off"))
	}
	for i, l := range ans.SignOffs {
		if !l.Sound {
			a.say("  %d  REFUSED: %s", i+1, l.Refused)
			continue
		}
		ends := "until " + l.Until
		if l.Over {
			ends = "ENDED on " + l.Until
		}
		a.say("  %d  %s %s, %s; decided by %s, %s, on %s", i+1, l.Skill, l.Title, ends, l.DecidedBy, l.Independence, l.From[:len(time.DateOnly)])
		a.say("      %s, module %s %s, entry %s; proof that it stands there: %s", l.Company, l.Module, l.ModuleTitle, l.Entry, l.Inclusion)
		a.say("      signed %s (the signer's word) with the key of %s, fingerprint %s", l.Signed, l.Signer, l.Fingerprint)
		a.say("      whose key: %s; %s", l.Basis, l.Known)
		switch {
		case l.CompanyKey != "":
			a.say("      the company signed that with its own key, fingerprint %s; %s", l.CompanyKey, l.CompanyKnown)
		case l.CompanyKnown != "":
			a.say("      %s", l.CompanyKnown)
		}
	}
	if ans.Head != "" {
		a.say("withdrawals are known up to entry %s", ans.Head)
	}
	if ans.Text != "" {
		a.say("%s", ans.Text)
	}
	a.say("what cannot be known from the file:")
	for _, u := range ans.Unknown {
		a.say("  - %s", u)
	}
}
