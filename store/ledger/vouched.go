package ledger

import (
	"errors"
	"fmt"
	"strings"

	"golang.org/x/mod/sumdb/note"
)

// Vouched is the company's statement about a key as it travels without its book: the exact bytes of the roster entry,
// the signature line beside it without its end of line, and the verifier key of the company. It proves that whoever
// holds the company's key said this; whose that key is, only a fingerprint told another way shows.
type Vouched struct {
	Entry      string `json:"entry"`
	Signature  string `json:"signature"`
	CompanyKey string `json:"companyKey"`
}

// NewVouched takes the statement out of its row.
func NewVouched(row Row, company string) Vouched {
	return Vouched{Entry: string(row.Body), Signature: strings.TrimSuffix(string(row.Sig), "\n"), CompanyKey: company}
}

// Check reads the statement, after making sure that the company's key signed it and that it is about the verifier key given.
func (v Vouched) Check(verifier string) (says Roster, err error) {
	key, err := note.NewVerifier(v.CompanyKey)
	if err != nil {
		return says, fmt.Errorf("the company's key: %w", err)
	}
	h, err := ReadHeader([]byte(v.Entry))
	switch {
	case err != nil:
		return says, fmt.Errorf("the company's statement: %w", err)
	case h.Kind != KindRoster || h.Key != key.Name():
		return says, fmt.Errorf("the company's statement is none, or not of key %s", key.Name())
	}
	if err := CheckSignature([]byte(v.Entry), []byte(v.Signature+"\n"), key); err != nil {
		return says, fmt.Errorf("the company's statement: %w", err)
	}
	if err = Decode(h.Data, &says); err == nil && says.Verifier != verifier {
		err = errors.New("the company's statement is about another key")
	}
	return says, err
}
