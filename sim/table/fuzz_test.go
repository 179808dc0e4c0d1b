package table_test

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/table"
)

// FuzzTable reads any text, and where it finds nothing wrong compares the
// cells with those that encoding/csv reads (RFC 4180).
func FuzzTable(f *testing.F) {
	for _, seed := range []string{
		"board,pins,notes\nK1,1..61,C2..C7\n# spare\n\nK2,\"1\n2\",\n",
		"board;pins;notes\r\nK1;\" a \";\"say \"\"no\"\"\"\r\n",
		"board\tpins\nK1\t\t\n\tx\n",
		"notes,board,pins\n\",\",K1,6\" pipe\n\"open",
		"\n,,\n\"board\",pins,\nK1,1,\n",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		tab, found := table.Parse("pins.csv", text, columns)
		if len(found) > 0 {
			for _, one := range found {
				require.Equal(t, "pins.csv", one.File)
				require.NotEmpty(t, one.Message)
			}
			return
		}
		want, ok := peer(text)
		if !ok {
			return // blanks around a quoted cell: encoding/csv refuses them
		}
		require.Equal(t, want, rowsOf(tab), "%q", text)
	})
}

// peer reads the text with encoding/csv, as Parse says it reads it.
func peer(text string) (rows []string, ok bool) {
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	for _, comma := range ",;\t" {
		reader := csv.NewReader(strings.NewReader(text))
		reader.Comma, reader.Comment, reader.FieldsPerRecord = comma, '#', -1
		records, err := reader.ReadAll()
		if err != nil {
			continue
		}
		var at map[string]int
		for _, record := range records {
			for i := range record {
				record[i] = strings.TrimSpace(strings.ReplaceAll(record[i], "\n", " "))
			}
			switch {
			case strings.Join(record, "") == "":
			case at == nil:
				at = map[string]int{}
				for i, name := range record {
					at[strings.ToLower(name)] = i
				}
				if _, has := at["pins"]; !has {
					return nil, false
				}
			default:
				var cells []string
				for _, c := range columns {
					cell := ""
					if i, has := at[c.Name]; has && i < len(record) {
						cell = record[i]
					}
					cells = append(cells, cell)
				}
				rows = append(rows, strings.Join(cells, "|"))
			}
		}
		if at != nil {
			return rows, true
		}
	}
	return nil, false
}

func BenchmarkParse(b *testing.B) {
	var text strings.Builder
	text.WriteString("board,pins,notes,group\n")
	for i := range 100_000 {
		fmt.Fprintf(&text, "X%d,%d,C%d,\n", i/64, i%64+1, i%7)
	}
	b.ReportAllocs()
	for b.Loop() {
		tab, found := table.Parse("pins.csv", text.String(), columns)
		if len(tab.Rows) != 100_000 || len(found) > 0 {
			b.Fatal(len(tab.Rows), found)
		}
	}
}
