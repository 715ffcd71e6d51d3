package main

import (
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/spelling"
)

// Ids are typed with gloves on: capitals, accents, spaces, hyphens and a comma for the point do not matter where only one id is left that
// can be meant, and two arguments in the wrong order are turned round. What is not understood goes on as it was typed, and is refused with
// the nearest. New ids, behind "add", stay as they are typed.

// understandIDs lets every command of the tree take ids as people type them, by the words of its usage line and the names of its flags.
func understandIDs(a *app, c *cobra.Command) {
	for _, sub := range c.Commands() {
		understandIDs(a, sub)
	}
	words, run := argumentWords(c.Use), c.RunE
	if run == nil || c.HasSubCommands() {
		return
	}
	if c.Name() == "add" {
		words = nil
	}
	if check := c.Args; check != nil && len(words) > 0 {
		c.Args = func(c *cobra.Command, args []string) error {
			if check(c, args) == nil {
				return nil
			}
			return check(c, a.whole(words, args))
		}
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		understandWords(c)
		return run(c, a.meant(c, words, a.whole(words, args)))
	}
}

// flagWords are the words that some flags choose from, where their help names them: other flags of these names take any text.
var flagWords = map[string][]string{
	"announced": {"yes", "no"}, "kind": training.EventKinds, "may": training.Duties, "condition": {serviceable, condemned},
	"decision": {training.KindSignOff, training.KindLift, training.KindRelease}, "told": {"in person", "by phone"},
}

// understandWords sets the flags that choose from words to those words, several with commas between.
func understandWords(c *cobra.Command) {
	c.Flags().Visit(func(f *pflag.Flag) {
		if known := flagWords[f.Name]; known == nil || f.Value.Type() != "string" || !strings.Contains(f.Usage, known[0]) {
			return
		}
		_ = f.Value.Set(strings.Join(eachOf(strings.Split(f.Value.String(), ","), func(text string) string { return meantWord(text, flagWords[f.Name]) }), ","))
	})
}

// meantWord is the one of several words that a text means; what means none stays as it is.
func meantWord(text string, known []string) string {
	for _, k := range known {
		if bare(k) == bare(text) {
			return k
		}
	}
	return text
}

// meant gives the arguments as ids of the book, and sets flags to them. Where there is no book to look into, nothing changes. The
// command goes on with the book that was opened here, or opens it again for writing.
func (a *app) meant(c *cobra.Command, words, args []string) []string {
	flags := flagsOfIDs(c)
	ids := len(args) > 0 && slices.ContainsFunc(words, takesID)
	if !ids && len(flags) == 0 || a.read() != nil {
		return args
	}
	for _, f := range flags {
		if id, ok := a.idMeant(flagOffers[f.Name], f.Value.String()); ok {
			_ = f.Value.Set(id)
		}
	}
	if !ids {
		return args
	}
	return a.inOrder(words, args)
}

// mostParts is into how many arguments an id or a name without quotes falls, at most (company choice).
const mostParts = 3

// whole puts ids and names together again that were typed without quotes, "m 3" or "Ana Ruiz", where there is just one way to do so
// and they mean nothing as they are.
func (a *app) whole(words, args []string) []string {
	known := func(word string) bool { return offers[strings.TrimSuffix(word, "...")] != nil }
	several := slices.ContainsFunc(words, func(word string) bool { return strings.HasSuffix(word, "...") })
	if len(args) < 2 || !several && len(args) <= len(words) || !slices.ContainsFunc(words, known) || a.read() != nil {
		return args
	}
	defer func() {
		a.close()
		a.book = nil // the command opens it as it needs it
	}()
	orders := [][]string{words}
	if !several && len(words) == 2 {
		orders = append(orders, []string{words[1], words[0]})
	}
	means := map[string]bool{}
	for _, order := range orders {
		ways := a.parted(order, args, 0, means)
		if len(ways) == 1 || len(ways) > 0 && slices.Equal(ways[0], args) { // the first is as typed, if that means something
			return ways[0]
		}
	}
	return args
}

