package main

import (
	"fmt"
	"io"
	"strings"

	"trundle/console"
	"trundle/midiio/mapping"
	"trundle/sim/wiring"
)

// sheet is a kind of table: what a row of it says, its columns, and what the
// words of one column mean.
type sheet struct {
	about   string
	columns [][2]string
	of      string // what the words below are
	words   [][2]string
	example string
}

var sheets = map[string]sheet{
	"wiring": {
		about: "A table of wiring, CSV or a sheet of a workbook: each row is a run of pins of one board, or of terminals of one strip, and what hangs on each of them. Runs are lists, steps and descending runs too: 1..25 27..62, C2..A#6/2 C#2..B6/2, C7..C2. Relay.yaml names it under wiring, and under wired as it was soldered.",
		columns: [][2]string{
			{"board", "a board or strip"},
			{"pins", "the run, from 1: 1..61"},
			{"kind", "one of those below"},
			{"item", "a keyboard, control, button, shoe, chest, chest/division, rank, rank/division or box, by its id"},
			{"notes", "keys, note lines, valves or stages, one a pin; all of them when not given, but of a stage or shade on a single pin its own place alone"},
			{"cable", "the cable to the next thing"},
			{"wires", "of the cable, one a pin"},
			{"group", "the same word on all rows where one item may be on several pins: doubled contacts, two magnets to a big pipe"},
		},
		of: "kind",
		words: [][2]string{
			{"key", "contacts of keys; item: a keyboard"},
			{"key-2", "their second contacts"},
			{"stop", "the contact of a stop's knob"},
			{"coupler", "the contact of a coupler or unison off"},
			{"ventil", "its contact on an input, its magnet on an output"},
			{"tremulant", "the same"},
			{"control", "the contact of any control"},
			{"button", "the contact of a piston or toe stud"},
			{"stage", "contacts of the crescendo; item: its shoe, a sequence or the word crescendo"},
			{"shoe", "a shoe's position"},
			{"note", "note lines of a slider or pitman chest"},
			{"action", "a rank's stop action on such a chest"},
			{"action-on", "the coil that turns an action on"},
			{"action-off", "the coil that turns it off"},
			{"valve", "magnets of a rank on a unit chest"},
			{"knob-on", "the coil that draws a knob"},
			{"knob-off", "the coil that pushes it in"},
			{"shade", "magnets of a swell engine; item: the box"},
			{"lamp", "the lamp of a control or button"},
			{"row", "rows of a scanned board's matrix"},
			{"column", "its columns"},
			{"common", "the common of contacts"},
			{"return", "the common return of magnets"},
			{"feed", "a feed"},
			{"blower", "the blower's control"},
			{"spare", "nothing"},
		},
		example: "board,pins,kind,item,notes,cable,wires,group\nK1,1..61,key,great,C2..C7,CK1,1..61,\nS1,1,stop,great-principal-8,,CS1,1,\nX3,1..68,valve,bourdon,1..68,CX3,1..68,",
	},
	"joins": {
		about: "A table of joins: each row is a cable between runs of pins or terminals, joined one by one. Relay.yaml names it under joins.",
		columns: [][2]string{
			{"from", "a board or strip"},
			{"pins", "its run"},
			{"to", "a strip or board"},
			{"pins", "its run, as long"},
			{"cable", "the cable between"},
			{"wires", "of the cable, one a pin"},
		},
		example: "from,pins,to,pins,cable,wires\nX1,1..61,J4,1..61,T12,1..61",
	},
	"switching": {
		about: "The relay's own table: it knows pins and lines, not names on paper. A line is any name with a run of notes. The order of rows never matters. Relay.yaml names it under switching; without it the relay does what follows from instrument and wiring.",
		columns: [][2]string{
			{"kind", "one of those below"},
			{"line", "of a read or drive, or where a couple takes notes from"},
			{"notes", "of the line, one a pin"},
			{"control", "when: nothing is always; else labels joined by &, a ! before one that must be off: a&!b. Or is a second row"},
			{"board", "of a read or drive"},
			{"pins", "its run"},
			{"to", "the line a couple passes notes to"},
			{"to-notes", "as which notes, one by one"},
			{"picks", "lowest or highest: a couple passes only that note of its row"},
		},
		of: "kind",
		words: [][2]string{
			{"read", "puts pins on a line, or one pin on a control's label"},
			{"couple", "passes the notes of one line to another while its control holds"},
			{"drive", "puts a line, or without one the control alone, on output pins"},
		},
		example: "kind,line,notes,control,board,pins,to,to-notes,picks\nread,great-keys,C2..C7,,K1,1..61,,,\nread,,,great-principal-8,S1,1,,,\ncouple,choir-keys,C2..C7,!choir-unison-off,,,choir,C2..C7,\ndrive,great,C2..C7,,X1,1..61,,,",
	},
}

// fileKinds are the kinds of files that can be explained, and the section midi of an
// instrument file, whose messages have a form of their own.
var fileKinds = []string{"instrument", "relay", "wiring", "joins", "switching", "midi"}

// explainFile writes what a kind of file holds, as text or as a JSON Schema.
func explainFile(w io.Writer, ink ink, kind string, json bool) error {
	schema := map[string][]byte{"instrument": console.Schema, "relay": wiring.Schema}[kind]
	switch {
	case schema == nil && json:
		return complaint{kind + " has no JSON Schema of its own", "leave --format json out"}
	case json:
		_, err := w.Write(schema)
		return err
	case kind == "midi":
		_, err := io.WriteString(w, mapping.Reference)
		return err
	case schema == nil:
		return sheets[kind].write(w, ink)
	}
	about := map[string]string{
		"instrument": "An instrument file says what should sound. It is YAML, or JSON of the same shape. Ids are small letters, digits and hyphens; notes are scientific pitch, C4 is middle C; the order of entries is kept. `trundle new` writes one to start from.",
		"relay":      "A relay file names the boards and the tables of a relay design. All that is electrical may be left out; a check says what it then cannot tell. `trundle new --relay` writes a whole relay for an instrument.",
	}
	return writeFields(w, ink, schema, kind, about[kind])
}

func (s sheet) write(w io.Writer, ink ink) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%s\n", wrap(s.about, 80), ink.bold("columns"))
	writeWords(&b, s.columns)
	if s.of != "" {
		fmt.Fprintf(&b, "\n%s\n", ink.bold(s.of))
		writeWords(&b, s.words)
	}
	fmt.Fprintf(&b, "\n%s\n%s\n", ink.bold("example"), indent(s.example))
	_, err := io.WriteString(w, b.String())
	return err
}

// writeWords writes columns or words, each with what it means.
func writeWords(b *strings.Builder, rows [][2]string) {
	for _, row := range rows {
		fmt.Fprintf(b, "  %-12s %s\n", row[0], strings.ReplaceAll(wrap(row[1], 64), "\n", "\n"+strings.Repeat(" ", 15)))
	}
}
