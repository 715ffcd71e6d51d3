// Package catalogue reads curricula from YAML, checks them, and carries the starter curriculum that is offered to a
// new book. It judges nobody: only the edition that a book has recorded does.
//
// A curriculum is a folder:
//
//	edition.yaml      edition: the name under which a book records it
//	modules/ID.yaml   one module with its skills and criteria, named as its id
//	groups.yaml       groups: the task groups people are released for
//	ppe.yaml          ppe: kinds of protective equipment
//	not-covered.yaml  not-covered: rows of the US training paragraph that no module teaches, each with the reason;
//	                  may be left out
//
// A criterion's text completes "The worker ..." and is read aloud by whoever observes. Where a value is measured, the
// text leaves the figure to the range (of, min, max), which is shown beside it, so that a company can change the
// figure alone. Source says where the criterion comes from and whether that was read.
//
// Parse is strict about form: unknown and doubled keys, a second document in a file, files it would pass over.
// Lint is strict about meaning. Both report everything they find at once.
package catalogue

import (
	"bytes"
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/training"
)

// The files of a curriculum beside the modules.
const (
	editionFile    = "edition.yaml"
	groupsFile     = "groups.yaml"
	ppeFile        = "ppe.yaml"
	notCoveredFile = "not-covered.yaml"
	moduleFolder   = "modules"
)

//go:embed edition.yaml groups.yaml ppe.yaml not-covered.yaml modules/*.yaml
var starter embed.FS

// Starter returns the curriculum offered to a new book, edition "starter-1".
func Starter() (training.Curriculum, error) { return Parse(starter) }

// Parse reads a curriculum from a folder laid out as the package comment says. Lists are never nil, because the
// book's entries know no null. The error joins every problem of form, each with its file and, where there is one,
// its line; then the curriculum is empty.
func Parse(files fs.FS) (training.Curriculum, error) {
	r := &reader{files: files}
	var edition struct{ Edition string }
	var groups struct{ Groups []training.Group }
	var ppe struct{ PPE []training.Item }
	r.read(editionFile, &edition)
	modules := r.modules()
	r.read(groupsFile, &groups)
	r.read(ppeFile, &ppe)
	r.notCovered()
	r.strays(".", editionFile, groupsFile, ppeFile, notCoveredFile)
	if err := errors.Join(r.problems...); err != nil {
		return training.Curriculum{}, err
	}
	return filled(training.Curriculum{Edition: edition.Edition, Modules: modules, Groups: groups.Groups, PPE: ppe.PPE}), nil
}

// reader reads the files of one folder and gathers what is wrong with them.
type reader struct {
	files    fs.FS
	problems []error
}

func (r *reader) say(format string, args ...any) {
	r.problems = append(r.problems, fmt.Errorf("read curriculum: "+format, args...))
}

// modules reads modules/*.yaml, shorter names first so that M2 comes before M10.
func (r *reader) modules() []training.Module {
	names, err := fs.Glob(r.files, moduleFolder+"/*.yaml")
	if err != nil || len(names) == 0 {
		r.say("no modules found; each stands in its own file in the folder %s", moduleFolder)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) })
	r.strays(moduleFolder, baseNames(names)...)
	var modules []training.Module
	for _, name := range names {
		var m training.Module
		if !r.read(name, &m) {
			continue
		}
		if want := strings.TrimSuffix(path.Base(name), ".yaml"); m.ID != want {
			r.say("%s: the id inside is %q; file and id must be the same", name, m.ID)
		}
		modules = append(modules, m)
	}
	return modules
}

func baseNames(names []string) []string {
	bases := make([]string, len(names))
	for i, n := range names {
		bases[i] = path.Base(n)
	}
	return bases
}

// strays refuses YAML files that would otherwise be passed over in silence.
func (r *reader) strays(folder string, known ...string) {
	entries, err := fs.ReadDir(r.files, folder)
	if err != nil {
		return // a folder that cannot be read has been told as files that are missing
	}
	for _, e := range entries {
		ext := path.Ext(e.Name())
		if !e.IsDir() && (ext == ".yaml" || ext == ".yml") && !slices.Contains(known, e.Name()) {
			r.say("%s: not a file of a curriculum; modules are %s/ID.yaml", path.Join(folder, e.Name()), moduleFolder)
		}
	}
}

// read decodes the one document of a file into v and reports whether that went well.
func (r *reader) read(name string, v any) bool {
	text, err := readFile(r.files, name)
	if errors.Is(err, fs.ErrNotExist) {
		r.say("%s: the file is missing", name)
		return false
	}
	if err != nil {
		r.say("%s: %w", name, err)
		return false
	}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(v); err != nil {
		r.refuse(name, err)
		return false
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		r.say("%s: more than one document in the file", name)
		return false
	}
	return true
}

// maxFile bounds one file, in bytes: a whole edition must fit an entry of 1 MiB (store/ledger).
const maxFile = 1 << 20

// readFile reads a file of bounded length; a pipe or a device, which may have no end, is none.
func readFile(files fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(files, name)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errors.New("it is not a file")
	case info.Size() > maxFile:
		return nil, fmt.Errorf("it has %d bytes, more than the %d allowed", info.Size(), maxFile)
	}
	return fs.ReadFile(files, name)
}

// refuse tells every problem of the YAML reader, which knows lines but not files.
func (r *reader) refuse(name string, err error) {
	if errors.Is(err, io.EOF) {
		r.say("%s: the file is empty", name)
		return
	}
	wrong, ok := errors.AsType[*yaml.TypeError](err)
	if !ok {
		r.say("%s: %s", name, strings.TrimPrefix(err.Error(), "yaml: "))
		return
	}
	for _, line := range wrong.Errors {
		if before, _, unknown := strings.Cut(line, " not found in type "); unknown {
			line = strings.Replace(before, "field ", "unknown key ", 1)
		}
		r.say("%s: %s", name, line)
	}
}

func filled(c training.Curriculum) training.Curriculum {
	c.Modules, c.Groups, c.PPE = list(c.Modules), list(c.Groups), list(c.PPE)
	for i := range c.Modules {
		m := &c.Modules[i]
		m.Needs, m.Covers, m.Skills = list(m.Needs), list(m.Covers), list(m.Skills)
		for j := range m.Skills {
			m.Skills[j].Criteria = list(m.Skills[j].Criteria)
		}
	}
	for i := range c.Groups {
		c.Groups[i].Skills, c.Groups[i].PPE = list(c.Groups[i].Skills), list(c.Groups[i].PPE)
	}
	for i := range c.PPE {
		c.PPE[i].Standards = list(c.PPE[i].Standards)
	}
	return c
}

// list gives an empty list instead of an absent one.
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}
