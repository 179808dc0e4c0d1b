package paper

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// hostile are texts that would do something where they are not written as text.
var hostile = []string{"<script>alert(1)</script>", `=HYPERLINK("http://example.com")`, "+1", "-1", "@SUM(A1)", "a & b < c", `"quoted" 'text'`, "</svg><img src=x onerror=alert(1)>"}

func hostilePaper() *Paper {
	var pen Pen
	table := &Table{Name: "names", Head: []string{"name", "twice"}, Colour: 2}
	for i, text := range hostile {
		pen.Text(10, float64(20*i), "start", text)
		pen.Small(10, float64(20*i), "start", text)
		table.Rows = append(table.Rows, []string{text, text})
		table.Caption += text
	}
	all := strings.Join(hostile, " ")
	return &Paper{Title: all, Lines: []string{all}, Caution: all, Sections: []Section{{ID: "names", Title: all, Text: []string{all},
		Parts: []Part{{Table: table}, {Drawing: pen.Drawn(all, all, 100, 100)}, {Tags: []Tag{{all, all}}}, {Sign: []string{all}}}}}}
}

func TestWhatAFileSaysIsTextInAPage(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, hostilePaper().WriteHTML(&b))
	page := b.String()
	require.NotContains(t, page, "<script")
	require.NotContains(t, page, "<img")
	require.Contains(t, page, "&lt;script&gt;alert(1)&lt;/script&gt;")
	svg := page[strings.Index(page, "<svg role"):]
	d := xml.NewDecoder(strings.NewReader(svg[:strings.Index(svg, "</svg>")+len("</svg>")]))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err, "a drawing is well formed")
	}
}

func TestNoCellOfATableIsAFormula(t *testing.T) {
	var b bytes.Buffer
	p := hostilePaper()
	require.NoError(t, p.WriteXLSX(&b))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	defer book.Close()
	rows, err := book.GetRows("names")
	require.NoError(t, err)
	for i, text := range hostile {
		require.Equal(t, text, rows[i+1][0])
		cell, err := excelize.CoordinatesToCellName(1, i+2)
		require.NoError(t, err)
		formula, err := book.GetCellFormula("names", cell)
		require.NoError(t, err)
		require.Empty(t, formula)
	}
	b.Reset()
	require.NoError(t, p.Tables()[0].WriteCSV(&b))
	cells, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for _, row := range cells[1:] {
		require.False(t, strings.ContainsRune("=+-@", rune(row[0][0])), row[0])
	}
}

func TestAMarkShowsColoursThatItKnows(t *testing.T) {
	require.Contains(t, string(mark("white-blue")), "#ffffff")
	require.Contains(t, string(mark("white-blue")), "#1f4fd0")
	require.Empty(t, mark("<b>-blue"))
	require.Empty(t, mark(""))
}

func TestLongWordsMayBreak(t *testing.T) {
	digest := strings.Repeat("0123456789abcdef", 4)
	require.Equal(t, digest[:32]+"<wbr>"+digest[32:], string(breakable(digest)))
	require.Equal(t, "2 2/3", string(breakable("2 2/3")))
	require.Equal(t, "a&lt;b", string(breakable("a<b")))
}

// shown is a table as the page has it, by texts.
func shown(l laid) (rows [][]string) {
	var head []string
	for _, c := range l.Head {
		head = append(head, c.Text)
	}
	rows = append(rows, head)
	for _, g := range l.Groups {
		if g.Text != "" {
			rows = append(rows, []string{g.Text})
		}
		for _, row := range g.Rows {
			var texts []string
			for _, c := range row {
				texts = append(texts, string(c.Text))
			}
			rows = append(rows, texts)
		}
	}
	return rows
}

func TestAColumnThatSaysNothingIsNotPrinted(t *testing.T) {
	whole := &Table{Head: []string{"pin", "name", "note", "colour"}, Rows: [][]string{{"X1.1", "X1.1", "", "white-blue"}, {"X1.2", "X1.2", "", ""}}, Colour: 4}
	l := lay(whole)
	require.Equal(t, [][]string{{"pin", "colour"}, {"X1.1", "white-blue"}, {"X1.2", ""}}, shown(l))
	require.NotEmpty(t, l.Groups[0].Rows[0][1].Mark)
	require.Empty(t, l.Groups[0].Rows[0][0].Mark)
	require.Len(t, whole.Rows[0], 4, "the files of the table have it")
}

func TestRowsStandUnderWhatTheyShare(t *testing.T) {
	l := lay(&Table{Head: []string{"kind", "what", "amps"}, Rows: [][]string{{"fuse", "X1", "2.5"}, {"fuse", "X2", ""}, {"board", "X1", "2"}}, Group: 1})
	require.Equal(t, [][]string{{"what", "amps"}, {"fuse"}, {"X1", "2.5"}, {"X2", ""}, {"board"}, {"X1", "2"}}, shown(l))
	require.True(t, l.Groups[0].Rows[0][0].IsHead, "what a row is about is its head, though another column is the first of the file")
	require.False(t, l.Head[0].Number)
	require.True(t, l.Head[1].Number, "amps stand to the right")
}

func TestAColumnOfNumbersIsNumbersInAWorkbook(t *testing.T) {
	table := &Table{Name: "pins", Head: []string{"pin", "wire", "feet"}, Rows: [][]string{{"X1.1", "7", "8"}, {"X1.2", "", "2 2/3"}, {"X1.3", "12.5", "-4"}}}
	var b bytes.Buffer
	require.NoError(t, (&Paper{Sections: []Section{{Parts: []Part{{Table: table}}}}}).WriteXLSX(&b))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	defer book.Close()
	for cell, want := range map[string]excelize.CellType{"A2": excelize.CellTypeInlineString, "B2": excelize.CellTypeUnset, "B4": excelize.CellTypeUnset, "C2": excelize.CellTypeInlineString, "C4": excelize.CellTypeInlineString} {
		kind, err := book.GetCellType("pins", cell)
		require.NoError(t, err)
		require.Equal(t, want, kind, cell)
	}
	value, err := book.GetCellValue("pins", "B4")
	require.NoError(t, err)
	require.Equal(t, "12.5", value)
}

func TestSheetsAreNamedAsAWorkbookAllows(t *testing.T) {
	long := strings.Repeat("board", 12)
	p := &Paper{}
	for _, name := range []string{"pins-X1", "pins-x1", "pins-" + long + "-1", "pins-" + long + "-2", "x1"} {
		p.Sections = append(p.Sections, Section{Parts: []Part{{Table: &Table{Name: name, Head: []string{"pin"}, Rows: [][]string{{name}}}}}})
	}
	var b bytes.Buffer
	require.NoError(t, p.WriteXLSX(&b))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	defer book.Close()
	sheets := book.GetSheetList()
	require.Len(t, sheets, 5)
	for i, table := range p.Tables() {
		require.LessOrEqual(t, len(sheets[i]), 31)
		rows, err := book.GetRows(sheets[i])
		require.NoError(t, err)
		require.Equal(t, table.Name, rows[1][0])
	}
}
