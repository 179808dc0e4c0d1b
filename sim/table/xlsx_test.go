package table_test

import (
	"archive/zip"
	"bytes"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"trundle/sim/table"
)

// book is a workbook that excelize writes, with some cells of Sheet1 set.
func book(t testing.TB, cells map[string]any) *excelize.File {
	t.Helper()
	f := excelize.NewFile()
	t.Cleanup(func() { f.Close() })
	header := []any{"Board", "PINS", "notes"}
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &header))
	for name, value := range cells {
		require.NoError(t, f.SetCellValue("Sheet1", name, value))
	}
	return f
}

func bytesOf(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func TestASheetFillsTheSameTableAsCSV(t *testing.T) {
	f := book(t, map[string]any{"A2": "# a comment", "A4": " K1 ", "B4": "1..61", "C4": "C2..C7", "A5": "S1", "B5": 1, "A6": "", "A7": "S1", "B7": "012"})
	path := filepath.Join(t.TempDir(), "pins.xlsx")
	require.NoError(t, os.WriteFile(path, bytesOf(t, f), 0o644))
	want, found := table.Parse("pins.csv", "Board,PINS,notes\n#\n\n K1 ,1..61,C2..C7\nS1,1,\n,,\nS1,012,\n", columns)
	require.Empty(t, found)
	for _, name := range []string{path, path + "#Sheet1"} {
		got, found := table.Read(name, columns)
		require.Empty(t, found)
		require.Equal(t, rowsOf(want), rowsOf(got))
		require.Equal(t, path+"#Sheet1:4:3", got.Place(got.Rows[0][2]).String())
	}
}

func TestWhatASpreadsheetMadeOfTextIsRefusedByItsCell(t *testing.T) {
	styled := func(cell string, value any, format int) func(*excelize.File) error {
		return func(f *excelize.File) error {
			style, err := f.NewStyle(&excelize.Style{NumFmt: format})
			if err != nil {
				return err
			}
			if err := f.SetCellValue("Sheet1", cell, value); err != nil {
				return err
			}
			return f.SetCellStyle("Sheet1", cell, cell, style)
		}
	}
	formula := func(cell, text string) func(*excelize.File) error { // without a value
		return func(f *excelize.File) error {
			if err := f.SetCellValue("Sheet1", cell, nil); err != nil {
				return err
			}
			return f.SetCellFormula("Sheet1", cell, text)
		}
	}
	for name, c := range map[string]struct {
		edit func(*excelize.File) error
		want string
	}{
		"a date made of 1-2": {func(f *excelize.File) error {
			return f.SetCellValue("Sheet1", "B7", time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC))
		}, "pins.xlsx#Sheet1:7:2: B7 is a date"},
		"a number in a date format": {styled("B7", 46024, 14), "pins.xlsx#Sheet1:7:2: B7 is a date"}, // 14 is the built-in short date, ECMA-376 part 1, 18.8.30
		"a number shown as 1.00":    {styled("B7", 1, 2), "pins.xlsx#Sheet1:7:2: B7 is a number that is shown as 1.00"},
		"a number with a point":     {func(f *excelize.File) error { return f.SetCellValue("Sheet1", "B7", 1.5) }, "pins.xlsx#Sheet1:7:2: B7 is a number that is shown as 1.5"},
		"a number below nothing":    {func(f *excelize.File) error { return f.SetCellValue("Sheet1", "B7", -1) }, "pins.xlsx#Sheet1:7:2: B7 is a number that is shown as -1"},
		"a formula":                 {formula("B7", "1+1"), "pins.xlsx#Sheet1:7:2: B7 is a formula whose value the file does not hold"},
		"a formula for the header":  {formula("C1", `"no"&"tes"`), "pins.xlsx#Sheet1:1:3: C1 is a formula"},
		"true":                      {func(f *excelize.File) error { return f.SetCellValue("Sheet1", "C7", true) }, "pins.xlsx#Sheet1:7:3: C7 is true or false"},
		"merged cells":              {func(f *excelize.File) error { return f.MergeCell("Sheet1", "A6", "A8") }, "pins.xlsx#Sheet1:6:1: A6:A8 are merged"},
		"a column too far":          {func(f *excelize.File) error { return f.SetCellValue("Sheet1", "XFD7", "x") }, "pins.xlsx: has more than 200 columns"},
		"text under no column":      {func(f *excelize.File) error { return f.SetCellValue("Sheet1", "E7", "x") }, `pins.xlsx#Sheet1:7:5: "x" stands under no column`},
		"two sheets and no name": {func(f *excelize.File) error { _, err := f.NewSheet("More"); return err },
			"pins.xlsx: has 2 sheets; name one, like pins.xlsx#Sheet1"},
	} {
		t.Run(name, func(t *testing.T) {
			f := book(t, map[string]any{"A7": "K1", "B7": "1..61", "C7": "C2..C7"})
			require.NoError(t, c.edit(f))
			_, found := table.ParseXLSX("pins.xlsx", "", bytesOf(t, f), columns)
			require.Len(t, found, 1)
			require.Contains(t, found[0].Place.String()+": "+found[0].Message+"; "+found[0].Fix, c.want)
			require.NotEmpty(t, found[0].Fix)
		})
	}
}

