package risk

import (
	"fmt"
	"strings"
)

// Kind says how a control works. The order is that of the usual hierarchy, the strongest first; it is written to the
// ledger and to the day sheet as its words.
type Kind uint8

// Kinds of control, the strongest first.
const (
	TakenAway Kind = iota + 1 // the factor is gone: marked out, replaced, filed
	Technical                 // fitted or built: extinguisher and bare soil
	Organised                 // done differently: look first, pause, contour strips
	Training                  // told or taught
	PPE                       // worn
)

var kindWords = map[Kind]string{
	TakenAway: "taken away", Technical: "technical", Organised: "organised", Training: "training", PPE: "ppe",
}

// KindWords lists the words of the kinds, the strongest first.
func KindWords() []string {
	return []string{TakenAway.String(), Technical.String(), Organised.String(), Training.String(), PPE.String()}
}

// Leaves says how many points of a factor of this weight are left under such a control (company choice): taken away
// 0, technical at most 1, organised one less but not below 1; training, equipment worn and no control leave all.
func (k Kind) Leaves(weight int) int {
	switch k {
	case TakenAway:
		return 0
	case Technical:
		return min(weight, 1)
	case Organised:
		return min(weight, max(weight-1, 1))
	}
	return weight
}

// Talk reports whether such a control only tells or is worn: it takes no point away and turns no answer.
func (k Kind) Talk() bool { return k == Training || k == PPE }

// String gives the words of the kind.
func (k Kind) String() string { return kindWords[k] }

// ParseKind reads the words of a kind.
func ParseKind(s string) (Kind, error) {
	for k, w := range kindWords {
		if w == s {
			return k, nil
		}
	}
	return 0, fmt.Errorf("%q is not a kind of control; use %s", s, strings.Join(KindWords(), ", "))
}

// MarshalText writes the kind as its words.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the words of a kind.
func (k *Kind) UnmarshalText(b []byte) (err error) {
	*k, err = ParseKind(string(b))
	return err
}
