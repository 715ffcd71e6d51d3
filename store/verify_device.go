package store

import (
	"context"
	"fmt"
	"slices"

	"example.org/ringtrue/store/ledger"
)

// What is said where the private key of a ledger is gone: others trust the first key of a ledger and no second one.
const (
	keyLost     = "the key with which this device seals is not in the book any more, and other devices trust no second one"
	keyLostNext = "go on under a ledger of its own: ringtrue book restore THIS-BOOK --book NEW"
)

const otherKeyNext = "ask who put that key there; hand out no seal until the book goes on from a backup: ringtrue book restore BACKUP"

// verifyDevice checks that the key with which this device seals is the one that its ledger names: with another one the
// next seal would look like somebody else's.
func (b *Book) verifyDevice(ctx context.Context, _ *sums, rep *Report) error {
	if b.zone == nil {
		return nil
	}
	_, verifier, ok, err := b.DeviceKey(ctx)
	if err != nil {
		return err
	}
	named, err := b.Verifiers(ctx, b.origin)
	if err != nil {
		return err
	}
	switch {
	case !ok && len(named) > 0 && b.version < keyVersion:
		rep.find(b.origin, ledger.Harmless, fmt.Sprintf("the book says that it is of version %d, and its ledger names a key, which came with version %d", b.version, keyVersion), "set it right: ringtrue book rebuild")
	case !ok && len(named) > 0:
		rep.find(b.origin, ledger.Harmless, keyLost, keyLostNext)
	case ok && !slices.Contains(named, verifier):
		rep.find(b.origin, ledger.NotTrusted, fmt.Sprintf("no entry of this device's ledger names the key with which it seals, fingerprint %s", ledger.Fingerprint(verifier)), otherKeyNext)
	}
	return nil
}
