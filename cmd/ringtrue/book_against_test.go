package main

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
)

// sealedSheets are the sheets Seal and Leaves of a workbook over two ledgers, of three entries and one.
func sealedSheets() ([]workbook.ReadSheet, []ledger.Leaves) {
	all := []ledger.Leaves{{{1}, {2}, {3}}, {{4}}}
	seal := workbook.ReadSheet{Name: sealSheet, Rows: [][]string{{"A note"}, {"What", "Value"}, {"made at", "2026-07-31"}}}
	leaves := workbook.ReadSheet{Name: leavesSheet, Rows: [][]string{{"Ledger", "Number", "Leaf (hex)"}}}
	for i, l := range all {
		name := fmt.Sprint("north/truck-", i+1)
		seal.Rows = append(seal.Rows, []string{sealLedger, name}, []string{sealEntries, fmt.Sprint(len(l))}, []string{sealRoot, fmt.Sprintf("%x", l.Root())}, []string{sealSigned, ""})
		for n, leaf := range l {
			leaves.Rows = append(leaves.Rows, []string{name, fmt.Sprint(n + 1), fmt.Sprintf("%x", leaf)})
		}
	}
	return []workbook.ReadSheet{{Name: "Standing"}, seal, leaves}, all
}

func TestSealSheetsAreReadAsTheyWereWritten(t *testing.T) {
	sheets, all := sealedSheets()
	more := workbook.ReadSheet{Name: leavesSheet + " 2", Rows: append([][]string{sheets[2].Rows[0]}, sheets[2].Rows[4:]...)}
	sheets[2].Rows = sheets[2].Rows[:4]
	list, err := parseSealSheet(sheets)
	require.NoError(t, err)
	require.NoError(t, fillLeaves(list, append(sheets, more)))
	require.Len(t, list, 2)
	for i, l := range all {
		require.Equal(t, l, list[i].leaves)
		require.Equal(t, ledger.Head{Origin: fmt.Sprint("north/truck-", i+1), Size: int64(len(l)), Root: l.Root()}, list[i].Head)
	}
}

func TestSealSheetsThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(seal, leaves *workbook.ReadSheet)
		want   string
	}{
		"no sheet":             {func(seal, _ *workbook.ReadSheet) { seal.Name = "Sail" }, "has no sheet"},
		"no ledger":            {func(seal, _ *workbook.ReadSheet) { seal.Rows = seal.Rows[:3] }, "has no sheet"},
		"a size in words":      {func(seal, _ *workbook.ReadSheet) { seal.Rows[4][1] = "three" }, `entries of north/truck-1 is "three"`},
		"a size below nothing": {func(seal, _ *workbook.ReadSheet) { seal.Rows[4][1] = "-3" }, `is "-3"`},
		"a root cut":           {func(seal, _ *workbook.ReadSheet) { seal.Rows[5][1] = seal.Rows[5][1][:62] }, "root (hex) of north/truck-1"},
		"a leaf missing":       {func(_, leaves *workbook.ReadSheet) { leaves.Rows = append(leaves.Rows[:2], leaves.Rows[3:]...) }, "sheet Leaves, row 3"},
		"a leaf twice":         {func(_, leaves *workbook.ReadSheet) { leaves.Rows[3] = leaves.Rows[2] }, "sheet Leaves, row 4"},
		"a leaf cut":           {func(_, leaves *workbook.ReadSheet) { leaves.Rows[2][2] = "00" }, "sheet Leaves, row 3"},
		"a ledger unknown":     {func(_, leaves *workbook.ReadSheet) { leaves.Rows[4][0] = "south" }, "sheet Leaves, row 5"},
	} {
		sheets, _ := sealedSheets()
		c.change(&sheets[1], &sheets[2])
		list, err := parseSealSheet(sheets)
		if err == nil {
			err = fillLeaves(list, sheets)
		}
		require.ErrorContains(t, err, c.want, name)
	}
}
