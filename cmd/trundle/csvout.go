package main

import (
	"encoding/csv"
	"io"
	"strings"
)

// writeCSV writes rows for a spreadsheet. A cell that a spreadsheet would take
// for a formula is kept as text by a quote before it.
func writeCSV(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				cell = "'" + cell
			}
			cells[i] = cell
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
