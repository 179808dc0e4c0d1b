package wiring

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
	"trundle/sim/table"
)

// Load reads a relay file and the tables it names, and resolves everything in
// them against an instrument. What has no meaning in any of the files is a
// finding; the relay is nil when there is such a finding. Its switching is
// derived where the file has none. Without an instrument there is no relay
// either, and names that only the instrument could tell are taken as they are.
func Load(path string, in *console.Instrument) (*Relay, []finding.Finding) {
	root, source := yamldoc.Load(path)
	rd := &reader{Source: source, in: in, relay: &Relay{File: path, Forms: map[string]table.Form{}}}
	if rd.alone = in == nil; rd.alone {
		rd.in = &console.Instrument{}
	}
	if root != nil {
		rd.document(root)
	}
	found := append(rd.Findings, rd.found...)
	finding.Sort(found)
	if finding.Broken(found) || root == nil || rd.alone {
		return nil, found
	}
	if rd.relay.Derived {
		rd.relay.Switch = Derive(rd.relay, in)
	}
	return rd.relay, found
}

// Frame reads of a relay file what stands in the file itself: boards, strips, cables
// and what is electrical, without the tables that it names. It is nil when that has
// no meaning, which Load tells. What has none in its sections can so be told beside
// what has none in its tables.
func Frame(path string, in *console.Instrument) *Relay {
	root, source := yamldoc.Load(path)
	if root == nil {
		return nil
	}
	rd := &reader{Source: source, in: in, relay: &Relay{File: path, Forms: map[string]table.Form{}}}
	if _, ok := rd.frame(root); !ok || finding.Broken(rd.Findings) {
		return nil
	}
	return rd.relay
}

// reader is a relay being read.
type reader struct {
	*yamldoc.Source                   // of the relay file
	found           []finding.Finding // in the tables

	in    *console.Instrument
	alone bool // without an instrument, which is then empty
	relay *Relay

	instrumentNames
	terminals *names      // boards and strips, by Terminal.On
	cables    *names      // nil when any name will do
	direction []Direction // of boards and strips; of a strip that of the first board it is joined to
}

// sections are kept for later readers.
var sections = []string{"electrical", "supplies", "fuses", "returns", "magnets", "links", "places"}

// ofInstrument finds fault with a file that is that of an instrument.
func (rd *reader) ofInstrument(root *yamldoc.Node) bool {
	is := root.Get("keyboards") != nil && root.Get("boards") == nil
	if is {
		rd.Wrong(root, "name the file of boards and wiring in its place", "this is the file of an instrument, and of no relay")
	}
	return is
}

// frame reads all but the tables; ok is false where nothing more can be read.
func (rd *reader) frame(root *yamldoc.Node) (f yamldoc.Fields, ok bool) {
	if rd.ofInstrument(root) {
		return f, false
	}
	f = rd.Fields(root, "a relay", append([]string{
		"format", "instrument", "boards", "strips", "cables", "columns", "wiring", "wired", "joins", "switching", "waivers"}, sections...))
	if !f.OK() || !f.Format() {
		return f, false
	}
	rd.instrumentNames = nameInstrument(rd.in)
	r := rd.relay
	if name := f.Text("instrument"); name != "" {
		r.Instrument = rd.beside(name)
	}
	r.At = Places{Instrument: rd.place(f, "instrument"), Wiring: rd.place(f, "wiring"), Wired: rd.place(f, "wired"), Switching: rd.place(f, "switching")}
	for _, name := range sections {
		if node := f.Node(name); node != nil {
			if r.Sections == nil {
				r.Sections = map[string]*yamldoc.Node{}
			}
			r.Sections[name] = node
		}
	}
	f.Need("boards")
	f.Need("wiring")
	rd.boards(f)
	rd.readCables(f)
	rd.waivers(f)
	return f, true
}

func (rd *reader) document(root *yamldoc.Node) {
	f, ok := rd.frame(root)
	if !ok {
		return
	}
	r := rd.relay
	for _, t := range rd.tables(f, "joins", joinColumns) {
		if r.At.Joins.File == "" {
			r.At.Joins.File = t.File
		}
		r.Joins = append(r.Joins, rd.joins(t)...)
	}
	rd.directStrips()
	columns := rd.shopColumns(f)
	for _, t := range rd.tables(f, "wiring", columns) {
		r.Plan = append(r.Plan, rd.wiring(t)...)
	}
	if f.Node("wired") != nil {
		r.Wired = []Row{}
		for _, t := range rd.tables(f, "wired", columns) {
			r.Wired = append(r.Wired, rd.wiring(t)...)
		}
	}
	if s := f.Node("switching"); s == nil || s.Kind == yamldoc.Scalar && s.Text == "derived" {
		r.Derived = true
		return
	}
	for _, t := range rd.tables(f, "switching", switchingColumns) {
		r.Switch = append(r.Switch, rd.switching(t)...)
	}
}

// place is where a field stands, or the file where it is not given.
func (rd *reader) place(f yamldoc.Fields, name string) finding.Place { return rd.Place(f.Node(name)) }

// beside is a path as the relay file means it.
func (rd *reader) beside(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(rd.File), name)
}

