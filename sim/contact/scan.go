package contact

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/wiring"
)

// Diode is what stands in series with the contact of a crossing.
type Diode int

const (
	Right    Diode = iota // lets current from the row to the column
	Missing               // lets it both ways
	Reversed              // lets it from the column to the row
)

// Scan is a board that powers one row wire after the other and looks which
// column wires are live. The crossing of row r and column c, from 1, is read
// as pin (r-1)*Columns + c.
type Scan struct {
	Board         int
	Rows, Columns int
	Diodes        []Diode // by crossing, which is the pin less 1
	Presses       []Press // what closes contacts, in the order of the pins
	closers       [][]int // by crossing: presses that close its contact
	doubled       bool    // a press closes several
	along         [][]int // by wire: crossings on it that something closes
	dead          []bool  // by row: its wire is not connected
	wire          []int   // by row, then column: rows whose wires touch are one
	at            finding.Place
	where         []finding.Place // by crossing: the wiring row of its pin
	relay         *wiring.Relay
	in            *console.Instrument
}

// Press is one key pressed or one knob drawn, and the crossings whose contacts
// that closes: a key pressed to its second contact closes both.
type Press struct {
	Item   wiring.Item
	Closes []int
}

// Scans reads the boards that have a field `scan`:
//
//	scan: {rows: 8, columns: 8, diodes: all}
//	scan: {rows: 8, columns: 8, diodes: {missing: [3, 17..20], reversed: [5]}}
//
// diodes is all (when not given), none, or the pins whose diode is missing or
// the wrong way round. Rows of the wiring of kind `row` or `column` with the
// board as item and wires as notes (`J1,1..8,row,K1,1..8`) say where the scan
// wires go: where any row wire is listed, one that is not has no connection,
// and two on one terminal touch.
func Scans(r *wiring.Relay, in *console.Instrument) ([]*Scan, []finding.Finding) {
	source := &yamldoc.Source{File: r.File}
	nets := wiring.Nets(r)
	var scans []*Scan
	for i, board := range r.Boards {
		if board.Node == nil || board.Node.Get("scan") == nil {
			continue
		}
		node := board.Node.Get("scan")
		f := source.Fields(node, "a scan", []string{"rows", "columns", "diodes"})
		f.Need("rows")
		f.Need("columns")
		s := &Scan{Board: i, Rows: f.Int("rows", 1, 999, 1), Columns: f.Int("columns", 1, 999, 1), at: source.Place(node), relay: r, in: in}
		if f.OK() && s.Rows*s.Columns < board.Pins {
			source.Wrong(node, "", "%d rows by %d columns are %d crossings, and %s has %d pins", s.Rows, s.Columns, s.Rows*s.Columns, board.ID, board.Pins)
		}
		s.readDiodes(source, f.Node("diodes"))
		s.hang(nets, board)
		s.wires(source)
		s.follow()
		scans = append(scans, s)
	}
	for _, row := range r.Soldered() {
		if isWire(row) && !slices.ContainsFunc(scans, func(s *Scan) bool { return s.board() == row.Item }) {
			wrongRow(source, row, "no scanned board %s", row.Item)
		}
	}
	if len(source.Findings) > 0 {
		return nil, source.Findings
	}
	return scans, nil
}

func (s *Scan) readDiodes(source *yamldoc.Source, n *yamldoc.Node) {
	s.Diodes = make([]Diode, s.Rows*s.Columns)
	switch {
	case n == nil || n.Kind == yamldoc.Scalar && n.Text == "all":
	case n.Kind == yamldoc.Scalar && n.Text == "none":
		s.Diodes = slices.Repeat([]Diode{Missing}, len(s.Diodes))
	case n.Kind == yamldoc.Map:
		f := source.Fields(n, "a list of diodes", []string{"missing", "reversed"})
		s.mark(source, f.Texts("missing"), Missing)
		s.mark(source, f.Texts("reversed"), Reversed)
	default:
		source.Wrong(n, "write all, none, or {missing: [pins], reversed: [pins]}", "these are no diodes")
	}
}

func (s *Scan) mark(source *yamldoc.Source, list []*yamldoc.Node, is Diode) {
	for _, n := range list {
		pins, err := console.ParseNumbers(n.Text)
		if err != nil {
			source.Wrong(n, "", "%v", err)
			continue
		}
		for _, pin := range pins {
			if pin > len(s.Diodes) {
				source.Wrong(n, "", "the scan has no crossing %d: it has 1..%d", pin, len(s.Diodes))
				break
			}
			s.Diodes[pin-1] = is
		}
	}
}

