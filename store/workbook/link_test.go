package workbook

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLinksLeadToRowsOfOtherSheets(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.xlsx")
	target := numbered("Looks", 5) // 2 rows to a worksheet: the third stands on the second of them
	target.Note = "Read this first."
	links := Sheet{Name: "Links", Columns: []Column{{Title: "No.", Kind: Number}, {Title: "To"}}, Rows: seq(nil,
		[]any{1, Link{Text: `=HYPERLINK("http://x.example")`, Sheet: "Looks", Row: 2}}, []any{2, Link{Text: "third", Sheet: "Looks", Row: 3}},
		[]any{3, Link{Text: "nowhere", Sheet: "", Row: 1}}, []any{4, Link{Text: "no row", Sheet: "Looks"}}, []any{5, Link{Sheet: "Looks", Row: 5}})}
	_, err := write(bg, path, Book{Created: created, Sheets: []Sheet{target, links}}, 4)
	require.NoError(t, err)
	sheets, err := Read(path, ForeignLimits())
	require.NoError(t, err)
	require.Equal(t, []string{"Looks", "Looks 2", "Looks 3", "Links", "Links 2"}, []string{sheets[0].Name, sheets[1].Name, sheets[2].Name, sheets[3].Name, sheets[4].Name})

	first, second := partOf(t, path, "xl/worksheets/sheet4.xml"), partOf(t, path, "xl/worksheets/sheet5.xml")
	require.Contains(t, first, `<hyperlinks><hyperlink ref="B2" location="&#39;Looks&#39;!A4"></hyperlink><hyperlink ref="B3" location="&#39;Looks 2&#39;!A3"></hyperlink></hyperlinks>`)
	require.Equal(t, 1, strings.Count(second, "<hyperlink "), "of an empty text too, and of none that leads nowhere")
	require.Contains(t, second, `<hyperlink ref="B3" location="&#39;Looks 3&#39;!A3">`)
	require.NotContains(t, first+second, "<f>")
	require.NotContains(t, first+second, "r:id", "no link leads out of the workbook")
}

func TestLinksBelongInText(t *testing.T) {
	book := Book{Created: created, Sheets: []Sheet{{Name: "N", Columns: []Column{{Title: "No.", Kind: Number}}, Rows: seq(nil, []any{Link{Text: "1", Sheet: "N", Row: 1}})}}}
	_, err := Write(bg, filepath.Join(t.TempDir(), "out.xlsx"), book)
	require.ErrorContains(t, err, `column "No.": a value of type string does not belong in a column of numbers`)
}