// A cell may carry 1.0 in the file itself, as some programs write whole numbers.
func TestANumberWrittenWithAPointIsRefused(t *testing.T) {
	data := rewritten(t, bytesOf(t, book(t, map[string]any{"A2": "K1", "B2": 1})), "<v>1</v></c></row></sheetData>", "<v>1.0</v></c></row></sheetData>")
	_, found := table.ParseXLSX("pins.xlsx", "Sheet1", data, columns)
	require.Len(t, found, 1)
	require.Contains(t, found[0].Message, "B2 is a number")
}

const firstSheet = "xl/worksheets/sheet1.xml"

// parts are the files of a workbook by name.
func parts(t testing.TB, data []byte) map[string]string {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	texts := map[string]string{}
	for _, file := range r.File {
		in, err := file.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(in)
		require.NoError(t, err)
		texts[file.Name] = string(text)
	}
	return texts
}

func packed(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		part, err := w.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(part, parts[name])
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return out.Bytes()
}

// rewritten is a workbook with a text in its first sheet exchanged.
func rewritten(t *testing.T, data []byte, old, with string) []byte {
	t.Helper()
	of := parts(t, data)
	require.Contains(t, of[firstSheet], old)
	of[firstSheet] = strings.Replace(of[firstSheet], old, with, 1)
	return packed(t, of)
}

// 65 MB of blanks pack into a few kilobytes; they are not unpacked.
func TestAWorkbookThatUnpacksToTooMuchIsRefused(t *testing.T) {
	data := rewritten(t, bytesOf(t, book(t, nil)), "<sheetData>", "<!--"+string(bytes.Repeat([]byte(" "), 65<<20))+"--><sheetData>")
	require.Less(t, len(data), 1<<20)
	_, found := table.ParseXLSX("pins.xlsx", "Sheet1", data, columns)
	require.Len(t, found, 1)
	require.Contains(t, found[0].Message, "is no workbook that can be read")
	require.Contains(t, found[0].Fix, "64 MB")
}

func TestAColumnMayHaveAnotherName(t *testing.T) {
	also := []table.Column{{Name: "board", Required: true, Also: []string{"card"}}, {Name: "pins", Required: true, Also: []string{"pin"}}, {Name: "remarks"}}
	got, found := table.Parse("pins.csv", "Pin,Card,Remarks\n1,K1,new\n", also)
	require.Empty(t, found)
	require.Equal(t, []string{"K1|1|new"}, rowsOf(got))
}

// FuzzXLSX reads any text as the sheet, the styles and the shared texts of a
// workbook, and any bytes as a whole one.
func FuzzXLSX(f *testing.F) {
	whole := parts(f, bytesOf(f, book(f, map[string]any{"A2": "K1", "B2": 1, "C2": "C2..C7", "A3": "x", "B3": 1.5, "C3": time.Unix(0, 0)})))
	const styles, shared = "xl/styles.xml", "xl/sharedStrings.xml"
	f.Add(whole[firstSheet], whole[styles], whole[shared], []byte("PK\x03\x04"))
	f.Add(`<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>7</v></c></row></sheetData></worksheet>`, "", "", []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"))
	f.Fuzz(func(t *testing.T, sheet, style, text string, other []byte) {
		of := maps.Clone(whole)
		of[firstSheet], of[styles], of[shared] = sheet, style, text
		for _, data := range [][]byte{packed(t, of), other} {
			got, found := table.ParseXLSX("pins.xlsx", "", data, columns)
			require.True(t, got != nil || len(found) > 0)
			for _, one := range found {
				require.NotEmpty(t, one.Message)
				require.NotContains(t, one.Message+one.Fix, "\n")
			}
		}
	})
}
