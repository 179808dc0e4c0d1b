package listen

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// machine is a relay that is compiled once, and then run with one mistake after
// another in it: put puts one in, out takes it out. What it opens is what
// wiring.Run says of the relay with the mistake.
type machine struct {
	in *console.Instrument
	r  *wiring.Relay

	first []int32 // of each board and strip: its first terminal
	items map[wiring.Item]int32
	list  []wiring.Item // by number
	nodes map[node]int32
	label map[string]int32

	net    []int32   // by terminal
	hung   [][]int32 // by terminal: items
	reads  [][]way   // by terminal: nodes
	labels [][]way   // by terminal
	beside [][]int32 // by terminal: those that joins connect it with
	drives []bool    // by terminal: it is a pin that the relay can drive
	terms  [][]int32 // by net: terminals
	at     [][]int32 // by item: terminals

	soldered [][]int32 // items of each row of the wiring, -1 for one that opens no valve
	rowsOn   [][]int32 // by board: rows of the wiring with a pin on it
	joinsOn  [][]int32 // by board: joins that begin on it

	rows         []row   // of the switching table, in its order
	leads, feeds [][]way // by node: the nodes and the pins it leads to
	alone        []way   // pins driven by controls alone
	lone         [][]way // the same by the first label that has to be on; at last those without
	fed          [][]way // by terminal: the nodes that lead to it, -1 for controls alone
	played       bool    // a key puts a label on
	picks        []pick

	controls []int32    // by control: its contact, -1 where none hangs anywhere
	keys     [2][]keyed // by keyboard: the contacts of each touch

	valve    []int32   // by item: the valve it opens, -1 for none
	lines    [][]meets // by item: what a note line opens
	sounding []bool    // by item: it has a part in which valves open

	reached, useful []bool // by node: a key may turn it on; it may open a valve
	sways           []bool // by node: a row that picks depends on it
	asked           []bool // by label: a row asks for it that may open a valve

	stuck []int32 // terminals that are on whatever is held and drawn

	before    []saved // what put has changed
	otherwise int     // rows that ask otherwise

	// Of the last run.
	now                     int32
	drawn                   *drawn // what was settled, nil for nothing
	but                     int32  // and for which row not
	netOn, netDriven        []int32
	labelOn, nodeOn, itemOn []int32
	known                   []int32 // by row: the run in which held is known
	held                    []bool
	made, lit, on, driven   []int32 // items of contacts, labels, nodes, nets
	given                   []int32 // items that are driven
	open                    []int32
}

// node is one note of a line.
type node struct {
	line string
	note console.Note
}

// row is what a row of the switching table asks.
type row struct {
	off      bool // it is not there
	read     bool
	literals []literal
}

type literal struct {
	label int32
	not   bool
}

// way leads to something while a row holds.
type way struct{ row, to int32 }

// pick is a couple row that passes the lowest or highest of its notes.
type pick struct {
	row      int32
	highest  bool
	notes    []console.Note
	from, to []int32
}

// keyed are the contacts of a keyboard's keys, from the lowest up; -1 where none
// hangs anywhere.
type keyed struct {
	lowest   console.Note
	contacts []int32
}

// meets is a valve where a note line meets an action; items, -1 for none.
type meets struct{ valve, action, on, off int32 }

func compile(r *wiring.Relay, in *console.Instrument) *machine {
	m := &machine{in: in, r: r, items: map[wiring.Item]int32{}, nodes: map[node]int32{}, label: map[string]int32{}}
	count := int32(0)
	for _, b := range r.Boards {
		m.first, count = append(m.first, count), count+int32(b.Pins)
	}
	for _, s := range r.Strips {
		m.first, count = append(m.first, count), count+int32(s.Pins)
	}
	m.first = append(m.first, count)
	m.solder(count)
	m.fed = make([][]way, count)
	m.table()
	m.contacts()
	m.outputs()
	m.matter()
	m.netOn, m.netDriven = make([]int32, len(m.terms)), make([]int32, len(m.terms))
	m.labelOn, m.nodeOn, m.itemOn = make([]int32, len(m.label)), make([]int32, len(m.nodes)), make([]int32, len(m.items))
	m.known, m.held = make([]int32, len(m.rows)), make([]bool, len(m.rows))
	return m
}

// terminal is the number of a terminal, -1 when there is none.
func (m *machine) terminal(t wiring.Terminal) int32 {
	if t.On < 0 || t.On >= len(m.first)-1 || t.Pin < 1 || m.first[t.On]+int32(t.Pin) > m.first[t.On+1] {
		return -1
	}
	return m.first[t.On] + int32(t.Pin) - 1
}

