package wiring

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/console/finding"
)

// Lack is a finding of items that hang on no pin, and the pins that the plan has
// them on; none when the plan lacks them.
type Lack struct {
	finding.Finding
	Items []Item
	Pins  []Terminal
}

// itemNotWired leaves to itemWiredTwice what another row says in its place.
func itemNotWired(r *Relay, in *console.Instrument) []finding.Finding {
	var found []finding.Finding
	told := map[Item]bool{}
	for _, m := range mistakenRows(r, in) {
		told[m.item] = true
	}
	for _, l := range allLacks(r, in, told) {
		found = append(found, l.Finding)
	}
	return found
}

// Lacks are what an instrument needs and the plan has on no pin, and what the
// plan has and was not soldered.
func Lacks(r *Relay, in *console.Instrument) []Lack { return allLacks(r, in, nil) }

func allLacks(r *Relay, in *console.Instrument, told map[Item]bool) []Lack {
	all := lacks(r, in, r.Plan, nil, told)
	if r.Wired != nil {
		all = append(all, lacks(r, in, r.Wired, r.plannedPins(), nil)...)
	}
	return all
}

// lacks are those of one list but for what is told elsewhere; planned is nil for
// the plan itself.
func lacks(r *Relay, in *console.Instrument, rows []Row, planned map[Item]Terminal, told map[Item]bool) []Lack {
	m := &missing{relay: r, in: in, rows: rows, wired: make(map[Item]bool, itemsOf(rows)), first: map[Item]int{}, last: map[Kind]int{}, kinds: map[Kind]bool{}, planned: planned}
	for i, row := range rows {
		for _, item := range row.Items {
			m.wired[item] = true
			m.kinds[item.Kind] = true
		}
		if len(row.Items) > 0 {
			thing := row.Items[0]
			thing.Note = 0
			if _, known := m.first[thing]; !known {
				m.first[thing] = i
			}
			m.last[thing.Kind] = i
		}
	}
	for item := range told {
		m.wired[item] = true
	}
	m.needed()
	if planned != nil {
		m.promised()
	}
	m.others()
	m.end()
	return m.found
}

// plannedPins is the first pin that the plan has each item on.
func (r *Relay) plannedPins() map[Item]Terminal {
	pins := make(map[Item]Terminal, itemsOf(r.Plan))
	for _, row := range r.Plan {
		for i := range min(len(row.Items), len(row.Pins)) {
			if _, met := pins[row.Items[i]]; !met {
				pins[row.Items[i]] = row.Pins[i]
			}
		}
	}
	return pins
}

// missing asks for all that an instrument needs, in the order of its file, and
// gathers what is not wired, run by run.
type missing struct {
	relay *Relay
	in    *console.Instrument
	rows  []Row
	wired map[Item]bool
	first map[Item]int  // the first row of each thing, whatever its note
	last  map[Kind]int  // the last row of each kind
	kinds map[Kind]bool // that any row has

	planned map[Item]Terminal // nil for the plan itself

	run   []Item
	found []Lack
}

// needed asks for what decides which valves open. The two coils of an action
// do for it where one of them is wired.
func (m *missing) needed() {
	for _, item := range Needed(m.in) {
		on, off := item, item
		on.Kind, off.Kind = ActionOnKind, ActionOffKind
		if item.Kind == ActionKind && (m.wired[on] || m.wired[off]) {
			m.ask(on)
			m.ask(off)
		} else {
			m.ask(item)
		}
	}
}

// others asks for what a relay may leave out altogether, each sort where the
// wiring has some of it.
func (m *missing) others() {
	for _, coil := range []struct {
		kind Kind
		of   console.Style
	}{{KnobOnKind, console.Moving}, {KnobOffKind, console.Moving}, {LampKind, console.Lit}} {
		for c, control := range m.in.Controls {
			if control.Style == coil.of && m.kinds[coil.kind] {
				m.ask(Item{coil.kind, c, console.None, 0})
			}
		}
	}
	for c, control := range m.in.Controls {
		if kind := Kind(control.Kind); (kind == VentilKind || kind == TremulantKind) && m.kinds[kind] {
			m.ask(Item{kind, c, console.None, 0})
		}
	}
	if m.in.Combination != nil && m.kinds[ButtonKind] {
		for b := range m.in.Combination.Buttons {
			m.ask(Item{ButtonKind, b, console.None, 0})
		}
	}
	if m.planned == nil {
		m.pedals()
	}
	for b, box := range m.in.Boxes {
		if m.kinds[ShadeKind] && !m.wired[Item{ShadeKind, b, console.None, 0}] {
			for stage := 1; stage <= box.Magnets(); stage++ {
				m.ask(Item{ShadeKind, b, console.None, stage})
			}
		}
	}
}