// parted lists the ways in which arguments fall into ids of the words from a place on; what means something is kept by word and text.
func (a *app) parted(words, args []string, place int, means map[string]bool) (ways [][]string) {
	at := wordsAt(words, place)
	if len(args) == 0 && place >= len(words) {
		return [][]string{nil}
	}
	for n := 1; n <= min(mostParts, len(args)); n++ {
		text := strings.Join(args[:n], " ")
		if !slices.ContainsFunc(at, func(word string) bool { return a.stands(word, text, means) }) {
			continue
		}
		for _, rest := range a.parted(words, args[n:], place+1, means) {
			ways = append(ways, append([]string{text}, rest...))
		}
	}
	return ways
}

// stands reports whether a text means one id of a word.
func (a *app) stands(word, text string, means map[string]bool) bool {
	key := word + "\x00" + text
	if _, asked := means[key]; !asked {
		_, means[key] = a.idMeant(word, text)
	}
	return means[key]
}

// takesID reports whether a word of a usage line stands for an id that is looked up here; people are found by the commands themselves.
func takesID(word string) bool {
	word = strings.TrimSuffix(word, "...")
	return word != "WORKER" && offers[word] != nil
}

// flagsOfIDs are the flags that were given and take one id.
func flagsOfIDs(c *cobra.Command) (flags []*pflag.Flag) {
	c.Flags().Visit(func(f *pflag.Flag) {
		if takesID(flagOffers[f.Name]) && f.Value.Type() == "string" {
			flags = append(flags, f)
		}
	})
	return flags
}

// inOrder understands arguments, two of them also in the wrong order.
func (a *app) inOrder(words, args []string) []string {
	if len(args) == 2 && len(words) == 2 {
		_, first := a.idMeant(words[0], args[0])
		_, firstLast := a.idMeant(words[0], args[1])
		_, lastFirst := a.idMeant(words[1], args[0])
		if !first && firstLast && lastFirst {
			args = []string{args[1], args[0]}
		}
	}
	out := slices.Clone(args)
	for i, text := range args {
		for _, word := range wordsAt(words, i) {
			if id, ok := a.idMeant(word, text); ok {
				out[i] = id
				break
			}
		}
	}
	return out
}

// idMeant is the one id of a word of usage lines that a text can mean; a person stays as typed, since any form of a name is understood.
func (a *app) idMeant(word, text string) (string, bool) {
	word = strings.TrimSuffix(word, "...")
	if word == "WORKER" {
		_, err := a.person(text)
		return text, err == nil
	}
	offer := offers[word]
	if offer == nil {
		return text, false
	}
	list, err := offer(a)
	if err != nil {
		return text, false
	}
	var found []string
	for _, o := range list {
		id, _, _ := strings.Cut(o, "\t")
		if id == text {
			return id, true
		}
		if bare(id) == bare(text) {
			found = append(found, id)
		}
	}
	if len(found) != 1 {
		return text, false
	}
	return found[0], true
}

var (
	betweenDigits = regexp.MustCompile(`(\d)[-_., ]+(\d)`)
	betweenWords  = strings.NewReplacer(" ", "", "-", "", "_", "", ",", ".")
)

// bare is an id without what is easily typed otherwise. What stands between two digits parts them, whatever it is: 1-23 is not 12-3.
func bare(id string) string {
	id = strings.Trim(plain(id), " .,;:")
	for range 2 { // a digit between two parts ends one and begins the other
		id = betweenDigits.ReplaceAllString(id, "$1.$2")
	}
	return betweenWords.Replace(id)
}

// nearestID is the id that a misspelt word is nearest to, capitals and accents aside; "" where none is near.
func nearestID(word string, known []string) string {
	folded := eachOf(known, bare)
	near := spelling.Nearest(bare(word), folded)
	if near == "" {
		return ""
	}
	return known[slices.Index(folded, near)]
}
