package credential

import (
	"fmt"
	"math/big"
	"strings"
)

// alphabet of base58-btc (Multibase, prefix z, as the Recommendation uses it): no 0, O, I, l.
const alphabet = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"

// maxBase58 bounds what is read: the work grows with the square of the length (company choice; a signature has 88).
const maxBase58 = 128

// encode writes bytes in base58-btc behind the prefix z; leading zero bytes become leading ones.
func encode(b []byte) string {
	n, rest := new(big.Int).SetBytes(b), new(big.Int)
	base := big.NewInt(int64(len(alphabet)))
	var digits []byte
	for n.Sign() > 0 {
		n.DivMod(n, base, rest)
		digits = append(digits, alphabet[rest.Int64()])
	}
	for _, c := range b {
		if c != 0 {
			break
		}
		digits = append(digits, alphabet[0])
	}
	for i, j := 0, len(digits)-1; i < j; i, j = i+1, j-1 {
		digits[i], digits[j] = digits[j], digits[i]
	}
	return "z" + string(digits)
}

// decode reads base58-btc behind the prefix z into exactly size bytes.
func decode(text string, size int) ([]byte, error) {
	digits, ok := strings.CutPrefix(text, "z")
	if !ok || len(text) > maxBase58 {
		return nil, fmt.Errorf("%.40q is not base58 behind a z", text)
	}
	n, base := new(big.Int), big.NewInt(int64(len(alphabet)))
	for i := range len(digits) {
		d := strings.IndexByte(alphabet, digits[i])
		if d < 0 {
			return nil, fmt.Errorf("%.40q is not base58 behind a z", text)
		}
		n.Add(n.Mul(n, base), big.NewInt(int64(d)))
	}
	if n.BitLen() > 8*size {
		return nil, fmt.Errorf("%.40q has more than %d bytes", text, size)
	}
	b := n.FillBytes(make([]byte, size))
	if encode(b) != text { // another spelling, or fewer bytes
		return nil, fmt.Errorf("%.40q has not %d bytes", text, size)
	}
	return b, nil
}
