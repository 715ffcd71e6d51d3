// Package words is the catalogue of what sheets and answers say in the languages that crews read: English, French and
// Spanish.
//
// Messages stand in messages/*.yaml, each under its id with its three texts side by side; %s stands for what is filled in,
// in the same number and order in each language. The English texts are those of the program itself.
//
// Answers are recorded in English, as sentences. Render recognises a recorded sentence by its English form and says it in
// the speaker's language, with what was filled in: names, numbers and text entered by people stay as they are. What is
// not in the catalogue stays English, and Render says so.
//
// Translated by the authors, not checked by a native speaker of the trade. French is that of Quebec, Spanish that of
// crews from Latin America, both as far as the authors know them.
package words

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"sort"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"
)

//go:embed messages/*.yaml
var files embed.FS

// Languages that the catalogue has, by their ISO 639-1 code.
const (
	English = "en"
	French  = "fr"
	Spanish = "es"
)

// Languages lists the codes, the one everything was written in first.
func Languages() []string { return []string{English, French, Spanish} }

// Message is one message in each language.
type Message struct {
	En string `yaml:"en"`
	Fr string `yaml:"fr"`
	Es string `yaml:"es"`
}

// In gives the text in a language, "" in one that there is not.
func (m Message) In(lang string) string {
	return map[string]string{English: m.En, French: m.Fr, Spanish: m.Es}[lang]
}

// Messages returns all messages by id. The error names a file that cannot be read, and every id that stands twice.
func Messages() (map[string]Message, error) {
	paths, err := fs.Glob(files, "messages/*.yaml")
	if err != nil {
		return nil, err
	}
	all := map[string]Message{}
	var problems []error
	for _, path := range paths {
		text, err := files.ReadFile(path)
		if err != nil {
			return nil, err
		}
		problems = append(problems, read(path, text, all))
	}
	return all, errors.Join(problems...)
}

// read adds the messages of one file.
func read(path string, text []byte, all map[string]Message) error {
	dec := yaml.NewDecoder(strings.NewReader(string(text)))
	dec.KnownFields(true)
	found := map[string]Message{}
	if err := dec.Decode(&found); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	var problems []error
	for id, m := range found {
		if _, twice := all[id]; twice {
			problems = append(problems, fmt.Errorf("%s: %s stands in another file too", path, id))
		}
		all[id] = m
	}
	return errors.Join(problems...)
}

// book is the catalogue with what recognises its English sentences, made once.
type book struct {
	messages map[string]Message
	catalog  *catalog.Builder
	sentences
}

var load = sync.OnceValues(func() (*book, error) {
	all, err := Messages()
	if err != nil {
		return nil, err
	}
	b := &book{messages: all, catalog: catalog.NewBuilder(catalog.Fallback(language.English))}
	for id, m := range all {
		for _, lang := range Languages() {
			if err := b.catalog.SetString(language.Make(lang), id, m.In(lang)); err != nil {
				return nil, fmt.Errorf("message %s in %s: %w", id, lang, err)
			}
		}
	}
	b.sentences, err = recognisable(all)
	return b, err
})

// Speaker says messages in one language.
type Speaker struct {
	lang    string
	book    *book
	printer *message.Printer
}

// In returns the speaker of a language; "" is English. An unknown language is an error that lists those there are.
func In(lang string) (*Speaker, error) {
	if lang == "" {
		lang = English
	}
	known := false
	for _, l := range Languages() {
		known = known || l == lang
	}
	if !known {
		return nil, fmt.Errorf("%q is not a language of the sheets; there are %s", lang, strings.Join(Languages(), ", "))
	}
	b, err := load()
	if err != nil {
		return nil, err
	}
	return &Speaker{lang, b, message.NewPrinter(language.Make(lang), message.Catalog(b.catalog))}, nil
}

// Lang is the code of the speaker's language.
func (s *Speaker) Lang() string { return s.lang }

// Say says a message with what is filled in. An id that there is not comes back as it is.
func (s *Speaker) Say(id string, args ...any) string {
	if _, known := s.book.messages[id]; !known {
		return id
	}
	return s.printer.Sprintf(id, args...)
}

// Known reports whether there is a message of this id.
func (s *Speaker) Known(id string) bool {
	_, known := s.book.messages[id]
	return known
}

// Word says a word of a family, "level.no-saw" for the word "no saw" of level; a word that the family has not comes back
// as it is.
func (s *Speaker) Word(family, word string) string {
	if id := WordID(family, word); s.Known(id) {
		return s.Say(id)
	}
	return word
}

// Translated says the message of an id where its English is the text given. Another text, such as a company's own, comes
// back as it is, and ok is false in other languages than English.
func (s *Speaker) Translated(id, english string) (said string, ok bool) {
	if s.lang == English || s.book.messages[id].En != english {
		return english, s.lang == English
	}
	return s.Say(id), true
}

// SkillID is the id of a skill's title.
func SkillID(skill string) string { return "skill." + skill }

// CriterionID is the id of a criterion's text.
func CriterionID(skill, criterion string) string { return "criterion." + skill + "." + criterion }

// ItemID is the id of the title of a kind of protective equipment.
func ItemID(item string) string { return "item." + item }

// WordID is the id of a word: small letters, hyphens for spaces, no commas.
func WordID(family, word string) string {
	return family + "." + strings.NewReplacer(" ", "-", ",", "").Replace(strings.ToLower(word))
}

// sortedIDs lists ids in order, so that what depends on it is the same each time.
func sortedIDs(all map[string]Message) []string {
	ids := make([]string, 0, len(all))
	for id := range all {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}
