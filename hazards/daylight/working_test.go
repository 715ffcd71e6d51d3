package daylight

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

// A public almanac has sunset at 15:54 in London on 2 December 2015, within a minute.
func TestLastSaw(t *testing.T) {
	d, err := Of(civil.Date(2015, time.December, 2), 51.5, -0.1333, time.UTC)
	require.NoError(t, err)
	last, ok := d.LastSaw(30*time.Minute, 20*time.Minute)
	require.True(t, ok)
	require.WithinDuration(t, time.Date(2015, 12, 2, 15, 4, 0, 0, time.UTC), last, time.Minute)
	night, err := Of(civil.Date(2026, time.December, 21), 69, 19, time.UTC)
	require.NoError(t, err)
	_, ok = night.LastSaw(0, 0)
	require.False(t, ok)
}
