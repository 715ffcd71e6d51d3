package catalogue

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

func TestFilesAreWhatParseReads(t *testing.T) {
	c, err := Starter()
	require.NoError(t, err)
	files, err := Files(c)
	require.NoError(t, err)
	folder := fstest.MapFS{}
	for _, f := range files {
		folder[f.Name] = &fstest.MapFile{Data: f.Text}
	}
	again, err := Parse(folder)
	require.NoError(t, err)
	require.Equal(t, c, again)
}
