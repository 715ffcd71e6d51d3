package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store"
)

// scriptDir holds the scripts, named NOUN_TOPIC. Each is a text archive: commands first, then the files they use. Beside
// the usual commands of testscript (exec, stdout, stderr, cmp, cp, ...) a script may say:
//
//	env NOW=2026-05-05T10:20     the time for what follows, in UTC; it stands still until it is set again
//	book [seen|crew|key]         makes a small book at $RINGTRUE_BOOK; see bookLines
//	fill SHEET [NAME=ANSWER...]  fills a day sheet with the answers of a plain morning, or with those given; see fill
//	exits N ringtrue ARGS...     runs a command line that ends with status N
//	refused N ringtrue ARGS...   the same for a refusal: says nothing on standard output, an error and a next step on
//	                             standard error, and leaves the book and every other file as they were
//	entry NAME                   puts the number of the entry recorded last into $NAME
//	root NAME                    puts the first sixteen digits of the root printed last, as a sheet shows them, into $NAME
//	fields                       lists the fields of the JSON objects printed last with their types, for cmp to compare
//	damage FILE WHAT             cut: the second half is missing; newer: a later version wrote it; bit: one letter of
//	                             an entry is another one; tail: the last eighth is missing; derived: a table of rows
//	                             derived from the ledger is lost; gloves, check: one letter of the entry that issued gloves, or of
//	                             a check, is another one
//	edit FILE OLD NEW            NEW stands where OLD first stood
//	append FILE FROM             the text of FROM at the end of FILE
//	hold                         another program writes to the book until the script ends
const scriptDir = "../../testdata/script"

// fewestScripts keeps a wrong folder or lost files from passing.
const fewestScripts = 100

var updateScripts = flag.Bool("update", false, "rewrite the expected outputs within the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"ringtrue": scriptProgram})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 scriptDir,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *updateScripts,
		Setup: func(e *testscript.Env) error {
			e.Setenv("TZ", "UTC")
			e.Setenv("NO_COLOR", "1")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("RINGTRUE_BOOK", filepath.Join(e.WorkDir, "book.db"))
			e.Setenv("NOW", "2026-05-01T07:00")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"book": scriptBook, "fill": scriptFill, "exits": scriptExits, "refused": scriptRefused, "entry": scriptEntry, "root": scriptRoot,
			"fields": scriptFields, "edition": scriptEdition, "damage": scriptDamage, "hold": scriptHold, "cells": scriptCells, "edit": scriptEdit, "append": scriptAppend,
		},
	})
}

// scriptProgram is the program as the scripts run it: with a clock that stands still and ids that are the same each
// time. Only this main reads $NOW.
func scriptProgram() {
	os.Exit(run(context.Background(), scriptEnv(os.Getenv, os.Args[1:]), os.Args[1:]))
}

// scriptEnv draws person ids from the time and the command line, so that no two commands draw the same.
func scriptEnv(getenv func(string) string, args []string) env {
	e := stdEnv()
	now, err := time.Parse("2006-01-02T15:04", getenv("NOW"))
	if err != nil {
		fmt.Fprintln(os.Stderr, "the script sets no time:", err)
		os.Exit(100) // no code of ours
	}
	e.getenv, e.now = getenv, func() time.Time { return now }
	e.draw = rand.NewChaCha8(sha256.Sum256([]byte(strings.Join(append(slices.Clone(args), getenv("NOW")), "\x00"))))
	return e
}

// inside runs a command line within the test and returns its exit code and all that it said.
func inside(getenv func(string) string, args ...string) (int, string) {
	var out bytes.Buffer
	e := scriptEnv(getenv, args)
	e.in, e.out, e.err = strings.NewReader(scriptPhrase+"\n"), &out, &out
	code := run(context.Background(), e, args)
	return code, out.String()
}

func scriptExits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits N ringtrue ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Fatalf("%v", err)
		}
		code = exit.ExitCode()
	}
	if code != want {
		ts.Fatalf("ended with status %d, want %d", code, want)
	}
}

func scriptRefused(ts *testscript.TestScript, neg bool, args []string) {
	before := whatIsThere(ts)
	scriptExits(ts, neg, args)
	if args[0] == "0" {
		ts.Fatalf("refused: 0 is no refusal")
	}
	if after := whatIsThere(ts); after != before {
		ts.Fatalf("something was written:\n%sbefore:\n%s", after, before)
	}
	if ts.ReadFile("stdout") != "" {
		ts.Fatalf("a refusal prints no results")
	}
	said := ts.ReadFile("stderr")
	if slices.Contains(args, "--json") {
		ts.Check(errorObject(said, args[0]))
		return
	}
	if !errorForm.MatchString(said) {
		ts.Fatalf("want \"ringtrue: \" and what was wrong, without a full stop, then on its own line what to do next")
	}
}

// errorForm: first what was wrong, further problems indented, last what to do next.
var errorForm = regexp.MustCompile(`\Aringtrue: [^A-Z].*[^.\n]\n(  .*\n)*[^ ].*[^.\n]\n`)

