package store

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every constant Kind... of the packages that name kinds of entries is known to a take; KindRock is a topic only.
func TestEveryKindOfEntryIsKnown(t *testing.T) {
	found := map[string]bool{}
	for _, folder := range []string{".", "ledger", "../training"} {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		require.NoError(t, err)
		for _, path := range files {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			f, err := parser.ParseFile(token.NewFileSet(), path, text, parser.SkipObjectResolution)
			require.NoError(t, err)
			for name, value := range kindConstants(f) {
				if name != "KindRock" {
					found[value] = true
				}
			}
		}
	}
	require.Greater(t, len(found), 50)
	require.Equal(t, found, kinds)
}

func kindConstants(f *ast.File) map[string]string {
	out := map[string]string{}
	ast.Inspect(f, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || !strings.HasPrefix(spec.Names[0].Name, "Kind") || len(spec.Values) != 1 {
			return true
		}
		if lit, ok := spec.Values[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
			out[spec.Names[0].Name], _ = strconv.Unquote(lit.Value)
		}
		return true
	})
	return out
}
