package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/credential"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Types of our credentials, and what a sign-off says of its proof of inclusion.
const (
	signOffType  = "SkillSignOff"
	rosterType   = "KeyRoster"
	proofCarried = "carried"
	proofNone    = "none: the entry stands in the ledger of another device"
)

// carriedSkill is what a credential says of one sign-off.
type carriedSkill struct {
	Demo         string        `json:"demo,omitempty"`
	Worker       carriedWorker `json:"worker"`
	Company      string        `json:"company"`
	Module       string        `json:"module"`
	ModuleTitle  string        `json:"moduleTitle"`
	Skill        string        `json:"skill"`
	Title        string        `json:"title"`
	Criteria     []string      `json:"criteria"`
	Edition      string        `json:"edition"`
	DecidedBy    string        `json:"decidedBy"`
	Independence string        `json:"independence"` // who the decider is to the evidence
	Until        string        `json:"until"`        // first day no longer
	Entry        string        `json:"entry"`
	Withdrawals  string        `json:"withdrawalsKnownUpTo"`
	Inclusion    string        `json:"inclusion"`
}

type carriedWorker struct {
	ID   string `json:"personId"`
	Name string `json:"name"`
}

// carriedKey is what the roster credential says of a key.
type carriedKey struct {
	DID      string          `json:"did"`
	Verifier string          `json:"verifier"`
	Owner    string          `json:"owner"`
	Basis    string          `json:"basis"`
	Duties   []string        `json:"duties"`
	From     string          `json:"from"`
	Until    string          `json:"until"`             // first day no longer, "" = open
	Vouched  *ledger.Vouched `json:"vouched,omitempty"` // what the company signed about it
}

// copying is one file in the making.
type copying struct {
	app    *app
	who    store.Person
	signer credential.Signer // of the sign-offs
	device credential.Signer // of the roster
	keys   []carriedKey      // the device's first
	seal   ledger.Seal
	leaves ledger.Leaves
	file   credential.Carried
}

func newEvidenceCopyCmd(a *app) *cobra.Command {
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "copy WORKER -o FILE",
		Short: "Write a worker's sign-offs in force to a file that they take along",
		Long: `Write the sign-offs that are in force, each as a W3C Verifiable Credential (eddsa-jcs-2022, did:key), for the worker to take along.
Who acts signs them with their own key; without one the key of this device does. Beside them stand whose keys these are (the
roster), and for each sign-off of this device's ledger a proof that it stands there. The file holds the worker's name and
those of who decided, and nothing of other workers. Whoever gets it runs: ringtrue evidence check FILE.`,
		Example: "  ringtrue evidence copy ana -o ana-sign-offs.json --as okafor",
		Args:    exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return usage("add -o FILE", "where to write: -o is missing")
			}
			k, err := a.copyEvidence(args[0], out, replace)
			if err != nil {
				return err
			}
			text, err := k.file.Write()
			if err == nil {
				err = a.writeOut(out, text, replace)
			}
			if err != nil {
				return err
			}
			return k.print(out)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (required)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there")
	return c
}

// inForce is a sign-off that counts.
type inForce struct {
	ref    training.Ref
	skill  string
	header ledger.Header
	record training.SignOff
}

func (a *app) copyEvidence(worker, out string, replace bool) (*copying, error) {
	if err := a.read(); err != nil {
		return nil, err
	}
	who, err := a.person(worker)
	if err != nil {
		return nil, err
	}
	list, err := a.inForce(who)
	if err != nil {
		return nil, err
	}
	if err := a.mayWrite(out, replace); err != nil {
		return nil, err
	}
	k := &copying{app: a, who: who}
	own, says, has, err := a.ownSigner(who, list)
	if err != nil {
		return nil, err
	}
	if err := a.device(out, replace); err != nil { // it may write the device's key, so nothing may be refused any more
		return nil, err
	}
	if k.seal, k.leaves, err = a.book.Seal(a.ctx); err != nil {
		return nil, err
	}
	if err := k.deviceSigner(); err != nil {
		return nil, err
	}
	if k.signer = k.device; has {
		k.signer, k.keys = own, append(k.keys, says)
	}
	return k, k.fill(list)
}

// inForce lists the sign-offs of a worker that count now.
func (a *app) inForce(who store.Person) (list []inForce, err error) {
	std, asked, err := a.standardsAsked(questionTimes{})
	if err != nil {
		return nil, err
	}
	topics, err := a.book.Facts(a.ctx, asked, who.ID)
	if err != nil {
		return nil, err
	}
	standings := standingsOf(topics, std, asked, nil)
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			st := standings[s.ID]
			if !st.Held() || st.SignOff == 0 {
				continue
			}
			one := inForce{ref: st.SignOff, skill: s.ID}
			if one.header, err = a.book.Entry(a.ctx, st.SignOff, &one.record); err != nil {
				return nil, err
			}
			list = append(list, one)
		}
	}
	if p, err := a.crew(); err != nil {
		return nil, err
	} else if _, named := p.byID[who.ID]; !named {
		return nil, refuse("a file to take along needs a name", "the name of %s was erased", who.ID)
	}
	if len(list) == 0 {
		return nil, refuse("see: ringtrue standing "+who.Handle, "%s has no sign-off in force", who.Name)
	}
	return list, nil
}

