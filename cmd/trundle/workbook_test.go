package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A relay whose wiring is a sheet of a workbook, in the shop's own columns.
func TestACheckReadsAWorkbookAndNamesItsSheetAndCell(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	write("organ.yaml", `format: 1
instrument: Small
keyboards: {pedal: {kind: pedal, keys: C2..C3}}
divisions: {pedal: {keyboard: pedal, notes: C2..C3, chest: unit}}
ranks: {flute: {division: pedal, family: flute, feet: 8, pipes: 13}}
stops: {flute-8: {name: Flute, division: pedal, feet: 8, rank: flute}}
`)
	write("relay.yaml", `format: 1
boards: {K1: {kind: input, pins: 13}, S1: {kind: input, pins: 1}, X1: {kind: output, pins: 13}}
columns: {Card: board, Pin: pins, What: kind, Of: item, Remarks: ignore}
wiring: ["pins.xlsx#Plan"]
`)
	sheet := func(pin any) {
		book := excelize.NewFile()
		defer book.Close()
		require.NoError(t, book.SetSheetName("Sheet1", "Plan"))
		for i, row := range [][]any{
			{"Card", "Pin", "What", "Of", "Remarks"}, {"K1", "1..13", "key", "pedal", "by the wall"},
			{"S1", pin, "stop", "flute-8"}, {"X1", "1..13", "valve", "flute"},
		} {
			cell, err := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, err)
			require.NoError(t, book.SetSheetRow("Plan", cell, &row))
		}
		require.NoError(t, book.SaveAs(filepath.Join(folder, "pins.xlsx")))
	}
	for _, c := range []struct {
		pin  any
		exit int
		want []string
	}{
		{1, exitGood, []string{`"verdict":"equal"`, `pins.xlsx":"sha256:`}},
		{1.5, exitBad, []string{`pins.xlsx#Plan","line":3,"column":2,"message":"B3 is a number`, `"verdict":"not-run"`}},
	} {
		sheet(c.pin)
		var stdout, stderr strings.Builder
		exit := run([]string{"check", filepath.Join(folder, "organ.yaml"), "--relay", filepath.Join(folder, "relay.yaml"), "--format", "json"},
			strings.NewReader(""), &stdout, &stderr)
		require.Equal(t, c.exit, exit, stdout.String()+stderr.String())
		for _, want := range c.want {
			require.Contains(t, stdout.String(), want)
		}
	}
}
