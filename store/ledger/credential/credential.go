// Package credential writes and checks W3C Verifiable Credentials 2.0 (Recommendation, 15 May 2025) that carry one
// embedded proof of the suite eddsa-jcs-2022 (Data Integrity EdDSA Cryptosuites 1.0, 15 May 2025) by a key written as
// a did:key: bytes in, answer out, nothing fetched.
//
// Signed are SHA-256 of the proof options and SHA-256 of the document, each in the canonical form of RFC 8785. Verify
// is narrower than the Recommendations: one proof, its contexts equal to the document's; the issuer is the key that
// signed; JSON names once, in no other capitals; integers only; dates with offset, the first not after the last; no
// status list, which would need a network. It says which key signed. It says nothing of who holds the key, who may
// sign, whether the claim is true, or whether it was withdrawn since.
//
// Carried holds several of them, with proofs of inclusion as text; see there.
package credential

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"time"
)

// Contexts of every credential we write: the base, and last the one for words that no context defines (VC Data Model
// 2.0 §4.3, and its note on undefined terms).
var Contexts = []string{"https://www.w3.org/ns/credentials/v2", "https://www.w3.org/ns/credentials/undefined-terms/v2"}

// MaxCredential bounds one credential, in bytes (company choice; ours have about 2000).
const MaxCredential = 64 << 10

// Credential is one that was checked.
type Credential struct {
	Issuer     string // did:key
	Key        ed25519.PublicKey
	Created    string // when it was signed, on the signer's own word
	Types      []string
	ValidFrom  time.Time // zero = not said; about the claim, not about the signature
	ValidUntil time.Time
	Subject    map[string]any
}

// Verify checks one signed credential.
func Verify(text []byte) (Credential, error) {
	c, err := verify(text)
	if err != nil {
		return Credential{}, fmt.Errorf("check a credential: %w", err)
	}
	return c, nil
}

func verify(text []byte) (c Credential, err error) {
	if len(text) > MaxCredential {
		return c, fmt.Errorf("%d bytes, more than the %d allowed", len(text), MaxCredential)
	}
	o, err := object(text)
	if err != nil {
		return c, err
	}
	p, err := checkProof(o)
	if err != nil {
		return c, err
	}
	if p.document["issuer"] != p.did {
		return c, fmt.Errorf("the issuer is %.80q, but the key of %s signed", words(p.document["issuer"]), p.did)
	}
	c = Credential{Issuer: p.did, Key: p.key, Created: p.created}
	return c, c.read(p.document)
}

func (c *Credential) read(o map[string]any) (err error) {
	contexts, ok := o["@context"].([]any)
	if !ok || len(contexts) == 0 || contexts[0] != Contexts[0] {
		return fmt.Errorf("its first context is not %s", Contexts[0])
	}
	types, _ := o["type"].([]any)
	for _, t := range types {
		c.Types = append(c.Types, words(t))
	}
	if !c.Is("VerifiableCredential") {
		return errors.New("its type is not VerifiableCredential")
	}
	if c.Subject, ok = o["credentialSubject"].(map[string]any); !ok || len(c.Subject) == 0 {
		return errors.New("it has not one subject")
	}
	if _, has := o["credentialStatus"]; has {
		return errors.New("it names a status list, which cannot be read offline")
	}
	return c.readDates(o)
}

func (c *Credential) readDates(o map[string]any) (err error) {
	for name, into := range map[string]*time.Time{"validFrom": &c.ValidFrom, "validUntil": &c.ValidUntil} {
		if v, has := o[name]; has {
			if *into, err = moment(v); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
		}
	}
	if !c.ValidUntil.IsZero() && c.ValidUntil.Before(c.ValidFrom) {
		return errors.New("it ends before it begins")
	}
	return nil
}

// Is reports whether the credential has a type.
func (c Credential) Is(name string) bool {
	for _, t := range c.Types {
		if t == name {
			return true
		}
	}
	return false
}

// moment reads a date and time with its offset.
func moment(v any) (time.Time, error) {
	t, err := time.Parse(time.RFC3339, words(v))
	if err != nil {
		return t, fmt.Errorf("%.40q is not a date and time with offset", words(v))
	}
	return t, nil
}
