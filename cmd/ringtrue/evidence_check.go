package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/credential"
	"example.org/ringtrue/training"
)

func newEvidenceCheckCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE",
		Short: "Check sign-offs that a worker brought along: who signed, what is known of the key, what cannot be known",
		Long: `Check a file that "evidence copy" wrote, without a network. A book is not needed; where there is one, it is asked whether it
knows the keys. Each sign-off is a W3C Verifiable Credential; the answer says of each whether its signature fits, whose key the
roster says it is, and whether its entry stands under the head carried along. A sound file releases nobody.

Exit status: 0 all sound; 3 anything refused; 1 the file cannot be read.`,
		Example: "  ringtrue evidence check ana-sign-offs.json",
		Args:    exactly(1, "FILE"),
		RunE: func(_ *cobra.Command, args []string) error {
			_ = a.read() // without a book no key is known, and the answer says so
			ans, err := a.checkCarried(args[0])
			if err != nil {
				return err
			}
			if a.json {
				err = a.printJSON(ans)
			} else {
				a.carriedText(ans)
			}
			if err == nil && ans.Refused > 0 {
				return answerNo()
			}
			return err
		},
	}
}

// carriedCheck is one file under check.
type carriedCheck struct {
	app    *app
	file   credential.Carried
	seal   ledger.Seal
	device string // verifier key of the device, as the roster names it
	keys   map[string]carriedKey
	worker carriedWorker   // of the first sound sign-off; the others must agree
	seen   map[string]bool // entries that sign-offs before this one name
	broken error           // what is wrong with head or roster
}

func (a *app) checkCarried(path string) (broughtAnswer, error) {
	ans := broughtAnswer{Format: "ringtrue/evidence-check/1", File: path, SignOffs: []broughtLine{}, Unknown: unknowable}
	text, err := readGiven(path, credential.MaxCarried)
	if err != nil {
		return ans, err
	}
	file, err := credential.ReadCarried(text)
	if err != nil {
		return ans, refuse("ask for the file again; ringtrue evidence copy writes it", "%s: %v", path, err)
	}
	sum := sha256.Sum256(text)
	c := carriedCheck{app: a, file: file, keys: map[string]carriedKey{}, seen: map[string]bool{}}
	c.broken = c.roster()
	ans.SHA256, ans.Invented = hex.EncodeToString(sum[:]), file.Demo != ""
	for i := range file.Credentials {
		line, says, err := c.one(i)
		ans.Invented = ans.Invented || says.Demo != ""
		if err != nil {
			line = broughtLine{Refused: err.Error()}
			ans.Refused++
		}
		ans.SignOffs = append(ans.SignOffs, line)
	}
	if c.broken == nil {
		ans.Head = ledger.Ref(c.seal.Origin, c.seal.Size)
	}
	if ans.Worker = c.worker.Name; c.broken == nil {
		ans.Text = file.Text
	}
	return ans, nil
}

// roster checks the credential that says whose the keys are, and the head: both are the device's.
func (c *carriedCheck) roster() error {
	r, err := credential.Verify(c.file.Roster)
	if err != nil {
		return fmt.Errorf("the roster: %w", err)
	}
	if !r.Is(rosterType) {
		return errors.New("the roster: it is another kind of credential")
	}
	var says struct {
		Text    string       `json:"text"`
		Company string       `json:"company"`
		Keys    []carriedKey `json:"keys"`
	}
	if err := subject(r, &says); err != nil {
		return fmt.Errorf("the roster: %w", err)
	}
	if says.Text != c.file.Text {
		return errors.New("the roster: the text of the file was changed")
	}
	if !r.ValidUntil.IsZero() && !c.app.now().Before(r.ValidUntil) {
		return fmt.Errorf("the roster: it ended on %s", r.ValidUntil.Format(time.RFC3339))
	}
	for _, k := range says.Keys {
		public, err := publicKey(k.Verifier)
		if err != nil || credential.DID(public) != k.DID {
			return errors.New("the roster: a key and its fingerprint are not the same")
		}
		if err := k.vouchedSo(); err != nil {
			return fmt.Errorf("the roster: %w", err)
		}
		if _, twice := c.keys[k.DID]; twice {
			return errors.New("the roster: a key stands in it twice")
		}
		c.keys[k.DID] = k
	}
	c.device = c.keys[r.Issuer].Verifier
	if c.device == "" {
		return errors.New("the roster: it does not name the key that signed it")
	}
	if c.seal, err = ledger.ReadSeal([]byte(c.file.Head), c.device); err == nil && c.seal.Verifier == "" {
		err = errors.New("it is not signed by the device that wrote the roster")
	}
	if err != nil {
		return fmt.Errorf("the head: %w", err)
	}
	return nil
}

