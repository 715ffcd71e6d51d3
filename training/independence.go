package training

// Independence says who the signer of a sign-off is to the evidence it names: "by the trainer" where the signer taught, or alone has
// seen the looks, and nobody else has seen most of them; else "by the supervisor" for the owner of the book, "together with another
// observer" for a signer who taught or saw some of the looks, and "by a third party" for one who did neither. Persons are ids;
// observers are those of the looks, one each, and taught is who taught the module or accepted earlier training.
func Independence(signer, owner, taught string, observers []string) string {
	own := 0
	for _, o := range observers {
		if o == signer {
			own++
		}
	}
	others := len(observers) - own
	switch {
	case (taught == signer || others == 0) && others <= own:
		return "by the trainer"
	case signer == owner:
		return "by the supervisor"
	case taught == signer || own > 0:
		return "together with another observer"
	}
	return "by a third party"
}