// given are the kinds of items that close a contact.
var given = []wiring.Kind{wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.ButtonKind, wiring.StageKind}

// hang finds what closes the contact of each crossing.
func (s *Scan) hang(nets *wiring.Netlist, board wiring.Board) {
	s.where = slices.Repeat([]finding.Place{s.at}, len(s.Diodes))
	place := map[wiring.Item]int{}
	for crossing := range min(len(s.Diodes), board.Pins) {
		for _, h := range nets.Hung(nets.Of(wiring.Terminal{On: s.Board, Pin: crossing + 1})) {
			item := nets.Item(h)
			if !slices.Contains(given, item.Kind) {
				continue
			}
			s.where[crossing] = s.relay.Soldered()[h.Row].At
			at, known := place[item]
			if !known {
				at = len(s.Presses)
				place[item] = at
				s.Presses = append(s.Presses, Press{Item: item})
			}
			s.Presses[at].Closes = append(s.Presses[at].Closes, crossing)
		}
	}
	for i, p := range s.Presses {
		first := p.Item
		first.Kind = wiring.KeyKind
		if at, known := place[first]; known && p.Item.Kind == wiring.Key2Kind {
			s.Presses[i].Closes = append(slices.Clone(p.Closes), s.Presses[at].Closes...)
		}
	}
	s.closers = make([][]int, len(s.Diodes))
	for i, p := range s.Presses {
		s.doubled = s.doubled || len(p.Closes) > 1
		for _, crossing := range p.Closes {
			s.closers[crossing] = append(s.closers[crossing], i)
		}
	}
}

// isWire reports a row of the wiring that says where scan wires go.
func isWire(row wiring.Row) bool { return row.Kind == wiring.RowKind || row.Kind == wiring.ColumnKind }

func wrongRow(source *yamldoc.Source, row wiring.Row, format string, args ...any) {
	source.Findings = append(source.Findings, finding.Finding{Rule: finding.NoMeaning, Severity: finding.Error, Place: row.At, Message: fmt.Sprintf(format, args...)})
}

// wires finds which row and column wires touch, and which are not connected.
func (s *Scan) wires(source *yamldoc.Source) {
	s.dead = make([]bool, s.Rows)
	s.wire = make([]int, s.Rows+s.Columns)
	for i := range s.wire {
		s.wire[i] = i
	}
	nets := wiring.Nets(s.relay)
	on := map[int]int{} // by net: a wire that is on it
	listed := make([]bool, s.Rows)
	for _, row := range s.relay.Soldered() {
		if row.Item != s.board() || !isWire(row) {
			continue
		}
		numbers, err := console.ParseNumbers(row.Notes)
		switch {
		case err != nil:
			wrongRow(source, row, "%v", err)
			continue
		case len(numbers) != len(row.Pins):
			wrongRow(source, row, "%d pins for %d wires of the scan of %s", len(row.Pins), len(numbers), row.Item)
			continue
		}
		first, most := 0, s.Rows
		if row.Kind == wiring.ColumnKind {
			first, most = s.Rows, s.Columns
		}
		for i, number := range numbers {
			if number > most {
				wrongRow(source, row, "the scan of %s has no %s %d: it has 1..%d", row.Item, row.Kind, number, most)
				break
			}
			wire := first + number - 1
			if wire < s.Rows {
				listed[wire] = true
			}
			net := nets.Of(row.Pins[i])
			if other, taken := on[net]; taken && net >= 0 {
				s.touch(other, wire)
			}
			on[net] = wire
		}
	}
	if slices.Contains(listed, true) {
		for r, is := range listed {
			s.dead[r] = !is
		}
	}
}

// follow finds the contacts along each wire.
func (s *Scan) follow() {
	s.along = make([][]int, s.Rows+s.Columns)
	for crossing, closers := range s.closers {
		if closers != nil {
			for _, wire := range []int{s.row(crossing), s.column(crossing)} {
				s.along[wire] = append(s.along[wire], crossing)
			}
		}
	}
}

// touch makes two wires one.
func (s *Scan) touch(a, b int) {
	a, b = s.wire[a], s.wire[b]
	for i, w := range s.wire {
		if w == max(a, b) {
			s.wire[i] = min(a, b)
		}
	}
}

// row and column are the wires of a crossing.
func (s *Scan) row(crossing int) int    { return s.wire[crossing/s.Columns] }
func (s *Scan) column(crossing int) int { return s.wire[s.Rows+crossing%s.Columns] }