// tables reads the tables that a field lists.
func (rd *reader) tables(f yamldoc.Fields, field string, columns []table.Column) []*table.Table {
	var list []*table.Table
	nodes := f.Texts(field)
	others := "" // columns that the relay names already
	if f.Node("columns") != nil {
		others = "..., "
	}
	for i, node := range nodes {
		if same := slices.IndexFunc(nodes[:i], func(n *yamldoc.Node) bool { return n.Text == node.Text }); same >= 0 {
			rd.Twice(node, nodes[same], node.Text)
			continue
		}
		t, found := table.Read(rd.beside(node.Text), columns)
		for _, f := range found {
			if name, is := strings.CutPrefix(f.Message, "unknown column "); is && field != "joins" && field != "switching" {
				f.Fix += fmt.Sprintf("; or tell %s what it is: columns: {%s%s: %s}", filepath.Base(rd.File), others, plainKey(name), ignored)
			}
			if f.Line == 0 {
				f.Related = append(f.Related, finding.Related{Place: rd.Place(node), Message: "the relay names it here"})
			}
			rd.found = append(rd.found, f)
		}
		if t != nil {
			rd.relay.Forms[t.File] = t.Form()
			list = append(list, t)
		}
	}
	return list
}

// Fields of a board and of a cable: those of the later readers too.
var (
	BoardFields = []string{"kind", "pins", "amps-per-pin", "amps", "supply", "fuse", "switches", "drop", "feed", "scan", "threshold", "ohms"}
	CableFields = []string{"wires", "code", "colours", "gauge", "length", "strands", "coated", "banded", "insulation", "covering", "protection", "fastened", "tag"}
)

// Most pins of a board or strip, and of all together.
const (
	maxPins    = 9999
	maxAllPins = 1_000_000
)

func (rd *reader) boards(f yamldoc.Fields) {
	r := rd.relay
	rd.terminals = newNames("board or strip")
	all := 0
	taken := map[string]*yamldoc.Node{}
	entry := func(p yamldoc.Pair, fields yamldoc.Fields) (pins int) {
		if before := taken[p.Key.Text]; before != nil {
			rd.Twice(p.Key, before, p.Key.Text)
		}
		taken[p.Key.Text] = p.Key
		rd.terminals.add(p.Key.Text, len(r.Boards)+len(r.Strips))
		fields.Need("pins")
		pins = fields.Int("pins", 1, maxPins, 1)
		if all += pins; all > maxAllPins && all-pins <= maxAllPins {
			rd.Wrong(p.Key, "", "the relay has more than %d pins", maxAllPins)
		}
		return pins
	}
	for _, p := range f.ByID("boards", yamldoc.CapitalID) {
		fields := rd.Fields(p.Value, "a board", BoardFields)
		fields.Need("kind")
		pins := entry(p, fields)
		direction := Direction(fields.Choice("kind", string(Input), string(Input), string(Output)))
		r.Boards = append(r.Boards, Board{ID: p.Key.Text, Direction: direction, Pins: pins, At: rd.Place(p.Key), Node: p.Value})
		rd.direction = append(rd.direction, direction)
	}
	for _, p := range f.ByID("strips", yamldoc.CapitalID) {
		pins := entry(p, rd.Fields(p.Value, "a strip", []string{"pins"}))
		r.Strips = append(r.Strips, Strip{ID: p.Key.Text, Pins: pins, At: rd.Place(p.Key)})
		rd.direction = append(rd.direction, "")
	}
}

func (rd *reader) readCables(f yamldoc.Fields) {
	if f.Node("cables") == nil {
		return
	}
	rd.cables = newNames("cable")
	for _, p := range f.ByID("cables", yamldoc.CapitalID) {
		fields := rd.Fields(p.Value, "a cable", CableFields)
		c := Cable{ID: p.Key.Text, Node: p.Value, At: rd.Place(p.Key), Wires: fields.Int("wires", 1, maxPins, 0), Code: fields.Choice("code", "", codes()...)}
		for _, colour := range fields.Map("colours") {
			wire, err := strconv.Atoi(colour.Key.Text)
			if err != nil || wire < 1 || wire > maxPins {
				rd.Wrong(colour.Key, "number the wires from 1", "%q is no wire of a cable", colour.Key.Text)
				continue
			}
			c.Colours = append(c.Colours, WireColour{wire, rd.Text(colour.Value), rd.Place(colour.Value)})
		}
		rd.cables.add(c.ID, len(rd.relay.Cables))
		rd.relay.Cables = append(rd.relay.Cables, c)
	}
}

// directStrips gives every strip the direction of the first board that joins
// lead it to, so that a row on it can tell a ventil's contact from its magnet.
func (rd *reader) directStrips() {
	for grew := true; grew; { // a chain may pass by every strip
		grew = false
		for _, j := range rd.relay.Joins {
			for i := range min(len(j.From), len(j.To)) {
				a, b := &rd.direction[j.From[i].On], &rd.direction[j.To[i].On]
				switch {
				case *a == "" && *b != "":
					*a, grew = *b, true
				case *b == "" && *a != "":
					*b, grew = *a, true
				}
			}
		}
	}
}

// refuse notes that a cell of a table has no meaning.
func (rd *reader) refuse(t *table.Table, c table.Cell, fix, message string) {
	if fix == "" {
		fix = table.Altered(c.Text)
	}
	rd.found = append(rd.found, finding.Finding{
		Rule: finding.NoMeaning, Severity: finding.Error, Place: t.Place(c), Message: message, Fix: fix})
}

// find is the index that a cell names. A cell that names nothing known is
// noted.
func (rd *reader) find(t *table.Table, c table.Cell, name string, n *names) (index int, known bool) {
	if name == "" {
		rd.refuse(t, c, "", "a "+n.what+" is missing")
		return 0, false
	}
	index, known = n.index[name]
	if !known && !(rd.alone && n.ofInstrument) {
		rd.found = append(rd.found, finding.Finding{Rule: finding.UnknownID, Severity: finding.Error, Place: t.Place(c),
			Message: "no " + n.what + " " + name, Fix: n.fix(name)})
	}
	return index, known
}