// subject reads the subject of a checked credential. It must be spelled as we write it: no other names, no other capitals.
func subject(v credential.Credential, into any) error {
	if !plainText(v.Subject) {
		return errors.New("it holds line breaks or other control characters, which could make a screen say something else")
	}
	text, err := json.Marshal(v.Subject)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		return err
	}
	again, err := json.Marshal(into)
	if err != nil {
		return err
	}
	var back map[string]any
	if err := json.Unmarshal(again, &back); err != nil {
		return err
	}
	if !reflect.DeepEqual(back, v.Subject) {
		return errors.New("it holds other names than ringtrue writes")
	}
	return nil
}

// plainText reports whether no string within a JSON value holds a control character.
func plainText(v any) bool {
	switch v := v.(type) {
	case string:
		return strings.IndexFunc(v, unsafeToPrint) < 0
	case []any:
		return !slices.ContainsFunc(v, func(one any) bool { return !plainText(one) })
	case map[string]any:
		for name, one := range v {
			if !plainText(name) || !plainText(one) {
				return false
			}
		}
	}
	return true
}

// unsafeToPrint are characters that move the cursor, begin a command to the terminal or turn the direction of writing.
func unsafeToPrint(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }

// one checks one sign-off.
func (c *carriedCheck) one(i int) (line broughtLine, says carriedSkill, err error) {
	v, err := credential.Verify(c.file.Credentials[i])
	if err != nil {
		return line, says, err
	}
	if !v.Is(signOffType) {
		return line, says, errors.New("it is no sign-off of a skill")
	}
	if err := subject(v, &says); err != nil {
		return line, says, err
	}
	if c.broken != nil {
		return line, says, c.broken
	}
	key, ok := c.keys[v.Issuer]
	if !ok {
		return line, says, errors.New("the roster does not say whose key signed it")
	}
	known, err := c.known(v.Issuer)
	companyKey, companyKnown, unsaid := c.company(key)
	for _, check := range []func() error{
		func() error { return errors.Join(err, unsaid) },
		func() error { return dated(v, says.Until) },
		func() error { return ownKey(key, says.Worker) },
		func() error { return vouchedFor(key, signedOn(v), training.DutySign) },
		func() error { return c.sameWorker(says.Worker) },
		func() error { return c.included(v, says, c.file.Proofs[i]) },
		func() error { return c.once(says.Entry) },
	} {
		if err := check(); err != nil {
			return line, says, err
		}
	}
	return broughtLine{Sound: true, Skill: says.Skill, Title: says.Title, Module: says.Module, ModuleTitle: says.ModuleTitle, Company: says.Company,
		DecidedBy: says.DecidedBy, Independence: says.Independence, From: v.ValidFrom.Format(time.RFC3339), Until: says.Until,
		Over: !c.app.now().Before(v.ValidUntil), Entry: says.Entry, Inclusion: says.Inclusion, Signed: v.Created, Signer: key.Owner,
		Basis: key.Basis, Issuer: v.Issuer, Fingerprint: ledger.Fingerprint(key.Verifier), Known: known,
		CompanyKey: companyKey, CompanyKnown: companyKnown}, says, nil
}

// vouchedFor refuses a signature outside the days for which the company vouches for its key, or by a key that it does not
// vouch for in that duty.
func vouchedFor(key carriedKey, day, duty string) error {
	switch {
	case key.From == "": // nobody has vouched for it, and its basis says so
		return nil
	case day < key.From, key.Until != "" && day >= key.Until:
		return fmt.Errorf("signed on %s, and the company vouches for the key from %s until %s", day, key.From, orWord(key.Until, "further notice"))
	case !slices.Contains(key.Duties, duty):
		return fmt.Errorf("the company vouches for the key for %s, not for %s", strings.Join(key.Duties, ","), duty)
	}
	return nil
}

