package listen

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// run is the valves that open in a state, ascending. They stand until the next
// run, as do the contacts that are made, the notes that are on, and the nets that
// are driven.
func (m *machine) run(t Try) []int32 { return m.runIn(t, nil, -1) }

// drawn is what is settled by what is drawn, where no key puts a label on.
type drawn struct {
	labels []bool // that are on
	held   []bool // rows that hold
	alone  []way  // of the pins driven by controls alone, those that are
}

// runIn does so with what is settled known, but for one row of the table; for nil
// nothing is.
func (m *machine) runIn(t Try, d *drawn, but int32) []int32 {
	m.now++
	m.drawn, m.but = d, but
	m.made, m.lit, m.on, m.driven, m.given = m.made[:0], m.lit[:0], m.on[:0], m.driven[:0], m.given[:0]
	if d == nil {
		for _, c := range t.Draw {
			m.make(m.controls[c])
		}
	}
	for _, t := range m.stuck {
		m.turnOn(m.net[t])
		m.give(m.net[t])
	}
	for _, h := range t.Held {
		m.make(m.keys[0][h.Keyboard].of(h.Note))
		if h.Deep {
			m.make(m.keys[1][h.Keyboard].of(h.Note))
		}
	}
	done := m.follow(0)
	for _, p := range m.picks {
		if !m.holds(p.row) {
			continue
		}
		if i := m.chooses(p); i >= 0 && p.to[i] >= 0 {
			m.turn(p.to[i])
			done = m.follow(done)
		}
	}
	for _, n := range m.on {
		for _, w := range m.feeds[n] {
			if m.holds(w.row) {
				m.drive(w.to)
			}
		}
	}
	m.driveAlone()
	return m.opened()
}

// driveAlone drives the pins that controls drive alone.
func (m *machine) driveAlone() {
	drive := func(ways []way) {
		for _, w := range ways {
			if m.holds(w.row) {
				m.drive(w.to)
			}
		}
	}
	lone := m.but >= 0 && m.r.Switch[m.but].Kind == wiring.Drive && m.r.Switch[m.but].Line == ""
	switch {
	case lone || m.otherwise > 0: // it may need another label
		drive(m.alone)
	case m.drawn != nil:
		drive(m.drawn.alone)
	default:
		for _, label := range append(m.lit, int32(len(m.lone)-1)) {
			drive(m.lone[label])
		}
	}
}

// sound is the valves that open while some nets are driven, ascending.
func (m *machine) sound(driven []int32) []int32 {
	m.now++
	m.given = m.given[:0]
	for _, net := range driven {
		m.give(net)
	}
	for _, t := range m.stuck {
		m.give(m.net[t])
	}
	return m.opened()
}

// opened is the valves that outputs open which are driven.
func (m *machine) opened() []int32 {
	m.open = m.open[:0]
	for _, i := range m.given {
		if m.valve[i] >= 0 {
			m.open = append(m.open, m.valve[i])
		}
		for _, l := range m.lines[i] {
			if m.is(l.action) || m.is(l.on) && !m.is(l.off) {
				m.open = append(m.open, l.valve)
			}
		}
	}
	m.open = sortedSet(m.open)
	return m.open
}

func (k keyed) of(note console.Note) int32 { return k.contacts[note-k.lowest] }

// make makes a contact: every pin on its nets is on.
func (m *machine) make(item int32) {
	if item < 0 {
		return
	}
	m.made = append(m.made, item)
	for _, t := range m.at[item] {
		m.turnOn(m.net[t])
	}
}

// turnOn puts a net on.
func (m *machine) turnOn(net int32) {
	if m.netOn[net] == m.now {
		return
	}
	m.netOn[net] = m.now
	for _, u := range m.terms[net] {
		for _, w := range m.labels[u] {
			if !m.rows[w.row].off && m.labelOn[w.to] != m.now {
				m.labelOn[w.to] = m.now
				m.lit = append(m.lit, w.to)
			}
		}
		for _, w := range m.reads[u] {
			if !m.rows[w.row].off {
				m.turn(w.to)
			}
		}
	}
}

func (m *machine) turn(n int32) {
	if m.nodeOn[n] != m.now {
		m.nodeOn[n] = m.now
		m.on = append(m.on, n)
	}
}

// follow has the notes from a place of the list on lead further.
func (m *machine) follow(from int) (done int) {
	for ; from < len(m.on); from++ {
		for _, w := range m.leads[m.on[from]] {
			if m.holds(w.row) {
				m.turn(w.to)
			}
		}
	}
	return from
}

// settle is what is settled in a state that was run last.
func (m *machine) settle() *drawn {
	d := &drawn{labels: make([]bool, len(m.labelOn)), held: make([]bool, len(m.rows))}
	for i, at := range m.labelOn {
		d.labels[i] = at == m.now
	}
	for i, r := range m.rows {
		d.held[i] = r.among(d.labels)
	}
	for _, w := range m.alone {
		if d.held[w.row] {
			d.alone = append(d.alone, w)
		}
	}
	return d
}

// settled reports whether it is whether a row holds.
func (m *machine) settled(number int32) bool {
	return number != m.but && int(number) < len(m.drawn.held)
}

// holds reports whether a row does. It is asked once all contacts are made.
func (m *machine) holds(number int32) bool {
	switch {
	case m.drawn == nil:
	case m.settled(number):
		return m.drawn.held[number]
	default:
		return m.rows[number].among(m.drawn.labels)
	}
	if m.known[number] != m.now {
		m.known[number], m.held[number] = m.now, m.rows[number].holds(m)
	}
	return m.held[number]
}

// among reports whether a row holds while some labels are on.
func (r row) among(labels []bool) bool {
	if r.off {
		return false
	}
	for _, l := range r.literals {
		if labels[l.label] == l.not {
			return false
		}
	}
	return true
}

func (r row) holds(m *machine) bool {
	if r.off {
		return false
	}
	for _, l := range r.literals {
		if (m.labelOn[l.label] == m.now) == l.not {
			return false
		}
	}
	return true
}

// chooses is the place of the note that a row picks, -1 when none is on.
func (m *machine) chooses(p pick) int {
	place := -1
	for i, n := range p.from {
		if n >= 0 && m.nodeOn[n] == m.now && (place < 0 || p.notes[i] < p.notes[place] != p.highest) {
			place = i
		}
	}
	return place
}

func (m *machine) drive(t int32) {
	net := m.net[t]
	if !m.drives[t] || m.netDriven[net] == m.now {
		return
	}
	m.netDriven[net] = m.now
	m.driven = append(m.driven, net)
	m.give(net)
}

// give has a net's outputs driven.
func (m *machine) give(net int32) {
	for _, u := range m.terms[net] {
		for _, i := range m.hung[u] {
			if m.itemOn[i] != m.now {
				m.itemOn[i] = m.now
				m.given = append(m.given, i)
			}
		}
	}
}

// is reports whether an output is driven.
func (m *machine) is(item int32) bool { return item >= 0 && m.itemOn[item] == m.now }
