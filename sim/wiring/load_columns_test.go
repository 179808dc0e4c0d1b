package wiring_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// toWorkbook writes a CSV file of the bench as a sheet.
func toWorkbook(t *testing.T, from, to, sheet string) {
	t.Helper()
	text, err := os.ReadFile(from)
	require.NoError(t, err)
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	require.NoError(t, err)
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", sheet))
	for i, row := range rows {
		for j, cell := range row {
			name, err := excelize.CoordinatesToCellName(j+1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStr(sheet, name, cell))
		}
	}
	require.NoError(t, f.SaveAs(to))
}

func bareRows(rows []wiring.Row) []wiring.Row {
	for i := range rows {
		rows[i].At, rows[i].Cells = finding.Place{}, nil
	}
	return rows
}

func TestAWorkbookIsReadAsTheTableItHolds(t *testing.T) {
	in, relay, _ := bench(t)
	want, found := wiring.Load(relay, in)
	require.NotNil(t, want, "%v", found)

	in, relay, _ = bench(t, edit{"relay.yaml", "wiring: wiring.csv", "wiring: pins.xlsx#Plan"})
	folder := filepath.Dir(relay)
	toWorkbook(t, filepath.Join(folder, "wiring.csv"), filepath.Join(folder, "pins.xlsx"), "Plan")
	got, found := wiring.Load(relay, in)
	require.NotNil(t, got, "%v", found)
	require.Equal(t, filepath.Join(folder, "pins.xlsx#Plan"), got.Plan[0].At.File)
	require.Equal(t, 2, got.Plan[0].At.Line)
	require.Empty(t, wiring.Check(got, in))
	require.Equal(t, bareRows(want.Plan), bareRows(got.Plan))
}

func TestAShopsOwnSheetIsReadUnderItsOwnNames(t *testing.T) {
	shop := edit{"wiring.csv", "board,pins,kind,item,notes,cable,wires,group", "Card,Terminal,What,Of,Range,Cable,Wires,Remark"}
	in, relay, _ := bench(t)
	text, err := os.ReadFile(filepath.Join(filepath.Dir(relay), "wiring.csv"))
	require.NoError(t, err)
	if !strings.Contains(string(text), shop.old) {
		t.Fatalf("the bench has another header: %s", strings.SplitN(string(text), "\n", 2)[0])
	}
	want, found := wiring.Load(relay, in)
	require.NotNil(t, want, "%v", found)

	in, relay, _ = bench(t, shop, edit{"relay.yaml", "wiring: wiring.csv",
		"columns: {Card: board, Terminal: pins, what: kind, Of: item, Range: notes, Remark: group}\nwiring: wiring.csv"})
	got, found := wiring.Load(relay, in)
	require.NotNil(t, got, "%v", found)
	require.Equal(t, bareRows(want.Plan), bareRows(got.Plan))
}

func TestAColumnMapThatMeansNothingIsRefused(t *testing.T) {
	for columns, want := range map[string]string{
		"{Pin: ①pin}":          "① no-meaning: no column pin",
		"{①Cable: pins}":       "① no-meaning: Cable is the name of a column already",
		"{①notes: ignore}":     "① no-meaning: notes is the name of a column already",
		"①[pins]":              "① no-meaning: a list stands where a map of `name: value` entries is meant",
		"{Remark: ①[x]}":       "① no-meaning: a list stands where one value is meant",
		"{Remark: ①something}": "① no-meaning: no column something",
	} {
		in, relay, marked := bench(t, edit{"relay.yaml", "wiring: wiring.csv", "columns: " + columns + "\nwiring: wiring.csv"})
		r, found := wiring.Load(relay, in)
		require.Nil(t, r)
		require.Equal(t, []string{want}, said(found, marked), columns)
	}
}

func TestAColumnThatIsNotKnownMayBeIgnoredAndTheFindingSaysHow(t *testing.T) {
	more := edit{"wiring.csv", "board,pins,kind,item,notes,cable,wires,group", "board,pins,kind,item,notes,cable,wires,Ohms"}
	in, relay, _ := bench(t, more)
	_, found := wiring.Load(relay, in)
	require.NotEmpty(t, found)
	_, line, says := strings.Cut(found[0].Fix, "; or tell relay.yaml what it is: ")
	require.True(t, says, found[0].Fix)

	in, relay, _ = bench(t, more, edit{"relay.yaml", "wiring: wiring.csv", line + "\nwiring: wiring.csv"})
	_, found = wiring.Load(relay, in)
	require.Empty(t, found, "%s", line)
}
