package spelling

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNearest(t *testing.T) {
	names := []string{"ana", "luis", "okafor", "light-brush", "wires"}
	for typed, want := range map[string]string{
		"anna": "ana", "lius": "luis", "okafr": "okafor", "lightbrush": "light-brush", "wire": "wires", "ana": "ana",
		"zzzzzzzz": "", "": "", "anà": "ana",
	} {
		require.Equal(t, want, Nearest(typed, names), typed)
	}
	require.Empty(t, Nearest("ana", nil))
}