// solder notes the nets, and what hangs on each terminal.
func (m *machine) solder(count int32) {
	m.net, m.hung, m.beside = make([]int32, count), make([][]int32, count), make([][]int32, count)
	m.reads, m.labels, m.drives = make([][]way, count), make([][]way, count), make([]bool, count)
	nets := wiring.Nets(m.r)
	m.terms = make([][]int32, nets.Len())
	for on := range len(m.first) - 1 {
		for pin := 1; m.first[on]+int32(pin) <= m.first[on+1]; pin++ {
			t := wiring.Terminal{On: on, Pin: pin}
			n := m.terminal(t)
			m.net[n], m.drives[n] = int32(nets.Of(t)), m.r.Drives(t)
			m.terms[m.net[n]] = append(m.terms[m.net[n]], n)
		}
	}
	m.rowsOn, m.joinsOn = make([][]int32, len(m.first)), make([][]int32, len(m.first))
	note := func(rowsOn [][]int32, pins []wiring.Terminal, row int) {
		for _, pin := range pins {
			if on := &rowsOn[pin.On]; len(*on) == 0 || (*on)[len(*on)-1] != int32(row) {
				*on = append(*on, int32(row))
			}
		}
	}
	for i, j := range m.r.Joins {
		note(m.joinsOn, j.From, i)
		for _, l := range m.legs(j) {
			m.beside[l.from] = append(m.beside[l.from], l.to)
			m.beside[l.to] = append(m.beside[l.to], l.from)
		}
	}
	for i, row := range m.r.Soldered() {
		note(m.rowsOn, row.Pins, i)
		for _, h := range m.hangings(row) {
			m.hung[h.terminal] = append(m.hung[h.terminal], h.item)
			m.at[h.item] = append(m.at[h.item], h.terminal)
		}
		var items []int32
		for _, item := range row.Items {
			number, known := m.items[item]
			if !known {
				number = -1
			}
			items = append(items, number)
		}
		m.soldered = append(m.soldered, items)
	}
}

// hanging is an item on a terminal.
type hanging struct{ item, terminal int32 }

// hangings are what a row of the wiring hangs where.
func (m *machine) hangings(row wiring.Row) []hanging {
	var list []hanging
	for i := range min(len(row.Pins), len(row.Items)) {
		t := m.terminal(row.Pins[i])
		if t < 0 || !heeded(row.Items[i]) {
			continue
		}
		item, known := m.items[row.Items[i]]
		if !known {
			item = int32(len(m.items))
			m.items[row.Items[i]] = item
			m.list, m.at = append(m.list, row.Items[i]), append(m.at, nil)
		}
		list = append(list, hanging{item, t})
	}
	return list
}

// heeded reports whether an item has a part in which valves open.
func heeded(item wiring.Item) bool {
	switch item.Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind, wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind:
		return true
	}
	return false
}

// leg is a connection of two terminals.
type leg struct{ from, to int32 }

func (m *machine) legs(j wiring.Join) []leg {
	var list []leg
	for i := range min(len(j.From), len(j.To)) {
		if from, to := m.terminal(j.From[i]), m.terminal(j.To[i]); from >= 0 && to >= 0 {
			list = append(list, leg{from, to})
		}
	}
	return list
}

// table compiles the switching table.
func (m *machine) table() {
	for _, s := range m.r.Switch {
		for _, l := range s.Control {
			if _, known := m.label[l.Label]; !known {
				m.label[l.Label] = int32(len(m.label))
			}
		}
		for i := range s.Len() {
			if s.Line != "" {
				m.number(node{s.Line, s.Notes[i]})
			}
			if s.Kind == wiring.Couple {
				m.number(node{s.To, s.ToNotes[i]})
			}
		}
	}
	m.leads, m.feeds, m.lone = make([][]way, len(m.nodes)), make([][]way, len(m.nodes)), make([][]way, len(m.label)+1)
	for i, s := range m.r.Switch {
		m.rows = append(m.rows, m.asks(s))
		for place := range s.Len() {
			for _, w := range m.waysAt(nil, int32(i), s, place) {
				*w.in = append(*w.in, w.way)
			}
		}
	}
	for t, labels := range m.labels {
		for _, u := range m.terms[m.net[t]] {
			m.played = m.played || len(labels) > 0 && slices.ContainsFunc(m.hung[u], func(i int32) bool { return m.list[i].Kind != wiring.ControlKind })
		}
	}
	for _, i := range wiring.PickOrder(m.r.Switch) {
		m.picks = append(m.picks, m.pick(int32(i), m.r.Switch[i]))
	}
}

func (m *machine) number(n node) {
	if _, known := m.nodes[n]; !known {
		m.nodes[n] = int32(len(m.nodes))
	}
}

