package ledger

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"golang.org/x/mod/sumdb/note"
)

// A signed entry is a C2SP signed note whose text is the entry's exact bytes and a newline. What is stored beside the
// entry is the note's signature line alone: "— NAME BASE64", a newline, where BASE64 holds the four bytes of the key id
// and the 64 bytes of the Ed25519 signature (C2SP signed-note; RFC 8032).

// Signer is an open private key.
type Signer = note.Signer

// NewPersonalKey makes a key from 32 random bytes. Its name is OWNER/ and eight hex digits of the SHA-256 of the public
// key, so that keys of one owner differ by name. secret is the note's own writing of the private key, verifier of the
// public one. An owner's name has no spaces and no plus (C2SP signed-note).
func NewPersonalKey(owner string, seed []byte) (secret, verifier string, err error) {
	if len(seed) != ed25519.SeedSize {
		return "", "", fmt.Errorf("make a key: %d random bytes, want %d", len(seed), ed25519.SeedSize)
	}
	public := ed25519.NewKeyFromSeed(seed).Public().(ed25519.PublicKey)
	sum := sha256.Sum256(public)
	name := owner + "/" + hex.EncodeToString(sum[:4])
	if verifier, err = VerifierOf(name, seed); err != nil {
		return "", "", fmt.Errorf("make a key: %w", err)
	}
	id := strings.Split(verifier, "+")[1]
	secret = fmt.Sprintf("PRIVATE+KEY+%s+%s+%s", name, id, base64.StdEncoding.EncodeToString(append([]byte{algEd25519}, seed...)))
	return secret, verifier, nil
}

// OpenKey turns the writing of a private key into a signer, and makes sure that it is the one whose verifier key is
// known.
func OpenKey(secret, verifier string) (Signer, error) {
	s, err := note.NewSigner(secret)
	if err != nil {
		return nil, fmt.Errorf("read a private key: %w", err)
	}
	v, err := note.NewVerifier(verifier)
	if err != nil {
		return nil, fmt.Errorf("verifier key %q: %w", verifier, err)
	}
	trial := []byte("trial\n")
	sig, err := s.Sign(trial)
	if err != nil || s.Name() != v.Name() || !v.Verify(trial, sig) {
		return nil, fmt.Errorf("the private key is not the one of %s", v.Name())
	}
	return s, nil
}

// SignEntry gives the signature line of an entry's bytes.
func SignEntry(body []byte, by Signer) ([]byte, error) {
	text := string(body) + "\n"
	signed, err := note.Sign(&note.Note{Text: text}, by)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	return signed[len(text)+1:], nil // text, an empty line, the signature line
}

// The ways in which a signature can fail.
var (
	errSigForm  = errors.New("what stands in place of its signature is none")
	errSigOther = errors.New("its signature is not of the key it names")
	errSigWrong = errors.New("its signature does not fit its bytes")
)

// CheckSignature reports whether sig is the signature line of an entry's bytes by a key, exactly as SignEntry writes it:
// one line, nothing before or behind it, no other spelling.
func CheckSignature(body, sig []byte, by note.Verifier) error {
	text := string(body) + "\n"
	signed, err := note.Open([]byte(text+"\n"+string(sig)), note.VerifierList(by))
	var unknown *note.UnverifiedNoteError
	var wrong *note.InvalidSignatureError
	switch {
	case errors.As(err, &unknown):
		return errSigOther
	case errors.As(err, &wrong):
		return errSigWrong
	case err != nil, signed.Text != text, len(signed.Sigs) != 1:
		return errSigForm
	}
	// Base64 leaves some bits unused, and a note may repeat a signature: only one spelling is taken.
	if s := signed.Sigs[0]; string(sig) != "— "+s.Name+" "+s.Base64+"\n" || !strict(s.Base64) {
		return errSigForm
	}
	return nil
}

func strict(text string) bool {
	_, err := base64.StdEncoding.Strict().DecodeString(text)
	return err == nil
}
