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
	require.Equal(t, strings.Repeat("0123456789abcdef<wbr>", 4), string(breakable(digest)))
	require.Equal(t, "2 2/3", string(breakable("2 2/3")))
	require.Equal(t, "a&lt;b", string(breakable("a<b")))
}

func TestAColumnInWhichNothingStandsIsNotPrinted(t *testing.T) {
	whole := &Table{Name: "pins", Head: []string{"pin", "note", "colour"}, Rows: [][]string{{"X1.1", "", "white-blue"}, {"X1.2", "", ""}}, Colour: 3}
	require.Equal(t, &Table{Name: "pins", Head: []string{"pin", "colour"}, Rows: [][]string{{"X1.1", "white-blue"}, {"X1.2", ""}}, Colour: 2}, filled(whole))
	require.Len(t, whole.Rows[0], 3, "the files of the table have it")
}
