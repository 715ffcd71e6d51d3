//go:build outside

package page

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/page/words"
)

// printed is a page as Chromium prints it, read back by pdfinfo and pdftotext.
type printed struct {
	pages  int
	size   string
	text   string
	picked map[string]bool // words
}

// chromium prints a page to a PDF without a network.
func chromium(t *testing.T, text string) printed {
	t.Helper()
	dir := t.TempDir()
	page, pdf := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	require.NoError(t, os.WriteFile(page, []byte(text), 0o600))
	profile, err := os.MkdirTemp("", "ringtrue-chromium")
	require.NoError(t, err)
	defer os.RemoveAll(profile) // it may still be written to for a moment
	out, err := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--user-data-dir="+profile, "--no-pdf-header-footer", "--print-to-pdf="+pdf, page).CombinedOutput()
	require.NoError(t, err, "chromium: %s", out)
	return readPDF(t, pdf)
}

var (
	pagesLine = regexp.MustCompile(`(?m)^Pages:\s+(\d+)$`)
	sizeLine  = regexp.MustCompile(`(?m)^Page size:\s+([\d.]+ x [\d.]+)`)
	wordForm  = regexp.MustCompile(`[\pL\pN]+`)
)

func readPDF(t *testing.T, pdf string) printed {
	t.Helper()
	info, err := exec.Command("pdfinfo", pdf).Output()
	require.NoError(t, err, "pdfinfo")
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	require.NoError(t, err, "pdftotext")
	n, size := pagesLine.FindSubmatch(info), sizeLine.FindSubmatch(info)
	require.NotNil(t, n)
	require.NotNil(t, size)
	pages, err := strconv.Atoi(string(n[1]))
	require.NoError(t, err)
	requireWithin(t, pdf)
	p := printed{pages: pages, size: string(size[1]), text: string(text), picked: map[string]bool{}}
	for _, w := range wordsIn(p.text) {
		p.picked[w] = true
	}
	return p
}

var boxLine = regexp.MustCompile(`<(page width|word xMin)="([\d.-]+)" (?:height|yMin)="([\d.-]+)"(?: xMax="([\d.-]+)" yMax="([\d.-]+)")?`)

// requireWithin fails where a word reaches beyond the edge of its page.
func requireWithin(t *testing.T, pdf string) {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", pdf, "-").Output()
	require.NoError(t, err, "pdftotext -bbox")
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return v
	}
	width, height, seen := 0.0, 0.0, 0
	for _, m := range boxLine.FindAllStringSubmatch(string(out), -1) {
		if m[1] == "page width" {
			width, height = number(m[2]), number(m[3])
			continue
		}
		seen++
		require.True(t, number(m[2]) >= 0 && number(m[3]) >= 0 && number(m[4]) <= width && number(m[5]) <= height, "%s reaches beyond %g x %g", m[0], width, height)
	}
	require.Greater(t, seen, 100)
}

// wordsIn are the words of a text in small letters, as the style writes some in capitals.
func wordsIn(text string) []string { return wordForm.FindAllString(strings.ToLower(text), -1) }

var (
	notShown = regexp.MustCompile(`(?s)<head>.*?</head>`)
	markup   = regexp.MustCompile(`<[^>]*>`)
)

// wordsOf are the words of a page that a reader is to see. Long ones may be broken at the end of a line.
func wordsOf(page string) []string {
	text := markup.ReplaceAllString(notShown.ReplaceAllString(page, ""), " ")
	text = strings.NewReplacer("&nbsp;", " ", "&#34;", `"`, "&#39;", "'", "&amp;", "&", "&#43;", "+", "&lt;", "<", "&gt;", ">").Replace(text)
	var out []string
	for _, w := range wordsIn(text) {
		if len(w) < 24 {
			out = append(out, w)
		}
	}
	return out
}

// requireAllPrinted fails where a word of the page is not on the paper: cut off, hidden or pushed out. The words of a line
// broken with a hyphen stand in the text without their spaces, too.
func requireAllPrinted(t *testing.T, page string, p printed) {
	t.Helper()
	joined := strings.Join(wordsIn(p.text), "")
	seen := 0
	for _, w := range wordsOf(page) {
		seen++
		require.True(t, p.picked[w] || strings.Contains(joined, w), "%q is not on the paper", w)
	}
	require.Greater(t, seen, 100)
}

var paperSizes = map[Paper]string{Letter: "612 x 792", A4: "594.96 x 841.92"} // points; Chromium rounds A4

// A crew of twelve with eight saws fits one page, on both papers and in each language, with every word on it.
func TestCrewCopyIsOnePage(t *testing.T) {
	for _, paper := range []Paper{Letter, A4} {
		for _, lang := range words.Languages() {
			t.Run(string(paper)+" "+lang, func(t *testing.T) {
				t.Parallel()
				text := html(t, bigMorning(paper, false), lang)
				p := chromium(t, text)
				require.Equal(t, 1, p.pages)
				require.Equal(t, paperSizes[paper], p.size)
				requireAllPrinted(t, text, p)
			})
		}
	}
}

// The other sheets may run to further pages; nothing of them is lost. The form to look at a skill is one page.
func TestSheetsArePrintedWhole(t *testing.T) {
	for name, sheet := range goldenPages() {
		if name == "crew.es" {
			continue // printed above
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			text := html(t, sheet.sheet, sheet.lang)
			p := chromium(t, text)
			most := 3
			if name == "skill.en" {
				most = 1
			}
			require.LessOrEqual(t, p.pages, most)
			requireAllPrinted(t, text, p)
		})
	}
}
