package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/table"
)

// A title above the header is one finding, and the rows below are read.
func TestATitleAboveTheHeaderIsToldFromIt(t *testing.T) {
	csv, inText := table.Parse("pins.csv", "Great division, main case\n\nboard;pins;notes\nK1;1..61;C2..C7\n", columns)
	sheet, inSheet := table.ParseXLSX("pins.xlsx", "", bytesOf(t, book(t, map[string]any{
		"A1": "Great division", "A3": "board", "B3": "pins", "C3": "notes", "A4": "K1", "B4": "1..61", "C4": "C2..C7",
	})), columns)
	require.Len(t, inText, 1)
	require.Len(t, inSheet, 1)
	require.Equal(t, "pins.csv:1:1: line 1 looks like a title; the header stands in line 3", inText[0].Place.String()+": "+inText[0].Message)
	require.Equal(t, inText[0].Message, inSheet[0].Message)
	require.Contains(t, inText[0].Fix, "take the lines above the header out")
	for _, got := range []*table.Table{csv, sheet} {
		require.Len(t, got.Rows, 1)
		require.Equal(t, "1..61", got.Rows[0][1].Text)
	}
}

// Spreadsheets keep the value of a formula beside it: ECMA-376 part 1, 18.3.1.96.
func TestAFormulaIsReadByTheValueTheFileHolds(t *testing.T) {
	f := book(t, map[string]any{"A2": "K1", "B2": 12, "C2": "C2..C7"})
	data := rewritten(t, bytesOf(t, f), "<v>12</v>", "<f>6+6</f><v>12</v>")
	got, found := table.ParseXLSX("pins.xlsx", "", data, columns)
	require.Empty(t, found)
	require.Equal(t, "12", got.Rows[0][1].Text)

	data = rewritten(t, bytesOf(t, f), `<c r="B2"><v>12</v>`, `<c r="B2" t="str"><f>"1.."&amp;"61"</f><v>1..61</v>`)
	got, found = table.ParseXLSX("pins.xlsx", "", data, columns)
	require.Empty(t, found)
	require.Equal(t, "1..61", got.Rows[0][1].Text)
}

// What a file in some form writes, it reads back.
func TestARowWrittenInTheFormOfItsFileReadsBack(t *testing.T) {
	for _, header := range []string{"board,pins,notes", "notes;board;pins", "pins\tnotes\tboard"} {
		got, found := table.Parse("pins.csv", header+"\n", columns)
		require.Empty(t, found)
		texts := []string{`# "K" 1;2,3`, "1..61", "C2;C3"}
		line := got.Form().Line(got.Form().Cells(texts, nil))
		back, found := table.Parse("pins.csv", header+"\n"+line+"\n", columns)
		require.Empty(t, found)
		for i, text := range texts {
			require.Equal(t, text, back.Rows[0][i].Text, line)
		}
	}
	book, _ := table.ParseXLSX("pins.xlsx", "", bytesOf(t, book(t, map[string]any{"A2": "K1", "B2": 12, "C2": "C2..C7"})), columns)
	form := book.Form()
	require.Equal(t, "cell B2: write 13 and then cell C2: leave it empty", form.Rewrite(2, form.Line([]string{"K1", "12", "C2..C7"}), form.Line([]string{"K1", "13", ""})))
	require.Equal(t, "A: K1, B: 13", form.Say(form.Line([]string{"K1", "13", ""})))
}
