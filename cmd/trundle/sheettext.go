package main

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// sheetText is the papers as text.
func sheetText(a sheetAnswer, ink ink) string {
	var b strings.Builder
	fmt.Fprintln(&b, ink.bold(a.Instrument))
	for _, d := range a.Divisions {
		fmt.Fprintf(&b, "\n%s\n", ink.bold(d.Name))
		writeStops(&b, d.Stops)
		if len(d.Percussions) > 0 {
			fmt.Fprintln(&b, "  percussions, which have no pipes:")
			writeStops(&b, d.Percussions)
		}
		fmt.Fprintf(&b, "  %s\n", d.Totals)
	}
	fmt.Fprintf(&b, "\n%s\n", ink.bold("in all: "+a.Totals.String()))
	if len(a.Buttons) > 0 {
		fmt.Fprintf(&b, "\n%s\n", ink.bold("Pistons"))
		writeTable(&b, a.shortButtonTable())
	}
	if len(a.Pins) > 0 {
		fmt.Fprintf(&b, "\n%s\n", ink.bold("Pins"))
		writeTable(&b, a.pinTable())
	}
	return b.String()
}

// shortButtonTable is the pistons with long lists of controls as their number.
func (a sheetAnswer) shortButtonTable() [][]string {
	rows := [][]string{buttonHeader}
	for _, b := range a.Buttons {
		cells := b.Cells()
		if n := len(b.Takes); n > 4 && b.Repeats == "" {
			cells[len(cells)-1] = count(n, "control")
		}
		rows = append(rows, cells)
	}
	return rows
}

// String is totals in words.
func (t totalsPaper) String() string {
	text := fmt.Sprintf("%s, %s, %s", count(t.Stops, "stop"), count(t.Ranks, "rank"), count(t.Pipes, "pipe"))
	if t.Percussions > 0 {
		text += ", " + count(t.Percussions, "percussion")
	}
	return text
}

func writeStops(b *strings.Builder, stops []stopPaper) {
	rows := [][]string{stopHeader}
	for _, s := range stops {
		rows = append(rows, s.Cells())
	}
	writeTable(b, rows)
}

// writeTable writes rows with their columns one under the other; columns of
// counts end together.
func writeTable(b *strings.Builder, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			switch rows[0][i] {
			case "ranks", "valves", "pipes", "adds", "wire":
				line.WriteString("  " + pad + cell)
			default:
				line.WriteString("  " + cell + pad)
			}
		}
		fmt.Fprintln(b, strings.TrimRight(line.String(), " "))
	}
}