func errorObject(said, exit string) error {
	var e struct {
		Format, Command, Error, Next string
		Exit                         int
	}
	if err := json.Unmarshal([]byte(said), &e); err != nil {
		return err
	}
	if e.Format != "ringtrue/error/1" || e.Error == "" || e.Next == "" || strconv.Itoa(e.Exit) != exit {
		return fmt.Errorf("not an error object of exit %s: %s", exit, said)
	}
	return nil
}

// whatIsThere describes the book and every file of the script: of the book size and root of each ledger, of other
// files their bytes. The log files of SQLite come and go with every reader.
func whatIsThere(ts *testscript.TestScript) string {
	var b strings.Builder
	_, head := inside(ts.Getenv, "book", "head")
	fmt.Fprintln(&b, head)
	err := filepath.WalkDir(ts.Getenv("WORK"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, "-wal") || strings.HasSuffix(path, "-shm") {
			return err
		}
		var text []byte
		if path != ts.Getenv("RINGTRUE_BOOK") {
			text, err = os.ReadFile(path)
		}
		fmt.Fprintf(&b, "%s %x\n", path, sha256.Sum256(text))
		return err
	})
	ts.Check(err)
	return b.String()
}

var entryForm = regexp.MustCompile(`(?m)^entry (\d+)|^entries \d+ to (\d+)`)

func scriptEntry(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: entry NAME")
	}
	m := entryForm.FindStringSubmatch(ts.ReadFile("stdout"))
	if m == nil {
		ts.Fatalf("entry: the last command names no entry")
	}
	ts.Setenv(args[0], m[1]+m[2])
}

var rootForm = regexp.MustCompile(`(?m)^root ([0-9a-f]{16})`)

func scriptRoot(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: root NAME")
	}
	m := rootForm.FindStringSubmatch(ts.ReadFile("stdout"))
	if m == nil {
		ts.Fatalf("root: the last command prints no root")
	}
	ts.Setenv(args[0], m[1])
}

func scriptFields(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: fields")
	}
	found := map[string]map[string]bool{}
	d := json.NewDecoder(strings.NewReader(ts.ReadFile("stdout")))
	var v any
	err := d.Decode(&v)
	for ; err == nil; err = d.Decode(&v) {
		fieldsOf("", v, found)
		v = nil
	}
	if !errors.Is(err, io.EOF) || len(found) == 0 {
		ts.Fatalf("fields: no JSON objects were printed: %v", err)
	}
	for _, path := range slices.Sorted(maps.Keys(found)) {
		fmt.Fprintf(ts.Stdout(), "%s: %s\n", path, strings.Join(slices.Sorted(maps.Keys(found[path])), " or "))
	}
}

var personID = regexp.MustCompile(`^p[0-9a-v]{7}$`)

// fieldsOf gathers the paths of all fields with the types seen. The elements of an array count as one, and so do
// fields named after a person.
func fieldsOf(path string, v any, found map[string]map[string]bool) {
	kind := "null"
	switch v := v.(type) {
	case map[string]any:
		kind = "object"
		for name, one := range v {
			if personID.MatchString(name) {
				name = "PERSON"
			}
			fieldsOf(strings.TrimPrefix(path+"."+name, "."), one, found)
		}
	case []any:
		kind = "array"
		for _, one := range v {
			fieldsOf(path+"[]", one, found)
		}
	case string:
		kind = "string"
	case float64:
		kind = "number"
	case bool:
		kind = "boolean"
	}
	if path == "" {
		return
	}
	if found[path] == nil {
		found[path] = map[string]bool{}
	}
	found[path][kind] = true
}

func scriptDamage(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: damage FILE WHAT")
	}
	path := ts.MkAbs(args[0])
	text, err := os.ReadFile(path)
	ts.Check(err)
	switch args[1] {
	case "cut":
		text = text[:len(text)/2]
	case "tail":
		text = text[:len(text)-8192] // the last page
	case "derived":
		for was, is := range map[string]string{"tablefactfact": "tablefaktfakt", "CREATE TABLE fact ": "CREATE TABLE fakt "} {
			if !bytes.Contains(text, []byte(was)) {
				ts.Fatalf("damage: the book has no table of facts to lose")
			}
			text = bytes.ReplaceAll(text, []byte(was), []byte(is))
		}
	case "gloves", "check", "rules":
		word := map[string]string{"gloves": `"item":"gloves`, "check": `"coordinates":"54.71`, "rules": `"edition":"two`}[args[1]]
		at := bytes.Index(text, []byte(word))
		if at < 0 {
			ts.Fatalf("damage: the book holds no %s to change", args[1])
		}
		text[at+len(word)-1]++
	case "newer":
		text[63] = 99 // the last byte of user_version, https://www.sqlite.org/fileformat2.html §1.3
	case "bit":
		at := bytes.Index(text, []byte("showed the quick release"))
		if at < 0 {
			ts.Fatalf("damage: the book holds no attendance to change")
		}
		text[at]++
	default:
		ts.Fatalf("damage: %q is none of cut, tail, derived, gloves, check, rules, newer, bit", args[1])
	}
	ts.Check(os.WriteFile(path, text, 0o600))
}

