package main

import (
	"io"

	"trundle/cmd/trundle/paper"
)

// writeCSV writes rows for a spreadsheet, in which no cell is a formula.
func writeCSV(w io.Writer, rows [][]string) error { return paper.WriteCSV(w, rows) }
