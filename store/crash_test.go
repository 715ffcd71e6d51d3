package store

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// How often a program is killed while it writes; the long run is -crashes 200.
var crashes = flag.Int("crashes", 10, "how often to kill a writing program")

// childTask asks the test binary to write to the book named in childBook instead of running tests; childFile is the
// file that it takes, or the folder that it writes copies to.
const (
	childTask = "RINGTRUE_TEST_CHILD"
	childBook = "RINGTRUE_TEST_BOOK"
	childFile = "RINGTRUE_TEST_FILE"
)

func TestMain(m *testing.M) {
	if task := os.Getenv(childTask); task != "" {
		if err := child(task, os.Getenv(childBook)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(withFolder(m))
}

func withFolder(m *testing.M) int {
	var err error
	if bigFolder, err = os.MkdirTemp("", "ringtrue-*"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(bigFolder)
	return m.Run()
}

// child starts a book if there is none ("create"), then appends n times ("300") or until it is killed, and prints
// each entry when it is acknowledged.
func child(task, path string) error {
	if work, ok := childWork[task]; ok {
		return work(path, os.Getenv(childFile))
	}
	b, err := childOpens(task, path)
	if err != nil {
		return err
	}
	n, _ := strconv.Atoi(task)
	for i := 0; n == 0 || i < n; i++ {
		es := []ledger.Entry{looked(fmt.Sprintf("p%07d", i%7), limb, training.OutcomeMet)}
		if i%3 == 0 { // three at once are acknowledged at once
			es = append(es, taught(bo, "m1"), struckOut(ledger.Ref(own, int64(1+i%5))))
		}
		refs, err := b.Append(bg, time.Now(), es)
		if err != nil {
			return err
		}
		for _, ref := range refs {
			fmt.Println(b.Short(ref))
		}
	}
	return b.Close()
}

func childOpens(task, path string) (*Book, error) {
	if task != "create" {
		return Open(bg, path, ForWriting)
	}
	zone, err := time.LoadLocation("America/Vancouver")
	if err != nil {
		return nil, err
	}
	b, err := Create(bg, path, own, zone)
	if err != nil {
		return nil, err
	}
	refs, err := b.Append(bg, time.Now(), []ledger.Entry{opening()})
	if err == nil {
		fmt.Println(b.Short(refs[0]))
	}
	return b, err
}

// start runs a child and gives what it prints.
func start(t testing.TB, task, path string, file ...string) (*exec.Cmd, io.Reader) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), childTask+"="+task, childBook+"="+path, childFile+"="+strings.Join(file, ""))
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	return c, out
}

// acknowledged reads the numbers a child printed, whole lines only.
func acknowledged(t testing.TB, out io.Reader) (seqs []int64) {
	t.Helper()
	r := bufio.NewReader(out)
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return seqs
		}
		n, err := strconv.ParseInt(line[:len(line)-1], 10, 64)
		require.NoError(t, err)
		seqs = append(seqs, n)
	}
}

// killed runs a child, kills it after a while (0: when it has said something), and gives what it had acknowledged.
func killed(t testing.TB, task, path string, after time.Duration, file ...string) []int64 {
	t.Helper()
	c, out := start(t, task, path, file...)
	if after == 0 {
		out = &onFirst{out, func() { _ = c.Process.Kill() }}
		after = time.Minute
	}
	timer := time.AfterFunc(after, func() { _ = c.Process.Kill() })
	defer timer.Stop()
	seqs := acknowledged(t, out)
	require.ErrorContains(t, c.Wait(), "killed", "the child must end by the kill, not by itself")
	return seqs
}

// onFirst does something when the first bytes were read.
type onFirst struct {
	io.Reader
	do func()
}

func (o *onFirst) Read(p []byte) (int, error) {
	n, err := o.Reader.Read(p)
	if n > 0 {
		o.do()
	}
	return n, err
}

// requireKept checks that the book is sound and holds what was acknowledged.
func requireKept(t testing.TB, path string, seqs []int64) {
	t.Helper()
	b := open(t, path, ForReading)
	defer b.Close()
	rep := requireSound(t, b)
	for _, n := range seqs {
		require.LessOrEqual(t, n, rep.Entries)
	}
}

// A killed program loses what the system had not been given; a lost power supply also what it had not yet put on the
// disk. This shows the first; for the second, see that synchronous is FULL on every writing connection.
func TestNothingAcknowledgedIsLostWhenTheProgramIsKilled(t *testing.T) {
	path := seasonBook(t)
	kept, window := 0, 300*time.Millisecond
	for range *crashes {
		seqs := killed(t, "append", path, 5*time.Millisecond+rand.N(window))
		requireKept(t, path, seqs)
		if kept += len(seqs); len(seqs) == 0 { // a busy machine has not even started it
			window += 200 * time.Millisecond
		}
	}
	require.NotZero(t, kept, "the kills came before anything was written")
}

// Killed while it starts a book, a program leaves a book, or something that is clearly none.
func TestAProgramKilledWhileItStartsABook(t *testing.T) {
	for range *crashes {
		path := newPath(t)
		seqs := killed(t, "create", path, time.Duration(1+rand.IntN(60))*time.Millisecond)
		if len(seqs) > 0 {
			requireKept(t, path, seqs)
			continue
		}
		b, err := Open(bg, path, ForReading)
		if err == nil { // written, but killed before it could say so
			requireSound(t, b)
			require.NoError(t, b.Close())
			continue
		}
		require.Regexp(t, "there is no book at|is not a ringtrue book|has no entries of its own ledger", err)
		require.ErrorAs(t, err, new(*UnusableError))
	}
}

func TestTwoProgramsAppendToOneBook(t *testing.T) {
	path := seasonBook(t)
	first, firstOut := start(t, "600", path)
	second, secondOut := start(t, "600", path)
	seen := map[int64]bool{}
	for _, out := range []io.Reader{firstOut, secondOut} {
		seqs := acknowledged(t, out)
		require.Len(t, seqs, 1000) // every third time three
		for _, n := range seqs {
			require.False(t, seen[n], "entry %d was acknowledged twice", n)
			seen[n] = true
		}
	}
	require.NoError(t, first.Wait())
	require.NoError(t, second.Wait())
	require.EqualValues(t, 12+2000, requireSound(t, open(t, path, ForReading)).Entries)
}