func (k *copying) fill(list []inForce) error {
	a := k.app
	k.file = credential.Carried{Format: credential.Format, Worker: credential.Bearer{Name: k.who.Name, Handle: k.who.Handle}, Head: string(k.seal.Text),
		Text: fmt.Sprintf("What one company saw up to %s; releases nobody elsewhere; a skill not listed was not signed off.", civil.Of(a.now(), a.book.Zone()))}
	if a.opening.Demo {
		k.file.Demo = demoMark
	}
	for _, one := range list {
		text, proof, err := k.signOff(one)
		if err != nil {
			return err
		}
		k.file.Credentials, k.file.Proofs = append(k.file.Credentials, text), append(k.file.Proofs, proof)
	}
	var err error
	k.file.Roster, err = k.issue(k.device, rosterType, a.now(), time.Time{}, map[string]any{"text": k.file.Text, "company": a.opening.Company, "keys": k.keys})
	return err
}

// signOff makes the credential of one sign-off and its proof.
func (k *copying) signOff(one inForce) (text []byte, proof string, err error) {
	a := k.app
	day := civil.Of(one.header.Happened, a.book.Zone())
	std, err := a.standards(a.knownNow(day))
	if err != nil {
		return nil, "", err
	}
	skill, module, err := std.skill(one.header.Skill)
	if err != nil {
		return nil, "", err
	}
	p, err := a.crew()
	if err != nil {
		return nil, "", err
	}
	says := carriedSkill{Demo: k.file.Demo, Worker: carriedWorker{k.who.ID, k.who.Name}, Company: a.opening.Company, Module: module.ID, ModuleTitle: module.Title,
		Skill: skill.ID, Title: skill.Title, Criteria: criteriaOf(skill), Edition: one.record.Edition, DecidedBy: p.named(one.header.By),
		Independence: one.record.Independence, Until: one.record.Until, Entry: a.book.Name(one.ref), Inclusion: proofNone,
		Withdrawals: fmt.Sprintf("entry %s", ledger.Ref(k.seal.Origin, k.seal.Size))}
	if one.header.Origin == a.book.Origin() {
		says.Inclusion = proofCarried
		if proof, err = k.prove(one.header.Seq); err != nil {
			return nil, "", err
		}
	}
	until, err := civil.Parse(one.record.Until)
	if err != nil {
		return nil, "", err
	}
	text, err = k.issue(k.signer, signOffType, one.header.Happened, (until - 1).End(a.book.Zone()), says)
	return text, proof, err
}

func criteriaOf(s training.Skill) []string {
	out := []string{}
	for _, c := range s.Criteria {
		text := c.Text
		if c.Critical {
			text += " (critical)"
		}
		out = append(out, text)
	}
	return out
}

// named gives the name of a person, or the id where there is none any more.
func (p *people) named(id string) string {
	if one, ok := p.byID[id]; ok {
		return one.Name
	}
	return id
}

func (k *copying) prove(seq int64) (string, error) {
	for row, err := range k.app.book.Rows(k.app.ctx, k.seal.Origin, seq, seq) {
		if err != nil {
			return "", err
		}
		p, err := ledger.Prove(k.leaves, seq, slices.Clone(row.Body), k.seal)
		return string(p.Format()), err
	}
	return "", refuse("see the whole extent: ringtrue book verify", "entry %d is gone", seq)
}

// issue signs one credential.
func (k *copying) issue(by credential.Signer, kind string, from, until time.Time, subject any) ([]byte, error) {
	o := map[string]any{"@context": credential.Contexts, "type": []string{"VerifiableCredential", kind}, "issuer": credential.DID(by.Public),
		"validFrom": from.Format(time.RFC3339), "credentialSubject": subject}
	if !until.IsZero() {
		o["validUntil"] = until.Format(time.RFC3339)
	}
	text, err := json.Marshal(o)
	if err != nil {
		return nil, err
	}
	return credential.Sign(text, by, k.app.now())
}

func (k *copying) print(out string) error {
	a, key := k.app, k.keys[len(k.keys)-1]
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/evidence-copy/1", "worker": k.who.ID, "file": out, "sign_offs": len(k.file.Credentials),
			"signed_by": key.Owner, "issuer": key.DID, "fingerprint": ledger.Fingerprint(key.Verifier), "head": ledger.Ref(k.seal.Origin, k.seal.Size), "text": k.file.Text})
	}
	a.mark()
	a.say("wrote %s of %s to %s, each a W3C Verifiable Credential", counted(len(k.file.Credentials), "sign-off"), k.who.Name, out)
	a.say("signed by %s, fingerprint of the key, to be told apart from the file: %s", key.Owner, ledger.Fingerprint(key.Verifier))
	a.say("withdrawals are known up to entry %s", ledger.Ref(k.seal.Origin, k.seal.Size))
	a.say("%s", k.file.Text)
	a.say("check it anywhere: ringtrue evidence check %s", out)
	return nil
}
