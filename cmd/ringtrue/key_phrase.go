package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/term"

	"example.org/ringtrue/store/ledger/sealed"
	"example.org/ringtrue/store/visible"
)

// Passphrases come from a terminal without echo, or from a file descriptor; never from arguments or the environment,
// where other programs can read them. They are never printed.

// secretFrom asks at a terminal, without echo; nil where in is none. An interruption gives the terminal back as it was.
func secretFrom(in io.Reader, prompts io.Writer) func(context.Context, string) (string, error) {
	if f, ok := in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return func(ctx context.Context, prompt string) (string, error) {
			return askSecret(ctx, int(f.Fd()), prompts, visible.String(prompt))
		}
	}
	return nil
}

func askSecret(ctx context.Context, fd int, prompts io.Writer, prompt string) (string, error) {
	before, err := term.GetState(fd)
	if err != nil {
		return "", fmt.Errorf("read the passphrase: %w", err)
	}
	type answer struct {
		text []byte
		err  error
	}
	given := make(chan answer, 1)
	fmt.Fprint(prompts, prompt)
	go func() {
		text, err := term.ReadPassword(fd)
		given <- answer{text, err}
	}()
	select {
	case <-ctx.Done():
		return "", errors.Join(ctx.Err(), term.Restore(fd, before))
	case got := <-given:
		fmt.Fprintln(prompts)
		if got.err != nil {
			return "", fmt.Errorf("read the passphrase: %w", got.err)
		}
		return string(got.text), nil
	}
}

const fdNext = "go to a terminal, or hand the passphrase over with --passphrase-fd N, as in: ringtrue ... --passphrase-fd 3 3<FILE"

// canAsk reports whether a passphrase can be had at all.
func (a *app) canAsk() bool { return a.phraseFD != "" || a.secret != nil }

// passphrase asks for one, or takes the next line of the file descriptor.
func (a *app) passphrase(prompt string) (string, error) {
	switch {
	case a.phraseFD != "":
		return a.phraseLine()
	case a.secret != nil:
		return a.secret(a.ctx, prompt)
	}
	return "", refuse(fdNext, "a passphrase is needed, and there is no terminal to ask at")
}

// phraseLine reads the next line of the file descriptor that --passphrase-fd names.
func (a *app) phraseLine() (string, error) {
	if a.phrases == nil {
		from, err := a.phraseFile()
		if err != nil {
			return "", err
		}
		a.phrases = bufio.NewReaderSize(from, sealed.MaxPhrase+2)
	}
	line, err := a.phrases.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		return "", refuse("write it on one line", "the passphrase at file descriptor %s is longer than %d bytes", a.phraseFD, sealed.MaxPhrase)
	}
	if err != nil && !errors.Is(err, io.EOF) {
		return "", refuse("open the descriptor for reading, as in: --passphrase-fd 3 3<FILE", "no passphrase can be read from file descriptor %s", a.phraseFD)
	}
	phrase := strings.TrimSuffix(strings.TrimSuffix(string(line), "\n"), "\r")
	if phrase == "" {
		return "", refuse("write the passphrase on one line", "there is no passphrase at file descriptor %s", a.phraseFD)
	}
	return phrase, nil
}

func (a *app) phraseFile() (io.Reader, error) {
	n, err := strconv.Atoi(a.phraseFD)
	switch {
	case err != nil || n < 0 || n == 1 || n == 2: // 1 and 2 are for what the program says
		return nil, usage("name an open one: 0 is standard input, or 3 and above", "--passphrase-fd %q is not a file descriptor to read from", a.phraseFD)
	case n == 0:
		return a.in, shown(a.in)
	case a.handed != nil && !a.handed[n]: // it may be the book's own
		return nil, refuse("open the descriptor for reading, as in: --passphrase-fd 3 3<FILE", "no passphrase can be read from file descriptor %d: nothing was handed over there", n)
	}
	f := os.NewFile(uintptr(n), "passphrase")
	return f, shown(f)
}

// shown refuses a terminal, which would show what is typed.
func shown(in io.Reader) error {
	if f, ok := in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return refuse("leave --passphrase-fd out: the passphrase is then asked for without showing it", "the file descriptor is a terminal, which would show the passphrase")
	}
	return nil
}

// descriptors is the folder in which the system lists the open file descriptors of a program.
const descriptors = "/dev/fd"

// handedOver lists the file descriptors that are open when the program starts, if its arguments name any: later the numbers
// go to files of its own, the book among them. It is nil where nothing is asked, or the system has no such list.
func handedOver(args []string) map[int]bool {
	if _, err := os.Stat(descriptors); err != nil || !slices.ContainsFunc(args, func(a string) bool { return strings.HasPrefix(a, "--passphrase-fd") }) {
		return nil
	}
	open := map[int]bool{}
	for n := 3; n < 256; n++ { // shells number no further
		_, err := os.Stat(descriptors + "/" + strconv.Itoa(n))
		open[n] = err == nil
	}
	return open
}

// newPhrase asks for the passphrase of a new key: twice at a terminal, where five random words are offered.
func (a *app) newPhrase() (string, error) {
	if a.phraseFD != "" || a.secret == nil {
		phrase, err := a.passphrase("")
		if err == nil {
			err = acceptable(phrase)
		}
		return phrase, err
	}
	words, err := sealed.Offer(a.random())
	if err != nil {
		return "", err
	}
	fmt.Fprintf(a.err, "five words drawn at random: %s\n", words)
	phrase, err := a.secret(a.ctx, "take them by pressing enter, or type a passphrase of your own: ")
	if err != nil {
		return "", err
	}
	if phrase == "" {
		phrase = words
	}
	if err := acceptable(phrase); err != nil {
		return "", err
	}
	again, err := a.secret(a.ctx, "type the passphrase once more: ")
	if err == nil && again != phrase {
		err = refuse("do it again", "the two passphrases are not the same")
	}
	return phrase, err
}

func acceptable(phrase string) error {
	if err := sealed.Acceptable(phrase); err != nil {
		return refuse(fmt.Sprintf("take %d characters or more; several words with spaces between serve well", sealed.MinPhrase), "%v", err)
	}
	return nil
}
