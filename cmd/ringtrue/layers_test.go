package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// modulePrefix is the prefix of our own import paths.
const modulePrefix = "example.org/ringtrue/"

// Packages outside the standard library and ours that only one place may touch.
const (
	sqlPackage      = "database/sql"
	sqliteDriver    = "github.com/mattn/go-sqlite3"
	workbookLibrary = "github.com/xuri/excelize/v2"
	commandLibrary  = "github.com/spf13/cobra"
	sealLibrary     = "filippo.io/age"
	formLibrary     = "charm.land/huh/v2"
	screenLibrary   = "charm.land/bubbletea/v2"
)

var guardedPackages = []string{sqlPackage, sqliteDriver, workbookLibrary, commandLibrary, sealLibrary, formLibrary, screenLibrary}

// layerLeaves are what every package of training and hazards may import.
var layerLeaves = []string{"hazards/house", "hazards/rules", "hazards/units", "training/civil", "training/spelling"}

// layerTopics are the hazard topics: formulas and factors with their sources.
var layerTopics = []string{"hazards/daylight", "hazards/dayplan", "hazards/exposure", "hazards/fire", "hazards/fuel", "hazards/kickback",
	"hazards/slope", "hazards/spacing", "hazards/stand", "hazards/upkeep", "hazards/weather", "hazards/wires"}

// mayImport says for each of our packages which of our packages, and which of the guarded ones, it may import. It is
// the import table of DEVELOPERS.md. A package that is not here fails the test.
var mayImport = map[string][]string{
	"cmd/ringtrue": slices.Concat(layerLeaves, layerTopics, []string{"cmd/ringtrue/internal/glance", "hazards", "hazards/against", "hazards/risk", "training", "training/agree", "training/catalogue",
		"store", "store/ledger", "store/ledger/credential", "store/ledger/sealed", "store/page", "store/page/words", "store/visible", "store/workbook", commandLibrary, formLibrary, screenLibrary}),
	"cmd/ringtrue/internal/glance": {"hazards", "hazards/house", "store/page/words", "training"},

	"training":           layerLeaves,
	"training/agree":     layerLeaves,
	"training/catalogue": slices.Concat(layerLeaves, []string{"training"}),
	"training/civil":     nil,
	"training/spelling":  nil,

	"hazards":           slices.Concat(layerLeaves, layerTopics, []string{"hazards/risk", "training"}),
	"hazards/against":   slices.Concat(layerLeaves, []string{"hazards", "training"}),
	"hazards/daylight":  layerLeaves,
	"hazards/dayplan":   slices.Concat(layerLeaves, []string{"hazards/exposure", "hazards/fuel", "hazards/slope"}), // it puts their formulas together
	"hazards/exposure":  layerLeaves,
	"hazards/fire":      layerLeaves,
	"hazards/fuel":      slices.Concat(layerLeaves, []string{"hazards/risk"}),
	"hazards/kickback":  slices.Concat(layerLeaves, []string{"hazards/risk"}),
	"hazards/slope":     slices.Concat(layerLeaves, []string{"hazards/risk"}),
	"hazards/spacing":   layerLeaves,
	"hazards/wires":     nil,
	"hazards/stand":     layerLeaves,
	"hazards/upkeep":    layerLeaves,
	"hazards/weather":   layerLeaves,
	"hazards/risk":      layerLeaves,
	"hazards/house":     {"hazards/units"},
	"hazards/rules":     {"hazards/house", "hazards/units", "training/civil", "training/spelling"},
	"hazards/units":     nil,
	"hazards/published": nil,

	"store":                   {"store/ledger", "training", "training/civil", sqlPackage, sqliteDriver},
	"store/ledger":            nil,
	"store/ledger/credential": nil,
	"store/ledger/sealed":     {sealLibrary},
	"store/page":              {"store/page/words", "store/visible"},
	"store/page/words":        nil,
	"store/visible":           nil,
	"store/workbook":          {"store/visible", "training/civil", workbookLibrary},
}

// testsMayImport is what the tests of every package may import beyond the table: the reader of the check tables.
const testsMayImport = "hazards/published"

// impureImports lists what pure packages (training, hazards, ledger) never import outside their tests: files, flags,
// processes, networks, printing.
var impureImports = []string{"os", "os/exec", "flag", "log", "net", "net/http", "syscall"}

