package gen

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/table"
	"trundle/sim/wiring"
)

// Names of the files of a relay and its instrument.
const (
	InstrumentFile = "organ.yaml"
	RelayFile      = "relay.yaml"
	WiringFile     = "wiring.csv"
	WiredFile      = "wired.csv"
	JoinsFile      = "joins.csv"
	SwitchingFile  = "switching.csv"
)

// Files are files by name.
type Files map[string][]byte

// Write writes the files into a directory, which it makes if need be.
func (f Files) Write(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(f)) {
		if err := os.WriteFile(filepath.Join(dir, name), f[name], 0o644); err != nil {
			return err
		}
	}
	return nil
}

// Relay is a generated relay for an instrument as files, the instrument's own
// among them.
func Relay(seed uint64, in *console.Instrument, opt Options) Files {
	return FilesOf(Design(seed, in, opt), in)
}

// FilesOf is a relay and its instrument as files.
func FilesOf(r *wiring.Relay, in *console.Instrument) Files {
	files := tables(r, in)
	files[RelayFile] = []byte(relayText(r))
	files[InstrumentFile] = text(func(w io.Writer) error { return console.WriteYAML(w, in) })
	return files
}

// tables are the tables of a relay.
func tables(r *wiring.Relay, in *console.Instrument) Files {
	files := Files{WiringFile: text(func(w io.Writer) error { return wiring.WriteWiring(w, r, in, r.Plan) })}
	if r.Wired != nil {
		files[WiredFile] = text(func(w io.Writer) error { return wiring.WriteWiring(w, r, in, r.Wired) })
	}
	if len(r.Joins) > 0 {
		files[JoinsFile] = text(func(w io.Writer) error { return wiring.WriteJoins(w, r, r.Joins) })
	}
	if !r.Derived {
		files[SwitchingFile] = text(func(w io.Writer) error { return wiring.WriteSwitching(w, r, r.Switch) })
	}
	return files
}

// text is what a function writes.
func text(write func(io.Writer) error) []byte {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}

// relayText is the relay file.
func relayText(r *wiring.Relay) string {
	var b strings.Builder
	b.WriteString("format: 1\n\nboards:\n")
	for _, board := range r.Boards {
		fmt.Fprintf(&b, "  %s: {kind: %s, pins: %d}\n", board.ID, board.Direction, board.Pins)
	}
	if len(r.Strips) > 0 {
		b.WriteString("\nstrips:\n")
	}
	for _, s := range r.Strips {
		fmt.Fprintf(&b, "  %s: {pins: %d}\n", s.ID, s.Pins)
	}
	if len(r.Cables) > 0 {
		b.WriteString("\ncables:\n")
	}
	for _, c := range r.Cables {
		fmt.Fprintf(&b, "  %s: {wires: %d}\n", c.ID, c.Wires)
	}
	fmt.Fprintf(&b, "\nwiring: [%s]\n", WiringFile)
	if r.Wired != nil {
		fmt.Fprintf(&b, "wired: [%s]\n", WiredFile)
	}
	if len(r.Joins) > 0 {
		fmt.Fprintf(&b, "joins: [%s]\n", JoinsFile)
	}
	if r.Derived {
		b.WriteString("switching: derived\n")
	} else {
		fmt.Fprintf(&b, "switching: [%s]\n", SwitchingFile)
	}
	return b.String()
}

// number gives every row of a relay the place and the cells that it has in
// the relay's files.
func number(r *wiring.Relay, in *console.Instrument) {
	files := tables(r, in)
	for name, rows := range map[string][]wiring.Row{WiringFile: r.Plan, WiredFile: r.Wired} {
		cells := rowsOf(files[name])
		for i := range rows {
			rows[i].At, rows[i].Cells = place(name, i), cells[i]
			rows[i].Notes = cells[i][wiring.NotesColumn].Text
		}
	}
	cells := rowsOf(files[JoinsFile])
	for i := range r.Joins {
		r.Joins[i].At, r.Joins[i].Cells = place(JoinsFile, i), cells[i]
	}
	if r.Derived {
		return
	}
	cells = rowsOf(files[SwitchingFile])
	for i := range r.Switch {
		r.Switch[i].At, r.Switch[i].Cells = place(SwitchingFile, i), cells[i]
	}
}

// place is where row i of a table stands, below its header.
func place(file string, i int) finding.Place {
	return finding.Place{File: file, Line: i + 2, Column: 1}
}

// rowsOf are the rows of a table below its header. No cell of a relay needs
// quotes.
func rowsOf(file []byte) []table.Row {
	var rows []table.Row
	for i, line := range strings.Split(string(file), "\n")[1:] {
		var row table.Row
		column := 1
		for cell := range strings.SplitSeq(line, ",") {
			row = append(row, table.Cell{Text: cell, Line: i + 2, Column: column})
			column += len(cell) + 1
		}
		rows = append(rows, row)
	}
	return rows
}
