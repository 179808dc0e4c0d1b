package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
)

// table is one table of the sheet, with a header.
func (a sheetAnswer) table(name string) [][]string {
	switch name {
	case "pistons":
		return a.buttonTable()
	case "pins":
		return a.pinTable()
	}
	return a.stopTable()
}

func (a sheetAnswer) stopTable() [][]string {
	rows := [][]string{append([]string{"division"}, stopHeader...)}
	for _, d := range a.Divisions {
		for _, s := range slices.Concat(d.Stops, d.Percussions) {
			rows = append(rows, append([]string{d.Division}, s.Cells()...))
		}
	}
	return rows
}

var stopHeader = []string{"stop", "name", "feet", "family", "ranks", "from", "valves", "pipes", "adds", "repeats"}

// Cells is a stop as a row under stopHeader.
func (s stopPaper) Cells() []string {
	return []string{s.Stop, s.Name, s.Feet, strings.Join(s.Families, " "), s.Rows.String(), strings.Join(s.Takes, " "),
		strconv.Itoa(s.Valves), strconv.Itoa(s.Pipes), strconv.Itoa(s.Adds), s.repeatText()}
}

// String is how many ranks sound together: 4, or 3-5 where it varies.
func (r rowsPaper) String() string {
	if r.Least == r.Most {
		return strconv.Itoa(r.Most)
	}
	return fmt.Sprintf("%d-%d", r.Least, r.Most)
}

// repeatText is where a stop repeats: from C7 up.
func (s stopPaper) repeatText() string {
	var texts []string
	for _, r := range s.Repeats {
		way := "down"
		if r.Up {
			way = "up"
		}
		text := fmt.Sprintf("from %v %s", console.Note(r.Note), way)
		if len(s.Takes) > 1 {
			text = r.Rank + " " + text
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, ", ")
}

func (a sheetAnswer) buttonTable() [][]string {
	rows := [][]string{buttonHeader}
	for _, b := range a.Buttons {
		rows = append(rows, b.Cells())
	}
	return rows
}

var buttonHeader = []string{"button", "name", "kind", "stands", "takes"}

// Cells is a button as a row under buttonHeader.
func (b buttonPaper) Cells() []string {
	stands := b.Keyboard
	if b.Toe {
		stands = "toe"
	}
	takes := strings.Join(b.Takes, " ")
	if b.Repeats != "" {
		takes = "as " + b.Repeats
	}
	return []string{b.Button, b.Name, b.Kind, stands, takes}
}

func (a sheetAnswer) pinTable() [][]string {
	rows := [][]string{pinHeader}
	for _, p := range a.Pins {
		rows = append(rows, p.Cells())
	}
	return rows
}

var pinHeader = []string{"pin", "kind", "item", "note", "cable", "wire", "colour", "group"}

// Cells is a pin as a row under pinHeader.
func (p pinPaper) Cells() []string {
	wire := ""
	if p.Wire > 0 {
		wire = strconv.Itoa(p.Wire)
	}
	return []string{p.Pin, p.Kind, p.Item, p.Note, p.Cable, wire, p.Colour, p.Group}
}
