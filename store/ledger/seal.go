package ledger

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/mod/sumdb/note"
)

// A seal is a head signed by the device whose ledger it is: a C2SP tlog-checkpoint (commit 5ba5ee8), which is a C2SP
// signed note over three lines, origin, size in decimal and root in base64. The key name is the origin.
//
// A seal shows that this key stood behind this head. It does not show that an entry is true, that nothing was left
// out, or that the clock was right.

// MaxSeal bounds the text of a seal that is read, in bytes. Ours have about 200 (company choice).
const MaxSeal = 16 << 10

const algEd25519 = 1 // C2SP signed-note, signature types

// Seal is a seal as read. Verifier is the known key whose signature was checked, "" where none of the keys known
// signed it: then the seal is only what somebody wrote down.
type Seal struct {
	Head
	Text     []byte // the whole note
	Verifier string
}

// NewKey draws the key of a device from random: its 32-byte seed, and the verifier key that others check seals by.
func NewKey(origin string, random io.Reader) (seed []byte, verifier string, err error) {
	seed = make([]byte, ed25519.SeedSize)
	if _, err := io.ReadFull(random, seed); err != nil {
		return nil, "", fmt.Errorf("draw a key: %w", err)
	}
	verifier, err = VerifierOf(origin, seed)
	return seed, verifier, err
}

// VerifierOf gives the verifier key that belongs to a seed, as NAME+HASH+KEY.
func VerifierOf(origin string, seed []byte) (string, error) {
	if len(seed) != ed25519.SeedSize {
		return "", fmt.Errorf("the key of %s has %d bytes, not %d", origin, len(seed), ed25519.SeedSize)
	}
	if err := sealable(origin); err != nil {
		return "", err
	}
	public := ed25519.NewKeyFromSeed(seed).Public().(ed25519.PublicKey)
	return note.NewEd25519VerifierKey(origin, public)
}

// sealable reports why a ledger of this name could not be sealed: C2SP signed-note allows no spaces and no plus.
func sealable(origin string) error {
	if origin == "" || strings.Contains(origin, "+") || strings.IndexFunc(origin, unicode.IsSpace) >= 0 {
		return fmt.Errorf("a ledger named %q cannot be sealed: the name is empty or has a space or a plus", origin)
	}
	return nil
}

// Sign makes the seal of a head.
func Sign(h Head, seed []byte) (Seal, error) {
	verifier, err := VerifierOf(h.Origin, seed)
	if err != nil {
		return Seal{}, err
	}
	_, rest, _ := strings.Cut(verifier, "+")
	hash, _, _ := strings.Cut(rest, "+")
	secret := base64.StdEncoding.EncodeToString(append([]byte{algEd25519}, seed...))
	signer, err := note.NewSigner("PRIVATE+KEY+" + h.Origin + "+" + hash + "+" + secret)
	if err != nil {
		return Seal{}, fmt.Errorf("sign for %s: %w", h.Origin, err)
	}
	text, err := note.Sign(&note.Note{Text: checkpoint(h)}, signer)
	return Seal{h, text, verifier}, err
}

// checkpoint is the text that is signed.
func checkpoint(h Head) string {
	return fmt.Sprintf("%s\n%d\n%s\n", h.Origin, h.Size, base64.StdEncoding.EncodeToString(h.Root[:]))
}

// ReadSeal reads a seal and checks it against the verifier keys known. A wrong signature by a known key is an error;
// signatures by other keys are passed over.
func ReadSeal(text []byte, known ...string) (Seal, error) {
	if len(text) > MaxSeal {
		return Seal{}, fmt.Errorf("read the seal: %d bytes, more than the %d allowed", len(text), MaxSeal)
	}
	verifiers, err := parseVerifiers(known)
	if err != nil {
		return Seal{}, err
	}
	n, err := note.Open(text, note.VerifierList(verifiers...))
	if unknown, ok := errors.AsType[*note.UnverifiedNoteError](err); ok {
		n, err = unknown.Note, nil
	}
	if err != nil {
		return Seal{}, fmt.Errorf("read the seal: %w", err)
	}
	head, err := parseCheckpoint(n.Text)
	if err != nil {
		return Seal{}, fmt.Errorf("read the seal: %w", err)
	}
	return Seal{head, text, signedBy(n, head.Origin, known)}, nil
}

func parseVerifiers(known []string) (list []note.Verifier, err error) {
	seen := map[string]bool{}
	for _, k := range known {
		if seen[k] {
			continue
		}
		seen[k] = true
		v, err := note.NewVerifier(k)
		if err != nil {
			return nil, fmt.Errorf("%q is not a verifier key: %w", k, err)
		}
		list = append(list, v)
	}
	return list, nil
}

// signedBy gives the known key under whose name, which must be the ledger's, a checked signature stands.
func signedBy(n *note.Note, origin string, known []string) string {
	for _, s := range n.Sigs {
		for _, k := range known {
			if strings.HasPrefix(k, fmt.Sprintf("%s+%08x+", s.Name, s.Hash)) && s.Name == origin {
				return k
			}
		}
	}
	return ""
}

var errCheckpoint = errors.New("it does not hold origin, size and root, each on a line of its own")

func parseCheckpoint(text string) (h Head, err error) {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) < 3 {
		return h, errCheckpoint
	}
	for _, extension := range lines[3:] { // allowed, and not asked for
		if extension == "" {
			return h, errCheckpoint
		}
	}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	if err != nil || size < 0 || strconv.FormatInt(size, 10) != lines[1] {
		return h, fmt.Errorf("%q is not a size", lines[1])
	}
	root, err := base64.StdEncoding.Strict().DecodeString(lines[2])
	if err != nil || len(root) != len(h.Root) || lines[0] == "" {
		return h, errCheckpoint
	}
	h.Origin, h.Size = lines[0], size
	copy(h.Root[:], root)
	return h, nil
}

// Line is the signature line of a seal by its own ledger's key, without its line break: one value for one cell.
func (s Seal) Line() string {
	_, lines, _ := strings.Cut(string(s.Text), "\n\n")
	for line := range strings.Lines(lines) {
		if strings.HasPrefix(line, "— "+s.Origin+" ") {
			return strings.TrimSuffix(line, "\n")
		}
	}
	return ""
}

// JoinSeal puts a seal together again from a head and a signature line that were kept apart.
func JoinSeal(h Head, line string) []byte { return []byte(checkpoint(h) + "\n" + line + "\n") }

// Fingerprint is what people compare of a verifier key: the first 64 bits of the SHA-256 of its text in hex, in
// groups of four.
func Fingerprint(verifier string) string {
	sum := sha256.Sum256([]byte(verifier))
	text := hex.EncodeToString(sum[:8])
	return text[:4] + " " + text[4:8] + " " + text[8:12] + " " + text[12:]
}

// ParseRoot reads a root or leaf hash in hex.
func ParseRoot(text string) (root [32]byte, err error) {
	b, err := hex.DecodeString(text)
	if err != nil || len(b) != len(root) {
		return root, fmt.Errorf("%q is not a hash: 64 hex digits", text)
	}
	copy(root[:], b)
	return root, nil
}
