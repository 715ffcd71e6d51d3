package credential

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// Format names the carried file: one JSON object with the names of Carried.
const Format = "ringtrue/credentials/1"

// Limits of a carried file (company choice; one sign-off takes about 4 kB).
const (
	MaxCarried     = 8 << 20
	MaxCredentials = 1000
)

// Carried is what a worker takes along: their sign-offs, the credential that says whose the signing keys are, and for
// each sign-off the text of a proof that its entry stands in the ledger, "" where that is another device's.
type Carried struct {
	Demo        string            `json:"demo,omitempty"` // the mark of an invented book
	Format      string            `json:"format"`
	Text        string            `json:"text"`
	Worker      Bearer            `json:"worker"`
	Credentials []json.RawMessage `json:"credentials"`
	Roster      json.RawMessage   `json:"roster"`
	Proofs      []string          `json:"proofs"` // one per credential, in order
	Head        string            `json:"head"`   // the seal of the ledger then
}

// Bearer is who carries the file. Nothing signs these words: the credentials repeat them.
type Bearer struct {
	Name   string `json:"name"`
	Handle string `json:"handle"`
}

// Write gives the file.
func (c Carried) Write() ([]byte, error) {
	text, err := json.MarshalIndent(c, "", " ")
	if err != nil {
		return nil, fmt.Errorf("write credentials: %w", err)
	}
	return append(text, '\n'), nil
}

// ReadCarried reads a carried file. It checks the form only: unknown names and names in other capitals are refused.
func ReadCarried(text []byte) (c Carried, err error) {
	if len(text) > MaxCarried {
		return c, fmt.Errorf("read credentials: %d bytes, more than the %d allowed", len(text), MaxCarried)
	}
	o, err := object(text)
	if err != nil {
		return c, fmt.Errorf("read credentials: %w", err)
	}
	if err := knownNames(o, "demo", "format", "text", "worker", "credentials", "roster", "proofs", "head"); err != nil {
		return c, fmt.Errorf("read credentials: %w", err)
	}
	if o["format"] != Format {
		return c, fmt.Errorf("read credentials: its format is %.40q, not %s", words(o["format"]), Format)
	}
	if worker, ok := o["worker"].(map[string]any); ok {
		err = knownNames(worker, "name", "handle")
	}
	if err == nil {
		err = json.Unmarshal(text, &c)
	}
	switch {
	case err != nil:
	case len(c.Credentials) == 0 || len(c.Credentials) > MaxCredentials:
		err = fmt.Errorf("%d credentials, want 1 to %d", len(c.Credentials), MaxCredentials)
	case len(c.Proofs) != len(c.Credentials):
		err = fmt.Errorf("%d proofs for %d credentials", len(c.Proofs), len(c.Credentials))
	case len(c.Roster) == 0 || c.Head == "":
		err = errors.New("the roster or the head is missing")
	}
	if err != nil {
		return Carried{}, fmt.Errorf("read credentials: %w", err)
	}
	return c, nil
}

func knownNames(o map[string]any, names ...string) error {
	var strange []string
	for name := range o {
		known := false
		for _, n := range names {
			known = known || n == name
		}
		if !known {
			strange = append(strange, fmt.Sprintf("%.40q", name))
		}
	}
	if strange != nil {
		return fmt.Errorf("unknown names: %s", strings.Join(strange, ", "))
	}
	return nil
}