// signedOn is the day of signing where the sign-off was decided: its own time carries the offset of that place.
func signedOn(v credential.Credential) string {
	at, _ := time.Parse(time.RFC3339, v.Created) // Verify has read it
	return at.In(v.ValidFrom.Location()).Format(time.DateOnly)
}

// dated refuses dates left out, and an end that is not the one of the sign-off.
func dated(v credential.Credential, until string) error {
	switch {
	case v.ValidFrom.IsZero() || v.ValidUntil.IsZero():
		return errors.New("it does not say from when until when")
	case v.ValidUntil.Format(time.DateOnly) != until:
		return fmt.Errorf("it says that the sign-off ends on %.40q, and itself on %s", until, v.ValidUntil.Format(time.DateOnly))
	}
	return nil
}

// ownKey refuses what the worker signed about themselves: the name of a personal key begins with its owner's person id.
func ownKey(key carriedKey, worker carriedWorker) error {
	if strings.HasPrefix(key.Verifier, worker.ID+"/") {
		return errors.New("the worker's own key signed it, and nobody vouches for themselves")
	}
	return nil
}

// sameWorker demands that all sign-offs are of the one worker whose name stands on the file.
func (c *carriedCheck) sameWorker(w carriedWorker) error {
	if c.worker == (carriedWorker{}) && w.Name == c.file.Worker.Name && w.ID != "" {
		c.worker = w
	}
	if w != c.worker {
		return fmt.Errorf("it is of %.80q, and the file of %.80q", w.Name, c.file.Worker.Name)
	}
	return nil
}

// once refuses a sign-off that stands twice, which would look like two.
func (c *carriedCheck) once(entry string) error {
	if c.seen[entry] {
		return fmt.Errorf("it stands in the file already, as entry %s", entry)
	}
	c.seen[entry] = true
	return nil
}

// included checks that the entry stands under the head, and says the same as the credential.
func (c *carriedCheck) included(v credential.Credential, says carriedSkill, proof string) error {
	switch {
	case says.Inclusion == proofNone && proof == "":
		return nil
	case says.Inclusion != proofCarried:
		return fmt.Errorf("what it says of its proof is %.80q", says.Inclusion)
	}
	p, err := ledger.ReadProof([]byte(proof))
	if err != nil {
		return err
	}
	h, _, err := p.Check(c.device)
	var rec training.SignOff
	switch {
	case err != nil:
		return err
	case string(p.Seal) != c.file.Head:
		return errors.New("its proof leads to another head than the one carried along")
	}
	if err := ledger.Decode(h.Data, &rec); err != nil {
		return fmt.Errorf("its entry: %w", err)
	}
	if h.Kind != training.KindSignOff || h.Worker != says.Worker.ID || h.Skill != says.Skill || rec.Until != says.Until ||
		rec.Independence != says.Independence || ledger.Ref(h.Origin, h.Seq) != says.Entry || !h.Happened.Equal(v.ValidFrom) {
		return errors.New("its entry in the ledger says something else")
	}
	return nil
}

// known says what this book knows of a key; one that it knows to have ended is an error.
func (c *carriedCheck) known(did string) (string, error) {
	a := c.app
	if a.book == nil {
		return "no book here to ask whether the key is known", nil
	}
	keys, err := a.keyring()
	if err != nil {
		return "", err
	}
	for _, k := range keys.All() {
		if public, err := publicKey(k.Verifier); err == nil && credential.DID(public) == did {
			if at, over := keys.Ended(k.Name); over {
				return "", fmt.Errorf("this book knows that the key ended, by entry %s", ledger.Ref(at.Origin, at.Seq))
			}
			return "this book knows the key, as that of " + a.ownerOf(k), nil
		}
	}
	origins, err := a.book.Origins(a.ctx)
	for _, o := range origins {
		names, err := a.book.Verifiers(a.ctx, o)
		if err != nil {
			return "", err
		}
		for _, name := range names {
			if public, err := publicKey(name); err == nil && credential.DID(public) == did {
				return "this book knows the key, as that of the device " + o, nil
			}
		}
	}
	return "this book does not know the key", err
}
