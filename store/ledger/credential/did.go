package credential

import (
	"crypto/ed25519"
	"errors"
	"fmt"
	"strings"
)

const didKey = "did:key:"

// multicodec of an Ed25519 public key: 0xed as the two bytes of a varint (did:key draft 2025-11-02, "Ed25519").
var multicodec = [2]byte{0xed, 0x01}

// DID writes an Ed25519 public key as a did:key.
func DID(key ed25519.PublicKey) string { return didKey + encode(append(multicodec[:], key...)) }

// Key reads the public key of a did:key; any other method, key type, length or spelling is an error.
func Key(did string) (ed25519.PublicKey, error) {
	text, ok := strings.CutPrefix(did, didKey)
	if !ok {
		return nil, fmt.Errorf("%.80q is not a did:key", did)
	}
	b, err := decode(text, len(multicodec)+ed25519.PublicKeySize)
	if err != nil {
		return nil, fmt.Errorf("read a did:key: %w", err)
	}
	if [2]byte(b) != multicodec {
		return nil, errors.New("read a did:key: it is not an Ed25519 key")
	}
	return ed25519.PublicKey(b[len(multicodec):]), nil
}

// method is the verification method of a key: its DID, and behind # the same value again.
func method(did string) string { return did + "#" + strings.TrimPrefix(did, didKey) }