// scriptHold begins to write to the book and goes on doing so until the script ends.
func scriptHold(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: hold")
	}
	b, err := store.Open(context.Background(), ts.Getenv("RINGTRUE_BOOK"), store.ForWriting)
	ts.Check(err)
	holding, end, ended := make(chan bool), make(chan bool), make(chan bool)
	go func() {
		_ = b.Batch(context.Background(), func() error {
			close(holding)
			<-end
			return errors.New("nothing to keep")
		})
		_ = b.Close()
		close(ended)
	}()
	<-holding
	ts.Defer(func() {
		close(end)
		<-ended
	})
}

// leaves lists the commands that do something themselves. Topics of help do nothing.
func leaves(c *cobra.Command) []*cobra.Command {
	if !c.HasSubCommands() {
		return []*cobra.Command{c}
	}
	var all []*cobra.Command
	for _, sub := range c.Commands() {
		if !sub.IsAdditionalHelpTopicCommand() {
			all = append(all, leaves(sub)...)
		}
	}
	return all
}

var purpose = regexp.MustCompile(`\A# \S.*\.\n`)

// allScripts gives the text of all scripts.
func allScripts(t *testing.T) string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(scriptDir, "*.txtar"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(paths), fewestScripts)
	var all strings.Builder
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.True(t, purpose.Match(text), "%s does not begin with a sentence of purpose", path)
		all.Write(text)
	}
	return all.String()
}

func TestCommandsAreEachRunByAScript(t *testing.T) {
	scripts := allScripts(t)
	commands := leaves(newRootCmd(&app{}))
	require.Greater(t, len(commands), 50)
	var missing []string
	for _, c := range commands {
		runs := regexp.MustCompile(`(?m)^(exec|exits \d|refused \d) ` + c.CommandPath() + `( |$)`)
		if !runs.MatchString(scripts) {
			missing = append(missing, nameOf(c))
		}
	}
	require.Empty(t, missing, "no script runs these")
}

// Where a command has --json, a script pins its fields.
func TestCommandsHaveTheirJSONFieldsPinned(t *testing.T) {
	scripts := allScripts(t)
	var missing []string
	for _, c := range leaves(newRootCmd(&app{})) {
		if noJSON[nameOf(c)] || strings.HasPrefix(nameOf(c), "calc ") || strings.HasPrefix(nameOf(c), "rules ") {
			continue // calc_test.go and rules_test.go pin theirs
		}
		pins := regexp.MustCompile(`(?m)^(exec|exits \d) ` + c.CommandPath() + `( .*)? --json( .*)?\nfields\ncmp stdout `)
		if !pins.MatchString(scripts) {
			missing = append(missing, nameOf(c))
		}
	}
	require.Empty(t, missing, "no script pins the fields of their --json")
}

// noJSON are commands that print something else than one object.
var noJSON = map[string]bool{
	"help": true, "completion bash": true, "completion fish": true, "completion powershell": true, "completion zsh": true,
	"tailgate sheet": true, "book dump": true,
}

// Examples in the help are lines that people copy.
func TestCommandsShowExamplesThatParse(t *testing.T) {
	for _, c := range leaves(newRootCmd(&app{})) {
		if c.Parent().Name() == "completion" {
			continue
		}
		require.NotEmpty(t, c.Short, c.CommandPath())
		require.NotEmpty(t, c.Example, "%s shows no example", c.CommandPath())
		for line := range strings.SplitSeq(strings.ReplaceAll(c.Example, "\\\n", " "), "\n") {
			if line = strings.TrimSpace(line); !strings.HasPrefix(line, "#") && line != "" {
				exampleParses(t, line)
			}
		}
	}
}

func exampleParses(t *testing.T, line string) {
	t.Helper()
	line, _, _ = strings.Cut(line, " | ")
	line, _, _ = strings.Cut(line, " 3<") // the shell's part
	words := wordsOf(line, '"')
	require.Equal(t, "ringtrue", words[0], line)
	root := newRootCmd(&app{})
	c, rest, err := root.Find(words[1:])
	require.NoError(t, err, line)
	require.NoError(t, c.ParseFlags(rest), line)
	if c.Args != nil {
		require.NoError(t, c.Args(c, c.Flags().Args()), line)
	}
}

// An interruption ends with its own code, whatever was under way.
func TestCommandsInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var out, errs bytes.Buffer
	e := env{in: strings.NewReader(""), out: &out, err: &errs, getenv: func(string) string { return "" }, now: time.Now}
	path := filepath.Join(t.TempDir(), "book.db")
	code := run(ctx, e, []string{"init", "--book", path, "--company", "X", "--owner", "Y Z", "--jurisdiction", "bc", "--zone", "UTC"})
	require.Equal(t, exitInterrupted, code, errs.String())
	require.Equal(t, "ringtrue: init: interrupted; nothing was written\n", errs.String())
	require.NoFileExists(t, path)
}
