// Package sealed closes a private key with a passphrase and opens it again: bytes in, answer out.
//
// A sealed key is a file in the age format, version 1 (C2SP age), armoured, with a scrypt stanza and no other: any
// program that reads that format opens it with the passphrase. Inside stands one line, the private key as
// golang.org/x/mod/sumdb/note writes it: PRIVATE+KEY+NAME+ID+BASE64. Keys are closed with the work factor 17 and
// opened up to 20, which bounds what a strange file can make a reader do: 2^20 takes 1 GiB and some seconds.
//
// A passphrase is taken as typed, byte for byte. Accepted are phrases of 15 characters or more, without rules of
// composition (NIST SP 800-63B revision 4, §3.1.1.2: 15 where it is the only factor; read in a summary). Offered are
// five words drawn at random out of 7776, 64.6 bits.
package sealed

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"filippo.io/age"
	"filippo.io/age/armor"
)

// Work factors: scrypt with N = 2^factor, r = 8, p = 1 (C2SP age, "The scrypt recipient type").
const (
	Work    = 17 // for closing; opening took 0.35 s and 128 MiB on two cores (measured; company choice)
	MaxWork = 20 // beyond it a key is not opened (company choice)
)

// maxSealed and maxInside bound what is read, in bytes (company choice); a sealed key has about 450.
const (
	maxSealed = 4096
	maxInside = 1024
)

// Why a sealed key is not opened. What the library says of a file may quote it, and what stands in the place of a sealed
// key may be a private one, so its words go no further.
var (
	ErrPassphrase = errors.New("the passphrase does not open the key")
	ErrWork       = errors.New("the sealed key asks for more work than 2^20")
	ErrForm       = errors.New("what stands in the place of the sealed key is damaged, or none")
)

// Seal closes the writing of a private key. work is the work factor: Work, or less where only tests read the result.
func Seal(secret, passphrase string, work int) (armoured string, err error) {
	if work < 1 || work > MaxWork {
		return "", fmt.Errorf("seal a key: work factor %d, want 1 to %d", work, MaxWork)
	}
	to, err := age.NewScryptRecipient(passphrase)
	if err != nil {
		return "", fmt.Errorf("seal a key: %w", err)
	}
	to.SetWorkFactor(work)
	var text strings.Builder
	shell := armor.NewWriter(&text)
	inner, err := age.Encrypt(shell, to)
	if err != nil {
		return "", fmt.Errorf("seal a key: %w", err)
	}
	_, err = io.WriteString(inner, secret+"\n")
	if err = errors.Join(err, inner.Close(), shell.Close()); err != nil {
		return "", fmt.Errorf("seal a key: %w", err)
	}
	return text.String(), nil
}

// Open opens a sealed key. The error is ErrPassphrase where only the passphrase is wrong, as far as can be told; else it
// says what is wrong with the file.
func Open(armoured, passphrase string) (secret string, err error) {
	if len(armoured) > maxSealed {
		return "", ErrForm
	}
	with, err := age.NewScryptIdentity(passphrase)
	if err != nil {
		return "", ErrPassphrase // the empty phrase
	}
	with.SetMaxWorkFactor(MaxWork)
	inner, err := age.Decrypt(armor.NewReader(strings.NewReader(armoured)), with)
	if err != nil {
		return "", explain(err)
	}
	text, err := io.ReadAll(io.LimitReader(inner, maxInside+1))
	secret, ok := strings.CutSuffix(string(text), "\n")
	if err != nil || !ok || len(text) > maxInside || strings.ContainsAny(secret, "\r\n") {
		return "", ErrForm
	}
	return secret, nil
}

// explain tells the library's errors apart.
func explain(err error) error {
	none, ok := errors.AsType[*age.NoIdentityMatchError](err)
	switch {
	case ok && slices.Contains(none.StanzaTypes, "scrypt"):
		return ErrPassphrase
	case strings.Contains(err.Error(), "work factor too large"): // the library has no error of its own for it
		return ErrWork
	}
	return ErrForm
}