// pedals asks a plan for the shoes of boxes, and for the contacts of a crescendo
// that are numbered and serve whatever sequence is chosen.
func (m *missing) pedals() {
	for s, shoe := range m.in.Shoes {
		if m.kinds[ShoeKind] && !shoe.Crescendo {
			m.ask(Item{ShoeKind, s, console.None, 0})
		}
	}
	stages, longest := map[int]bool{}, 0
	for item := range m.wired {
		if item.Kind == StageKind && item.Index == console.None {
			stages[item.Note] = true
		}
	}
	for _, s := range m.in.Crescendo {
		longest = max(longest, len(s.Stages))
	}
	for n := 1; n <= longest && len(stages) > 0 && !stages[0]; n++ {
		m.ask(Item{StageKind, console.None, console.None, n})
	}
}

// promised makes a list of what was soldered answer for every sort that the
// plan has, and asks for what only a plan can ask for.
func (m *missing) promised() {
	for _, row := range m.relay.Plan {
		for _, item := range row.Items {
			m.kinds[item.Kind] = true
			if item.Kind == StageKind || item.Kind == ShoeKind {
				m.ask(item)
			}
		}
	}
}

// ask takes an item that is not wired into the run, and ends the run at one
// that is, or that the plan lacks too.
func (m *missing) ask(item Item) {
	pin, planned := m.planned[item]
	if m.wired[item] || m.planned != nil && !planned {
		m.end()
		return
	}
	if len(m.run) > 0 {
		last := m.run[0]
		if last.Kind != item.Kind || item.Kind.noted() && (last.Index != item.Index || last.Of != item.Of) {
			m.end()
		} else if m.planned != nil && m.planned[last].On != pin.On {
			m.end()
		}
	}
	m.run = append(m.run, item)
}

// end makes a finding of the run.
func (m *missing) end() {
	if len(m.run) == 0 {
		return
	}
	first, last := m.run[0], m.run[len(m.run)-1]
	kind, name, note := first.Words(m.in)
	if _, _, to := last.Words(m.in); note != to {
		note += ".." + to
	}
	board, at, planned := "BOARD", "PIN", ""
	var pins []Terminal
	if m.planned != nil {
		for _, item := range m.run {
			pins = append(pins, m.planned[item])
		}
		board, at = m.relay.Board(pins[0].On), FormatNumbers(pinsOf(pins))
		planned = "; the plan has " + m.relay.run(pins) + " for " + itThem(len(m.run))
	}
	f := finding.Finding{Severity: finding.Error, Place: m.place(first)}
	if len(m.run) == 1 || kind.noted() {
		f.Message = fmt.Sprintf("%s %s on no pin", Row{Kind: kind, Item: name, Notes: note}.said(), areIs(len(m.run))) + planned
		f.Fix = "add a row " + m.relay.Filed(f.Place.File, board, at, string(kind), name, note)
	} else {
		_, end, _ := last.Words(m.in)
		f.Message = fmt.Sprintf("%d items of kind %s, %s to %s, are on no pin", len(m.run), first.Kind, name, end) + planned
		f.Fix = "add a row for each"
	}
	m.found = append(m.found, Lack{f, slices.Clone(m.run), pins})
	m.run = m.run[:0]
}

// place is the first row of the same thing, or the last of the kind, or the list
// of wiring on that side of the relay as a whole.
func (m *missing) place(item Item) finding.Place {
	item.Note = 0
	if row, known := m.first[item]; known {
		return m.rows[row].Place(ItemColumn)
	}
	if row, known := m.last[item.Kind]; known && unproven(m.in, item) {
		return m.rows[row].Place(ItemColumn)
	} else if known { // a proof says more of where it is
		return finding.Place{File: m.rows[row].At.File}
	}
	for _, row := range m.rows { // a row on the same side of the relay
		if on := row.Pins; len(on) > 0 && on[0].On < len(m.relay.Boards) && (m.relay.Boards[on[0].On].Direction == Input) == item.Kind.given() {
			return finding.Place{File: row.At.File}
		}
	}
	if len(m.rows) > 0 {
		return finding.Place{File: m.rows[0].At.File}
	}
	return m.relay.At.Wiring
}
