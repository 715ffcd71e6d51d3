package credential

import (
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"strings"
	"time"
)

// Words of a proof (Data Integrity EdDSA Cryptosuites 1.0, 15 May 2025, §2.2.1 and §3.3).
const (
	proofType = "DataIntegrityProof"
	suite     = "eddsa-jcs-2022"
	purpose   = "assertionMethod"
)

// Signer signs 64 bytes with an Ed25519 key.
type Signer struct {
	Public ed25519.PublicKey
	Sign   func(message []byte) ([]byte, error)
}

// hashes gives SHA-256 of the canonical proof options and of the canonical document, in the order in which they are
// signed (§3.3.4).
func hashes(document, options map[string]any) ([]byte, error) {
	d, err := canonical(document)
	if err != nil {
		return nil, fmt.Errorf("write the document canonically: %w", err)
	}
	o, err := canonical(options)
	if err != nil {
		return nil, fmt.Errorf("write the proof options canonically: %w", err)
	}
	do, dd := sha256.Sum256(o), sha256.Sum256(d)
	return append(do[:], dd[:]...), nil
}

// Sign adds a proof to a document that has none and gives it in canonical form. created is the signer's own word.
func Sign(document []byte, by Signer, created time.Time) ([]byte, error) {
	o, err := object(document)
	if err != nil {
		return nil, fmt.Errorf("sign a credential: %w", err)
	}
	if _, has := o["proof"]; has {
		return nil, errors.New("sign a credential: it has a proof already")
	}
	options := map[string]any{"type": proofType, "cryptosuite": suite, "created": created.UTC().Format(time.RFC3339),
		"verificationMethod": method(DID(by.Public)), "proofPurpose": purpose, "@context": o["@context"]}
	message, err := hashes(o, options)
	if err != nil {
		return nil, fmt.Errorf("sign a credential: %w", err)
	}
	sig, err := by.Sign(message)
	if err != nil {
		return nil, fmt.Errorf("sign a credential: %w", err)
	}
	if !ed25519.Verify(by.Public, message, sig) {
		return nil, errors.New("sign a credential: the signature is not of the key named")
	}
	options["proofValue"] = encode(sig)
	o["proof"] = options
	return canonical(o)
}

// proven is a document whose proof was checked.
type proven struct {
	document map[string]any // without the proof
	did      string
	key      ed25519.PublicKey
	created  string
}

// checkProof checks the proof of a document, and nothing else of it.
func checkProof(o map[string]any) (p proven, err error) {
	proof, ok := o["proof"].(map[string]any)
	if !ok {
		return p, errors.New("it has not one proof, an object; a list is not taken")
	}
	p.document, p.created = maps.Clone(o), words(proof["created"])
	delete(p.document, "proof")
	if err := rightKind(proof, p.document["@context"]); err != nil {
		return p, err
	}
	p.did, _, _ = strings.Cut(words(proof["verificationMethod"]), "#")
	if p.key, err = Key(p.did); err != nil {
		return p, err
	}
	if proof["verificationMethod"] != method(p.did) {
		return p, errors.New("the verification method does not repeat the value of its did:key")
	}
	sig, err := decode(words(proof["proofValue"]), ed25519.SignatureSize)
	if err != nil {
		return p, fmt.Errorf("the proof value: %w", err)
	}
	options := maps.Clone(proof)
	delete(options, "proofValue")
	message, err := hashes(p.document, options)
	if err != nil {
		return p, err
	}
	if !ed25519.Verify(p.key, message, sig) {
		return p, errors.New("the signature does not fit: the text was changed, or another key signed it")
	}
	return p, nil
}

// rightKind checks each field of a proof by itself. The contexts must be equal: the suite would take contexts added
// behind after signing (§3.3.2 step 4), which change what the words mean.
func rightKind(proof map[string]any, context any) error {
	switch {
	case proof["type"] != proofType:
		return fmt.Errorf("the type of the proof is %.40q, not %s", words(proof["type"]), proofType)
	case proof["cryptosuite"] != suite:
		return fmt.Errorf("the suite of the proof is %.40q, not %s", words(proof["cryptosuite"]), suite)
	case proof["proofPurpose"] != purpose:
		return fmt.Errorf("the purpose of the proof is %.40q, not %s", words(proof["proofPurpose"]), purpose)
	case !reflect.DeepEqual(proof["@context"], context):
		return errors.New("the contexts of the proof and of the document differ")
	}
	if _, err := moment(proof["created"]); err != nil {
		return fmt.Errorf("created: %w", err)
	}
	for name := range proof {
		switch name {
		case "type", "cryptosuite", "proofPurpose", "@context", "created", "verificationMethod", "proofValue":
		default:
			return fmt.Errorf("the proof holds %.40q, which is not taken", name)
		}
	}
	return nil
}

func words(v any) string { s, _ := v.(string); return s }
