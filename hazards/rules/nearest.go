package rules

import "example.org/ringtrue/training/spelling"

// NearestCode suggests the code or alias closest to a misspelt one; "" when the edition has none.
func (e Edition) NearestCode(typed string) string {
	var names []string
	for _, j := range e.Jurisdictions {
		names = append(append(names, j.Code), j.Aliases...)
	}
	return spelling.Closest(Normal(typed), names)
}

// NearestID suggests the rule id closest to a misspelt one; "" when the edition has none.
func (e Edition) NearestID(typed string) string {
	var ids []string
	for _, j := range e.Jurisdictions {
		for _, r := range j.Rules {
			ids = append(ids, r.ID)
		}
	}
	return spelling.Closest(Normal(typed), ids)
}
