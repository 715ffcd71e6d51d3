package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/credential"
)

// signedAnew changes a credential and has it signed again: what whoever holds the key of a device can do.
func signedAnew(t *testing.T, text []byte, by credential.Signer, from, to string) json.RawMessage {
	t.Helper()
	var o map[string]any
	require.NoError(t, json.Unmarshal(text, &o))
	delete(o, "proof")
	o["issuer"] = credential.DID(by.Public)
	plain, err := json.Marshal(o)
	require.NoError(t, err)
	require.Contains(t, string(plain), from)
	out, err := credential.Sign([]byte(strings.Replace(string(plain), from, to, 1)), by, time.Date(2026, 5, 6, 18, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	return out
}

func deviceSignerOf(t *testing.T, path string) credential.Signer {
	t.Helper()
	b, err := store.Open(t.Context(), path, store.ForReading)
	require.NoError(t, err)
	seed, _, ok, err := b.DeviceKey(t.Context())
	require.NoError(t, err)
	require.True(t, ok)
	require.NoError(t, b.Close())
	return seedSigner(seed)
}

// A device that signs what its own ledger does not say is found out by the entry under its seal.
func TestADeviceCannotSayOtherwiseThanItsLedger(t *testing.T) {
	file, book := broughtFrom(t, "2026-05-06T10:00")
	device := deviceSignerOf(t, book)
	code, said := checkedAlone(t, file)
	require.Equal(t, exitDone, code, said)
	for _, c := range []struct {
		roster        bool
		from, to, why string
	}{
		{false, `"validFrom":"2026-05-06T`, `"validFrom":"2020-05-06T`, "its entry in the ledger says something else"},
		{false, `"validUntil":"2027-`, `"validUntil":"2036-`, "it says that the sign-off ends on"},
		{false, `"inclusion":"carried"`, `"inclusion":"surely"`, `what it says of its proof is "surely"`},
		{true, `"type":[`, `"validUntil":"2026-05-06T19:00:00Z","type":[`, "the roster: it ended on 2026-05-06T19:00:00Z"},
		{true, `"keys":[{`, `"keys":[{"basis":"b","did":"` + credential.DID(device.Public) + `","duties":[],"from":"","owner":"O","until":"","verifier":"` + deviceVerifier(t, book) + `"},{`, "a key stands in it twice"},
	} {
		changed := file
		if c.roster {
			changed.Roster = signedAnew(t, file.Roster, device, c.from, c.to)
		} else {
			changed.Credentials = []json.RawMessage{signedAnew(t, file.Credentials[0], device, c.from, c.to)}
		}
		code, said := checkedAlone(t, changed)
		require.Equal(t, exitNo, code, c.to)
		require.Contains(t, said, c.why)
	}
}

func deviceVerifier(t *testing.T, path string) string {
	t.Helper()
	b, err := store.Open(t.Context(), path, store.ForReading)
	require.NoError(t, err)
	_, verifier, _, err := b.DeviceKey(t.Context())
	require.NoError(t, err)
	require.NoError(t, b.Close())
	return verifier
}

// A worker's key vouches for nothing about that worker, whoever lists it; and words of a device about the company are no words of
// the company.
func TestWhatADeviceSaysOfAKey(t *testing.T) {
	file, book := broughtFrom(t, "2026-05-06T10:00")
	device := deviceSignerOf(t, book)
	seed := bytes.Repeat([]byte{7}, 32)
	for owner, expect := range map[string]struct {
		code int
		said string
	}{
		workerOf(t, file): {exitNo, "the worker's own key signed it, and nobody vouches for themselves"},
		"pzzzzzz1":        {exitDone, "whose key: the company vouches, said the device; no book here to ask whether the key is known\n      no statement of the company about this key came along\n"},
	} {
		_, verifier, err := ledger.NewPersonalKey(owner, seed)
		require.NoError(t, err)
		key, err := json.Marshal(carriedKey{DID: credential.DID(seedSigner(seed).Public), Verifier: verifier, Owner: "M. Okafor", Basis: "the company vouches, said the device", Duties: []string{}})
		require.NoError(t, err)
		changed := file
		changed.Roster = signedAnew(t, file.Roster, device, `"keys":[{`, `"keys":[`+string(key)+`,{`)
		changed.Credentials = []json.RawMessage{signedAnew(t, file.Credentials[0], seedSigner(seed), `"skill":"3.3"`, `"skill":"3.3"`)}
		code, said := checkedAlone(t, changed)
		require.Equal(t, expect.code, code, said)
		require.Contains(t, said, expect.said)
	}
}

func workerOf(t *testing.T, file credential.Carried) string {
	t.Helper()
	c, err := credential.Verify(file.Credentials[0])
	require.NoError(t, err)
	return c.Subject["worker"].(map[string]any)["personId"].(string)
}
