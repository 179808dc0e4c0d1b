package gen

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

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
	var organ bytes.Buffer
	if err := console.WriteYAML(&organ, in); err != nil {
		panic(err) // a buffer takes everything
	}
	files := Files{
		InstrumentFile: organ.Bytes(),
		RelayFile:      []byte(relayText(r)),
		WiringFile:     wiringText(r, r.Plan),
	}
	if r.Wired != nil {
		files[WiredFile] = wiringText(r, r.Wired)
	}
	if len(r.Joins) > 0 {
		files[JoinsFile] = csv(joinColumns, r.Joins, func(j wiring.Join) []string { return joinCells(r, j) })
	}
	if !r.Derived {
		files[SwitchingFile] = csv(switchingColumns, r.Switch, func(s wiring.Switch) []string { return switchCells(r, s) })
	}
	return files
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

var (
	wiringColumns    = []string{"board", "pins", "kind", "item", "notes", "cable", "wires", "group"}
	joinColumns      = []string{"from", "pins", "to", "pins", "cable", "wires"}
	switchingColumns = []string{"kind", "line", "notes", "control", "board", "pins", "to", "to-notes", "picks"}
)

func wiringText(r *wiring.Relay, rows []wiring.Row) []byte {
	return csv(wiringColumns, rows, func(row wiring.Row) []string { return wiringCells(r, row) })
}

// csv is a table as a file: no cell of a relay needs quotes.
func csv[T any](columns []string, rows []T, cells func(T) []string) []byte {
	var b bytes.Buffer
	b.WriteString(strings.Join(columns, ",") + "\n")
	for _, row := range rows {
		b.WriteString(strings.Join(cells(row), ",") + "\n")
	}
	return b.Bytes()
}

func wiringCells(r *wiring.Relay, row wiring.Row) []string {
	return []string{owner(r, row.Pins[0].On), pinsText(row.Pins), string(row.Kind), row.Item, notesText(row), row.Cable, wiresText(row.Wires), row.Group}
}

func joinCells(r *wiring.Relay, j wiring.Join) []string {
	return []string{owner(r, j.From[0].On), pinsText(j.From), owner(r, j.To[0].On), pinsText(j.To), j.Cable, wiresText(j.Wires)}
}

func switchCells(r *wiring.Relay, s wiring.Switch) []string {
	var literals []string
	for _, l := range s.Control {
		if l.Not {
			literals = append(literals, "!"+l.Label)
		} else {
			literals = append(literals, l.Label)
		}
	}
	cells := []string{string(s.Kind), s.Line, wiring.FormatNotes(s.Notes), strings.Join(literals, "&"), "", "", s.To, wiring.FormatNotes(s.ToNotes), string(s.Picks)}
	if len(s.Pins) > 0 {
		cells[wiring.SwitchBoardColumn], cells[wiring.SwitchPinsColumn] = owner(r, s.Pins[0].On), pinsText(s.Pins)
	}
	return cells
}

func pinsText(pins []wiring.Terminal) string {
	numbers := make([]int, len(pins))
	for i, pin := range pins {
		numbers[i] = pin.Pin
	}
	return wiring.FormatNumbers(numbers)
}

func wiresText(wires []int) string { return wiring.FormatNumbers(wires) }

// notesText is the notes cell of a row: notes of keys and note lines, numbers
// of valves, nothing for what has neither.
func notesText(row wiring.Row) string {
	switch row.Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.NoteKind:
		notes := make([]console.Note, len(row.Items))
		for i, item := range row.Items {
			notes[i] = console.Note(item.Note)
		}
		return wiring.FormatNotes(notes)
	case wiring.ValveKind:
		numbers := make([]int, len(row.Items))
		for i, item := range row.Items {
			numbers[i] = item.Note
		}
		return wiring.FormatNumbers(numbers)
	}
	return ""
}

// number gives every row of a relay the place and the cells that it has in
// the relay's files.
func number(r *wiring.Relay) {
	for name, rows := range map[string][]wiring.Row{WiringFile: r.Plan, WiredFile: r.Wired} {
		for i := range rows {
			row := &rows[i]
			row.Notes = notesText(*row)
			row.At, row.Cells = place(name, i), cellsOf(i, wiringCells(r, *row))
		}
	}
	for i := range r.Joins {
		r.Joins[i].At, r.Joins[i].Cells = place(JoinsFile, i), cellsOf(i, joinCells(r, r.Joins[i]))
	}
	if r.Derived {
		return
	}
	for i := range r.Switch {
		r.Switch[i].At, r.Switch[i].Cells = place(SwitchingFile, i), cellsOf(i, switchCells(r, r.Switch[i]))
	}
}

// place is where row i of a table stands, below its header.
func place(file string, i int) finding.Place {
	return finding.Place{File: file, Line: i + 2, Column: 1}
}

func cellsOf(i int, texts []string) table.Row {
	row := make(table.Row, len(texts))
	column := 1
	for k, text := range texts {
		row[k] = table.Cell{Text: text, Line: i + 2, Column: column}
		column += utf8.RuneCountInString(text) + 1
	}
	return row
}
