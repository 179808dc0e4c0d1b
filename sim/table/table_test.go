package table_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/sim/table"
)

var columns = []table.Column{
	{Name: "board", Required: true}, {Name: "pins", Required: true}, {Name: "notes"}, {Name: "group"},
}

// read parses a text and gives each row as its cells, joined by |.
func read(t *testing.T, text string) []string {
	tab, found := table.Parse("pins.csv", text, columns)
	require.Empty(t, found)
	return rowsOf(tab)
}

func rowsOf(tab *table.Table) []string {
	var rows []string
	for _, row := range tab.Rows {
		var cells []string
		for _, c := range row {
			cells = append(cells, c.Text)
		}
		rows = append(rows, strings.Join(cells, "|"))
	}
	return rows
}

func TestEveryDialectReadsTheSame(t *testing.T) {
	want := []string{"K1|1..61|C2..C7|", "X1|1|D2 \"low\"|a,b;c"}
	for name, text := range map[string]string{
		"comma":            "board,pins,notes,group\nK1,1..61,C2..C7,\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\n",
		"semicolon":        "board;pins;notes;group\nK1;1..61;C2..C7;\nX1;1;\"D2 \"\"low\"\"\";\"a,b;c\"\n",
		"tab":              "board\tpins\tnotes\tgroup\nK1\t1..61\tC2..C7\t\nX1\t1\t\"D2 \"\"low\"\"\"\ta,b;c\n",
		"other order":      "notes,group,pins,board\nC2..C7,,1..61,K1\n\"D2 \"\"low\"\"\",\"a,b;c\",1,X1\n",
		"capitals":         "Board,PINS,Notes,Group\nK1,1..61,C2..C7\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\n",
		"blanks":           " board , pins , notes , group \n  K1 ,\t1..61 , C2..C7 ,  \n X1, 1 , \"D2 \"\"low\"\"\" , \"a,b;c\" \n",
		"comments":         "# a \"note\"\nboard,pins,notes,group\n# \"\nK1,1..61,C2..C7,\n#X1,2\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\n#",
		"blank rows":       "\n,,,\nboard,pins,notes,group\n\n  \n,,,\nK1,1..61,C2..C7,\n\"\",,,,,,\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\n\n",
		"carriage returns": "board,pins,notes,group\r\nK1,1..61,C2..C7,\r\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\r\n",
		"returns only":     "board,pins,notes,group\rK1,1..61,C2..C7,\rX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"\r",
		"no last line end": "board,pins,notes,group\nK1,1..61,C2..C7\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\"",
		"cells too many":   "board,pins,notes,group,,\nK1,1..61,C2..C7,,,\nX1,1,\"D2 \"\"low\"\"\",\"a,b;c\",,,,\n",
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, want, read(t, text)) })
	}
}

func TestCellsMayHoldSeveralLines(t *testing.T) {
	tab, found := table.Parse("pins.csv", "board,pins,notes\nK1,\"1\n# 2\",C2\nK2,3,C3\n", columns)
	require.Empty(t, found)
	require.Equal(t, []string{"K1|1 # 2|C2|", "K2|3|C3|"}, rowsOf(tab))
	require.Equal(t, finding.Place{File: "pins.csv", Line: 3, Column: 6}, tab.Place(tab.Rows[0][2]))
	require.Equal(t, finding.Place{File: "pins.csv", Line: 4, Column: 1}, tab.Place(tab.Rows[1][0]))
}

func TestColumnsAreCountedInCharacters(t *testing.T) {
	tab, found := table.Parse("pins.csv", "notes;board;pins\n D♯2…E♭2 ;\"é\";1\n", columns)
	require.Empty(t, found)
	row := tab.Rows[0]
	require.Equal(t, []int{2, 2, 2}, []int{row[0].Line, row[1].Line, row[2].Line})
	require.Equal(t, []int{11, 15, 2}, []int{row[0].Column, row[1].Column, row[2].Column})
	require.Equal(t, table.Cell{Line: 2, Column: 2}, row[3], "a column that the file does not have")
}

func TestTwoColumnsOfOneNameFollowTheirOwners(t *testing.T) {
	joins := []table.Column{{Name: "from"}, {Name: "pins", Of: "from"}, {Name: "to"}, {Name: "pins", Of: "to"}, {Name: "cable"}}
	for _, text := range []string{"from,pins,to,pins\nX1,1,J1,2\n", "to,pins,from,pins\nJ1,2,X1,1\n", "cable,to,pins,from,pins\n,J1,2,X1,1\n"} {
		tab, found := table.Parse("joins.csv", text, joins)
		require.Empty(t, found)
		require.Equal(t, []string{"X1|1|J1|2|"}, rowsOf(tab))
	}
}

