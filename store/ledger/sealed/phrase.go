package sealed

import (
	"crypto/rand"
	"fmt"
	"io"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Passphrases.
const (
	MinPhrase = 15   // characters; NIST SP 800-63B revision 4, §3.1.1.2 (read in a summary)
	MaxPhrase = 1024 // bytes (company choice)
	offered   = 5    // words: 5 log2(7776) = 64.6 bits (company choice)
)

// Acceptable says why a new passphrase is not taken, or nil. Spaces count, capitals, digits and signs are not asked for.
func Acceptable(phrase string) error {
	n := utf8.RuneCountInString(phrase)
	switch {
	case n < MinPhrase:
		return fmt.Errorf("the passphrase has %d characters, fewer than %d", n, MinPhrase)
	case len(phrase) > MaxPhrase:
		return fmt.Errorf("the passphrase has %d bytes, more than %d", len(phrase), MaxPhrase)
	case strings.IndexFunc(phrase, unicode.IsControl) >= 0:
		return fmt.Errorf("the passphrase holds characters that cannot be typed, such as a tab")
	}
	return nil
}

// Offer draws five words, parted by spaces. random is read until the draw is even.
func Offer(random io.Reader) (string, error) {
	var words []string
	for range offered {
		n, err := rand.Int(random, big.NewInt(int64(len(firsts)*len(seconds))))
		if err != nil {
			return "", fmt.Errorf("draw words: %w", err)
		}
		i := int(n.Int64())
		words = append(words, firsts[i/len(seconds)]+seconds[i%len(seconds)])
	}
	return strings.Join(words, " "), nil
}
