package main

import (
	"fmt"
	"iter"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/store/workbook"
)

// titleKey makes a title comparable, without the unit in brackets behind it.
func titleKey(title string) string {
	word, _ := titleUnit(title)
	return rosterKey(word)
}

// titleUnit takes "Bore (mm)" apart.
func titleUnit(title string) (word, unit string) {
	title = strings.TrimSpace(title)
	word, rest, ok := strings.Cut(title, "(")
	if !ok || !strings.HasSuffix(rest, ")") {
		return title, ""
	}
	return word, strings.TrimSpace(strings.TrimSuffix(rest, ")"))
}

// find looks for the line of titles: the first that names a person or a saw, and the line below it where that one holds
// titles too, as under headings that span columns.
func (t *rosterTable) find(mapped map[string]string) bool {
	for row := range t.rows[:min(len(t.rows), titlesWithin)] {
		twice := t.take(row, t.rows[row], mapped)
		if !t.isList() {
			continue
		}
		if two := t.secondTitles(row, mapped); two != nil {
			twice = t.take(row+1, two, mapped)
			t.notes = append(t.notes, fmt.Sprintf("sheet %q: rows %d and %d are read as titles", t.name, row+1, row+2))
		}
		if rest := t.notTaken(twice, mapped); len(rest) > 0 {
			t.notes = append(t.notes, fmt.Sprintf("sheet %q: columns that are not taken: %s; %s", t.name, strings.Join(rest, "; "), nameColumns))
		}
		return true
	}
	return false
}

// take takes titles for those of the sheet, and gives the columns whose field another has already.
func (t *rosterTable) take(row int, titles []string, mapped map[string]string) (twice map[int]string) {
	t.top, t.titles, t.column, t.unit, twice = row, titles, map[string]int{}, map[string]string{}, map[int]string{}
	for c, title := range titles {
		field := rosterFieldOf(title, mapped)
		if field == "" {
			continue
		}
		if _, taken := t.column[field]; taken {
			twice[c] = field
			continue
		}
		t.column[field] = c
		_, t.unit[field] = titleUnit(title)
	}
	return twice
}

// secondTitles gives the titles of two lines together, nil where the line below holds none: what it says counts, and the upper line where
// it is blank. It is a line of titles where most of its cells are known ones, and one stands below nothing.
func (t *rosterTable) secondTitles(row int, mapped map[string]string) (titles []string) {
	if row+1 >= len(t.rows) {
		return nil
	}
	upper, lower := t.rows[row], t.rows[row+1]
	known, filled, below := 0, 0, false
	for c := range max(len(upper), len(lower)) {
		over, title := strings.TrimSpace(cellIn(upper, c)), strings.TrimSpace(cellIn(lower, c))
		if title != "" {
			filled++
			if rosterFieldOf(title, mapped) != "" {
				known++
				below = below || over == ""
			}
			over = title
		}
		titles = append(titles, over)
	}
	if known < 2 || known*2 < filled || !below {
		return nil
	}
	return titles
}

// cellIn is a cell of a row, blank beyond its end.
func cellIn(row []string, c int) string {
	if c >= len(row) {
		return ""
	}
	return row[c]
}

// notTaken names the titled columns of which nothing is read: no field is known for them, another column has it, or nothing
// stands on the sheet that it belongs to. What --map leaves out is not named.
func (t *rosterTable) notTaken(twice map[int]string, mapped map[string]string) (rest []string) {
	for c, title := range t.titles {
		title = strings.TrimSpace(title)
		field := rosterFieldOf(title, mapped)
		_, left := mapped[titleKey(title)]
		switch {
		case title == "" || left && field == "":
		case field == "":
			rest = append(rest, title)
		case twice[c] != "":
			rest = append(rest, title+" (a second column for "+field+")")
		case !t.takes(field):
			rest = append(rest, title+" (goes with "+goesWith(field)+", and the sheet has none)")
		}
	}
	return rest
}