func TestWhatIsWrongIsNamedWithItsPlace(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
		rows int // kept beside
	}{
		"nothing":                {"", []string{`pins.csv: the table is empty`}, 0},
		"comments only":          {"# board,pins\n\n", []string{`pins.csv: the table is empty`}, 0},
		"unknown column":         {"board,pin,notes\n", []string{`pins.csv:1:1: the column pins is missing`, `pins.csv:1:7: unknown column "pin" (did you mean pins?)`}, 0},
		"a column twice":         {"board,pins,board\nK1,1,K2\n", []string{`pins.csv:1:12: the column board stands twice`}, 1},
		"another table":          {"kind,line,notes,control,pins\nread,great,C2,,1\n", []string{`pins.csv:1:1: these are the columns of another table`}, 0},
		"no header":              {"K1,1..61,C2..C7\nK2,1..61,C2..C7\n", []string{`pins.csv:1:1: no column of this row is known`}, 0},
		"missing columns":        {"# so\n notes\nC2\n", []string{`pins.csv:2:2: the column board is missing`, `pins.csv:2:2: the column pins is missing`}, 0},
		"a cell under no name":   {"board,,pins\nK1,C2,1\n", []string{`pins.csv:2:4: "C2" stands under no column`}, 1},
		"a cell too many":        {"board,pins\nK1,1,,C2\n", []string{`pins.csv:2:7: "C2" stands under no column`}, 1},
		"a bare quote":           {"board,pins,notes\né1,1,6\" pipe\nK1,2,\nK1,3,a \"b\"\n", []string{`pins.csv:2:7: a quote stands inside a cell`, `pins.csv:4:8: a quote stands inside a cell`}, 1},
		"text behind a quote":    {"board,pins\n\"K1\"x,1\nK1,2\n", []string{`pins.csv:2:5: text follows the quote that closes its cell`}, 1},
		"a quote left open":      {"board,pins\nK1,1\nK1,\"2\nK1,3\n", []string{`pins.csv:3:4: the quote that opens here is never closed`}, 1},
		"a quote in the columns": {"board,\"pins\nK1,1\n", []string{`pins.csv:1:7: the quote that opens here is never closed`}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			tab, found := table.Parse("pins.csv", c.text, columns)
			require.Equal(t, c.want, said(found))
			require.Len(t, tab.Rows, c.rows)
		})
	}
}

// said is findings as one line each, with a fix that guesses.
func said(found []finding.Finding) []string {
	finding.Sort(found)
	var lines []string
	for _, f := range found {
		line := fmt.Sprintf("%s: %s", f.Place, f.Message)
		if strings.HasPrefix(f.Fix, "did you mean") {
			line += " (" + f.Fix + ")"
		}
		lines = append(lines, line)
	}
	return lines
}

func utf16Bytes(text string, big bool) []byte {
	var data []byte
	for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
		if big {
			data = append(data, byte(u>>8), byte(u))
		} else {
			data = append(data, byte(u), byte(u>>8))
		}
	}
	return data
}

func TestFilesAreReadInTheEncodingTheyBear(t *testing.T) {
	const text = "board,pins,notes\nK1,1,D♯2\n"
	for name, data := range map[string][]byte{
		"plain":      []byte(text),
		"marked":     []byte("\ufeff" + text),
		"UTF-16, le": utf16Bytes(text, false),
		"UTF-16, be": utf16Bytes(text, true),
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "pins.csv")
			require.NoError(t, os.WriteFile(path, data, 0o600))
			tab, found := table.Read(path, columns)
			require.Empty(t, found)
			require.Equal(t, []string{"K1|1|D♯2|"}, rowsOf(tab))
			require.Equal(t, finding.Place{File: path, Line: 2, Column: 6}, tab.Place(tab.Rows[0][2]))
		})
	}
}

func TestFilesThatAreNoTableAreRefused(t *testing.T) {
	dir := t.TempDir()
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"binary":       {[]byte("PK\x03\x04\x00\x00"), "pins.csv:1:3: the control character U+0003 stands here, so this is no table in text"},
		"not UTF-8":    {[]byte("board,pins\nK1,1\nK\xe9,2\n"), "pins.csv:3:2: a byte stands here that is no UTF-8, so this is no table in text"},
		"UTF-16, odd":  {append(utf16Bytes("board,pins\n", false), 'x'), "pins.csv:2:1: a byte stands here that is no UTF-8, so this is no table in text"},
		"empty":        {nil, "pins.csv: the table is empty"},
		"over 64 MB":   {make([]byte, table.MaxBytes+1), "pins.csv: is larger than 64 MB"},
		"a lone quote": {[]byte(`"`), "pins.csv:1:1: the quote that opens here is never closed"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(dir, "pins.csv")
			require.NoError(t, os.WriteFile(path, c.data, 0o600))
			_, found := table.Read(path, columns)
			require.Equal(t, []string{filepath.Join(dir, c.want)}, said(found))
		})
	}
	for name, want := range map[string]string{".": "is a directory, not a table", "none.csv": "cannot be read: no such file or directory"} {
		path := filepath.Join(dir, name)
		tab, found := table.Read(path, columns)
		require.Nil(t, tab)
		require.Equal(t, []string{path + ": " + want}, said(found))
	}
}