func (m *machine) find(line string, note console.Note) int32 {
	if n, known := m.nodes[node{line, note}]; known {
		return n
	}
	return -1
}

// asks is what a row asks.
func (m *machine) asks(s wiring.Switch) row {
	r := row{read: s.Kind == wiring.Read}
	if r.read {
		return r
	}
	for _, l := range s.Control {
		r.literals = append(r.literals, literal{m.label[l.Label], l.Not})
	}
	return r
}

// placed is a way, and the list it belongs in.
type placed struct {
	in *[]way
	way
}

// waysAt adds those that a row opens at a place of it, but for one that picks. What
// leads from or to a note that no row of the relay knows leads nowhere.
func (m *machine) waysAt(list []placed, number int32, s wiring.Switch, i int) []placed {
	add := func(in *[]way, to int32) { list = append(list, placed{in, way{number, to}}) }
	var from, pin int32 = -1, -1
	if s.Line != "" {
		from = m.find(s.Line, s.Notes[i])
	}
	if s.Kind != wiring.Couple {
		if pin = m.terminal(s.Pins[i]); pin < 0 {
			return list
		}
	}
	switch {
	case s.Kind == wiring.Read && s.Line == "":
		add(&m.labels[pin], m.label[s.Control[0].Label])
	case s.Kind == wiring.Read:
		if from >= 0 {
			add(&m.reads[pin], from)
		}
	case s.Kind == wiring.Drive && s.Line == "":
		add(&m.alone, pin)
		add(&m.lone[m.needs(s)], pin)
		add(&m.fed[pin], -1)
	case from < 0:
	case s.Kind == wiring.Drive:
		add(&m.feeds[from], pin)
		add(&m.fed[pin], from)
	case s.Picks == console.PicksAll:
		if to := m.find(s.To, s.ToNotes[i]); to >= 0 {
			add(&m.leads[from], to)
		}
	}
	return list
}

// needs is the first label that has to be on for a row; the one behind the last, for
// none.
func (m *machine) needs(s wiring.Switch) int32 {
	for _, l := range s.Control {
		if !l.Not {
			return m.label[l.Label]
		}
	}
	return int32(len(m.label))
}

func (m *machine) pick(number int32, s wiring.Switch) pick {
	p := pick{row: number, highest: s.Picks == console.PicksHighest}
	for i := range s.Len() {
		p.notes = append(p.notes, s.Notes[i])
		p.from, p.to = append(p.from, m.find(s.Line, s.Notes[i])), append(p.to, m.find(s.To, s.ToNotes[i]))
	}
	return p
}

// outputs notes what each output opens.
func (m *machine) outputs() {
	m.valve, m.lines = make([]int32, len(m.items)), make([][]meets, len(m.items))
	for i := range m.valve {
		m.valve[i] = -1
	}
	find := func(item wiring.Item) int32 {
		if i, known := m.items[item]; known {
			return i
		}
		return -1
	}
	for r, rank := range m.in.Ranks {
		for _, stand := range rank.Stands {
			chest := m.in.Chests[stand.Chest]
			for v := stand.From; v <= stand.To; v++ {
				if !chest.HasNoteLines() {
					if i := find(wiring.Item{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: v}); i >= 0 {
						m.valve[i] = int32(rank.Valve(v))
					}
					continue
				}
				for _, d := range chest.Plays {
					line := find(wiring.Item{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))})
					if line < 0 {
						continue
					}
					action := func(kind wiring.Kind) int32 {
						return find(wiring.Item{Kind: kind, Index: r, Of: wiring.ActionOf(m.in, r, d)})
					}
					m.lines[line] = append(m.lines[line], meets{int32(rank.Valve(v)), action(wiring.ActionKind), action(wiring.ActionOnKind), action(wiring.ActionOffKind)})
				}
			}
		}
	}
}

// contacts notes the contacts of the console.
func (m *machine) contacts() {
	find := func(kind wiring.Kind, index, note int) int32 {
		if i, known := m.items[wiring.Item{Kind: kind, Index: index, Of: console.None, Note: note}]; known {
			return i
		}
		return -1
	}
	for c := range m.in.Controls {
		m.controls = append(m.controls, find(wiring.ControlKind, c, 0))
	}
	for touch, kind := range []wiring.Kind{wiring.KeyKind, wiring.Key2Kind} {
		for k, keyboard := range m.in.Keyboards {
			keys := keyed{lowest: keyboard.Keys.From}
			for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
				keys.contacts = append(keys.contacts, find(kind, k, int(n)))
			}
			m.keys[touch] = append(m.keys[touch], keys)
		}
	}
}

// sortedSet sorts a list, each number once.
func sortedSet(list []int32) []int32 {
	slices.Sort(list)
	return slices.Compact(list)
}