// rosterFieldOf finds the field that a title stands for.
func rosterFieldOf(title string, mapped map[string]string) string {
	key := titleKey(title)
	if field, ok := mapped[key]; ok || key == "" {
		return field
	}
	for _, name := range slices.Sorted(maps.Keys(rosterFields)) {
		f := rosterFields[name]
		if key == rosterKey(f.title) || key == rosterKey(name) || slices.ContainsFunc(f.also, func(s string) bool { return rosterKey(s) == key }) {
			return name
		}
	}
	return ""
}

// Fields by what they belong to.
var (
	personFields = words("short, from, crew, contact, contract, young")
	pieceFields  = words("size, standard, serial, made, replace-by, source, own, issued")
	sawFields    = words("saw, spindle, blades, bore, guard, harness, tank, service, vibration, noise, owner")
)

func (t *rosterTable) isList() bool { return t.hasAny("name", "last-name") || t.isSaws() }

func (t *rosterTable) isSaws() bool { return t.has("saw") && t.hasAny("spindle", "blades") }

// takes reports whether something is read from the column of a field.
func (t *rosterTable) takes(field string) bool {
	switch {
	case slices.Contains(sawFields, field):
		return t.isSaws()
	case !t.hasAny("name", "last-name"):
		return false
	case field == "document", field == t.pastDayField():
		return t.hasAny("module", "skill", "ticket")
	case field == "reason":
		return t.hasAny("module", "skill")
	case field == t.untilField() && t.has("ticket"):
		return true
	case field == "serial" && t.has("ticket"):
		return true
	case field == "until":
		return false
	case slices.Contains(pieceFields, field):
		return t.has("item")
	}
	return true
}

// goesWith says what a field that the sheet has no use for belongs to.
func goesWith(field string) string {
	switch {
	case field == "document", field == "day":
		return "a training or ticket"
	case field == "reason":
		return "a training"
	case field == "until":
		return "a ticket"
	case slices.Contains(pieceFields, field):
		return "an item"
	case slices.Contains(sawFields, field):
		return "saws and their spindle speed or blades"
	}
	return "people" // all the others
}

// data gives the lines below the titles that are not blank and no totals.
func (t *rosterTable) data() iter.Seq[int] {
	return func(yield func(int) bool) {
		for row := t.top + 1; row < len(t.rows); row++ {
			if !t.blankRow(row) && !t.sums(row) && !yield(row) {
				return
			}
		}
	}
}

// sumLine is how a line begins that sums up others.
var sumLine = regexp.MustCompile(`(?i)^(grand |sub-?)?totals?\b`)

// sums reports whether a line sums up others, as its first text says.
func (t *rosterTable) sums(row int) bool {
	for _, c := range t.rows[row] {
		if c = strings.TrimSpace(c); c != "" {
			return sumLine.MatchString(c)
		}
	}
	return false
}

// sayTotals names the lines that sum up others.
func (t *rosterTable) sayTotals() {
	var rows []string
	for row := t.top + 1; row < len(t.rows); row++ {
		if t.sums(row) {
			rows = append(rows, strconv.Itoa(row+1))
		}
	}
	if len(rows) > 0 {
		t.notes = append(t.notes, fmt.Sprintf("sheet %q: %s read as totals, and nothing is taken there", t.name, rowList(rows)))
	}
}

// giveTitles is the next step where columns have no title.
const giveTitles = "give each such column a title in the file"

// sayUntitled names the first cells of columns that hold something and have no title.
func (t *rosterTable) sayUntitled() {
	first := map[int]string{}
	for row := range t.data() {
		for c, text := range t.rows[row] {
			if text = strings.TrimSpace(text); text != "" && strings.TrimSpace(cellIn(t.titles, c)) == "" && first[c] == "" {
				first[c] = fmt.Sprintf("%s (%s)", workbook.Place(t.name, row, c), text)
			}
		}
	}
	var cells []string
	for _, c := range slices.Sorted(maps.Keys(first)) {
		cells = append(cells, first[c])
	}
	if len(cells) > 0 {
		t.notes = append(t.notes, fmt.Sprintf("columns without a title are not taken: %s; %s", strings.Join(cells, ", "), giveTitles))
	}
}
