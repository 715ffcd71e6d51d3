package store

// KindForm is the entry that says that a filled form was read into the book.
const KindForm = "form"

// Form stands in the same transaction as what was read from the form, so that no form is recorded twice. Content is a hash
// over what was filled in, names left out: by it a form that was used a second time is told from one that is read again.
type Form struct {
	Form    string `json:"form"` // the id printed on it
	What    string `json:"what"` // observation, tailgate, upkeep or attendance
	Edition string `json:"edition"`
	House   string `json:"house"`
	Content string `json:"content"` // 64 hex digits
}

// FormSubject is the subject of the facts about a form.
func FormSubject(form string) string { return "form/" + form }