// listedPackage is what `go list -json` tells of one package.
type listedPackage struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
	Deps                               []string
}

// listPackages lists all packages of the module, files behind the build tag outside included.
func listPackages(t *testing.T) map[string]listedPackage {
	t.Helper()
	cmd := exec.Command("go", "list", "-deps", "-tags", "outside", "-json=ImportPath,Imports,TestImports,XTestImports,Deps", "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	require.NoError(t, err, "go list")
	found := map[string]listedPackage{}
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listedPackage
		err := dec.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if name, ours := strings.CutPrefix(p.ImportPath, modulePrefix); ours {
			found[name] = p
		}
	}
	return found
}

// importEdge turns an import path into the name the table has for it: ours without the module's prefix, a guarded one, or
// "" where the table does not care. Sub-packages count as what they belong to.
func importEdge(path string) string {
	if name, ours := strings.CutPrefix(path, modulePrefix); ours {
		return name
	}
	for _, g := range guardedPackages {
		if path == g || strings.HasPrefix(path, g+"/") {
			return g
		}
	}
	return ""
}

func TestLayers(t *testing.T) {
	found := listPackages(t)
	for name, p := range found {
		allowed, known := mayImport[name]
		require.True(t, known, "package %s is not in the import table", name)
		for _, path := range p.Imports {
			if to := importEdge(path); to != "" && !slices.Contains(allowed, to) {
				t.Errorf("%s imports %s, which is not in its row of the import table", name, to)
			}
		}
		tests := append(slices.Clone(allowed), testsMayImport, name)
		for _, path := range slices.Concat(p.TestImports, p.XTestImports) {
			if to := importEdge(path); to != "" && !slices.Contains(tests, to) {
				t.Errorf("the tests of %s import %s, which is not in its row of the import table", name, to)
			}
		}
	}
	for name := range mayImport {
		if _, there := found[name]; !there {
			t.Errorf("the import table names %s, which is not there", name)
		}
	}
}

// TestGuardedPackages looks through all that a package reaches, so that no detour leads around the table.
func TestGuardedPackages(t *testing.T) {
	owners := map[string][]string{
		sqlPackage: {"store", "cmd/ringtrue"}, sqliteDriver: {"store", "cmd/ringtrue"},
		workbookLibrary: {"store/workbook", "cmd/ringtrue"}, commandLibrary: {"cmd/ringtrue"}, sealLibrary: {"store/ledger/sealed", "cmd/ringtrue"},
		formLibrary: {"cmd/ringtrue"}, screenLibrary: {"cmd/ringtrue"},
	}
	reached := map[string]int{}
	for name, p := range listPackages(t) {
		for _, path := range p.Deps {
			to := importEdge(path)
			if who, watched := owners[to]; watched {
				reached[to]++
				require.Contains(t, who, name, "%s reaches %s", name, to)
			}
		}
	}
	require.Len(t, reached, len(owners), "every guarded package is reached by its owner")
}

func TestPurePackages(t *testing.T) {
	checked := 0
	for name, p := range listPackages(t) {
		pure := name == "store/ledger" || strings.HasPrefix(name, "store/page") || name == "store/ledger/sealed" || name == "store/ledger/credential" || name == "training" || name == "hazards" || strings.HasPrefix(name, "training/") || strings.HasPrefix(name, "hazards/")
		if !pure || name == "hazards/published" { // published reads check tables, for tests only
			continue
		}
		checked++
		for _, path := range impureImports {
			require.NotContains(t, p.Imports, path, "%s is to be pure", name)
		}
	}
	require.Greater(t, checked, 15)
}

// topLevel is all that may stand at the top of the repository beside hidden files; the customer fixed it.
var topLevel = []string{"cmd", "training", "hazards", "store", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md"}

func TestTopLevel(t *testing.T) {
	// A copy that belongs to somebody else (a container, say) is still ours to list.
	cmd := exec.Command("git", "-c", "safe.directory=*", "ls-files", "-z")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	require.NoError(t, err, "git ls-files; this test needs git and a clone")
	files := strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
	require.Greater(t, len(files), 100)
	for _, f := range files {
		top, _, _ := strings.Cut(f, "/")
		if !strings.HasPrefix(top, ".") {
			require.Contains(t, topLevel, top, "%s stands at the top level", f)
		}
	}
}
