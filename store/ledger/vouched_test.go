package ledger

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// vouchedBy makes the company's statement about a key as it is carried, signed with the company's key.
func vouchedBy(t *testing.T, seed byte, about, said string) Vouched {
	t.Helper()
	secret, company, err := NewPersonalKey("company", bytes.Repeat([]byte{seed}, 32))
	require.NoError(t, err)
	signer, err := OpenKey(secret, company)
	require.NoError(t, err)
	at := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	row, err := Encode(Entry{Origin: "o/one", Seq: 7, Kind: KindRoster, Happened: at, Recorded: at, By: "p2222222", Worker: "p3333333", Key: signer.Name(),
		Data: Roster{Key: "okafor/00000000", Verifier: said, Duties: []string{"sign"}, From: "2026-05-01", Basis: "read out by phone"}})
	require.NoError(t, err)
	row.Sig, err = SignEntry(row.Body, signer)
	require.NoError(t, err)
	return NewVouched(row, company)
}

func workersKey(t *testing.T, seed byte) string {
	t.Helper()
	_, verifier, err := NewPersonalKey("okafor", bytes.Repeat([]byte{seed}, 32))
	require.NoError(t, err)
	return verifier
}

func TestWhatTheCompanySignedAboutAKey(t *testing.T) {
	about := workersKey(t, 3)
	v := vouchedBy(t, 1, about, about)
	says, err := v.Check(about)
	require.NoError(t, err)
	require.Equal(t, []string{"sign"}, says.Duties)
	require.Equal(t, "2026-05-01", says.From)

	_, err = v.Check(workersKey(t, 4))
	require.ErrorContains(t, err, "about another key")

	other := vouchedBy(t, 2, about, about)
	for name, forged := range map[string]Vouched{
		"another company's key":  {v.Entry, v.Signature, other.CompanyKey},
		"another's signature":    {v.Entry, other.Signature, v.CompanyKey},
		"longer duties":          {strings.Replace(v.Entry, `["sign"]`, `["sign","teach"]`, 1), v.Signature, v.CompanyKey},
		"no signature":           {v.Entry, "", v.CompanyKey},
		"a line more":            {v.Entry, v.Signature + "\n" + v.Signature, v.CompanyKey},
		"no key":                 {v.Entry, v.Signature, "company"},
		"no entry":               {"{}", v.Signature, v.CompanyKey},
		"a blank in its writing": {strings.Replace(v.Entry, `:`, `: `, 1), v.Signature, v.CompanyKey},
	} {
		_, err := forged.Check(about)
		require.Error(t, err, name)
	}
}

func TestEveryChangedByteOfAVouchedStatementIsFound(t *testing.T) {
	about := workersKey(t, 3)
	v := vouchedBy(t, 1, about, about)
	for i := range v.Entry {
		changed := v
		changed.Entry = v.Entry[:i] + string(v.Entry[i]^1) + v.Entry[i+1:]
		_, err := changed.Check(about)
		require.Error(t, err, "byte %d of the entry", i)
	}
	for i := range v.Signature {
		changed := v
		changed.Signature = v.Signature[:i] + string([]byte{v.Signature[i] ^ 1}) + v.Signature[i+1:]
		_, err := changed.Check(about)
		require.Error(t, err, "byte %d of the signature", i)
	}
}
