package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// onlyOnce refuses a command line that gives a flag two values where it takes one: the flag library would forget the first in silence.
func onlyOnce(c *cobra.Command, args []string) error {
	given := map[string]string{}
	for i := 0; i < len(args) && args[i] != "--"; i++ {
		f, value, apart := flagGiven(c, args[i])
		if f == nil || f.Value.Type() == "bool" {
			continue
		}
		if apart && i+1 < len(args) {
			i++
			value = args[i]
		}
		if keepsAll(f.Value) {
			continue
		}
		if before, twice := given[f.Name]; twice && before != value {
			return usage("give it once", "--%s is given twice: %q and %q", f.Name, before, value)
		}
		given[f.Name] = value
	}
	return nil
}

// keepsAll reports whether a flag keeps every value it is given: it takes several, or its command says itself what it takes.
func keepsAll(v pflag.Value) bool {
	_, several := v.(pflag.SliceValue)
	_, calc := v.(*calcField)
	return several || calc
}

// flagGiven is the flag that an argument gives, if it gives one; apart means that its value is the next argument.
func flagGiven(c *cobra.Command, arg string) (f *pflag.Flag, value string, apart bool) {
	switch {
	case strings.HasPrefix(arg, "--"):
		name, value, joined := strings.Cut(arg[2:], "=")
		return c.Flag(name), value, !joined
	case strings.HasPrefix(arg, "-") && len(arg) == 2:
		return c.Flags().ShorthandLookup(arg[1:]), "", true
	}
	return nil, "", false
}
