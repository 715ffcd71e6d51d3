package training

import "slices"

// Independence says who the signer of a sign-off is to the evidence it names: "by the trainer" where the signer alone has seen the
// looks; "together with another observer" where the signer taught or saw some of them and somebody else saw others; else "by the
// supervisor" for the owner of the book, who also is that where somebody else saw looks, or "by a third party". Persons are ids;
// observers are those of the looks, one each, and taught is who taught the module or accepted earlier training.
func Independence(signer, owner, taught string, observers []string) string {
	others := slices.ContainsFunc(observers, func(o string) bool { return o != signer })
	involved := taught == signer || slices.Contains(observers, signer)
	switch {
	case involved && !others:
		return "by the trainer"
	case signer == owner:
		return "by the supervisor"
	case involved:
		return "together with another observer"
	}
	return "by a third party"
}
