package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// leastContrast is what WCAG 2.2, success criterion 1.4.6 (from memory), asks for small text, and what rain takes more of.
const leastContrast = 7.0

var (
	rule  = regexp.MustCompile(`([^{}]+)\{([^{}]*)\}`)
	color = regexp.MustCompile(`(?:^|[;\s])(color|background)\s*:\s*(#[0-9a-f]{3})\b`)
)

// luminance is the relative luminance of a colour, 0 to 1 (WCAG 2.2, definitions, from memory).
func luminance(t *testing.T, hex string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(strings.Repeat(hex[i+1:i+2], 2), 16, 8)
		require.NoError(t, err)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// The style knows black and white only: every text on every ground it sets, but that of the hold box, which has its own.
func TestContrast(t *testing.T) {
	require.InDelta(t, 21, contrast(t, "#000", "#fff"), 1e-9)
	style, err := files.ReadFile("templates/sheet.css")
	require.NoError(t, err)
	require.NotRegexp(t, `(?i)(rgb|hsl|opacity|gr[ae]y|silver|#(?:0{3}|f{3})[0-9a-f])`, string(style), "a colour this test cannot read")
	found := map[string]map[string]bool{"color": {}, "background": {}}
	for _, r := range rule.FindAllStringSubmatch(string(style), -1) {
		if strings.Contains(r[1], ".hold") {
			continue
		}
		for _, c := range color.FindAllStringSubmatch(r[2], -1) {
			found[c[1]][c[2]] = true
		}
	}
	require.NotEmpty(t, found["color"])
	require.NotEmpty(t, found["background"])
	for text := range found["color"] {
		for ground := range found["background"] {
			require.GreaterOrEqual(t, contrast(t, text, ground), leastContrast, "%s on %s", text, ground)
		}
	}
	require.Contains(t, string(style), ".hold { background: #000;")
	require.Contains(t, string(style), ".hold, .hold * { color: #fff;")
}
