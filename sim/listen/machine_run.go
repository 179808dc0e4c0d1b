package listen

import "trundle/sim/wiring"

// run is the valves that open in a state, ascending. They stand until the next
// run, as do the contacts that are made, the notes that are on, and the nets that
// are driven.
func (m *machine) run(t Try) []int32 {
	m.now++
	m.made, m.on, m.driven, m.given, m.open = m.made[:0], m.on[:0], m.driven[:0], m.given[:0], m.open[:0]
	for _, c := range t.Draw {
		m.make(m.contact(wiring.ControlKind, c, 0))
	}
	for _, h := range t.Held {
		m.make(m.contact(wiring.KeyKind, h.Keyboard, int(h.Note)))
		if h.Deep {
			m.make(m.contact(wiring.Key2Kind, h.Keyboard, int(h.Note)))
		}
	}
	done := m.follow(0)
	for _, p := range m.picks {
		if i := m.chooses(p); i >= 0 && p.to[i] >= 0 && m.holds(p.row) {
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
	for _, w := range m.alone {
		if m.holds(w.row) {
			m.drive(w.to)
		}
	}
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

// make makes a contact: every pin on its nets is on.
func (m *machine) make(item int32) {
	if item < 0 {
		return
	}
	m.made = append(m.made, item)
	for _, t := range m.at[item] {
		net := m.net[t]
		if m.netOn[net] == m.now {
			continue
		}
		m.netOn[net] = m.now
		for _, u := range m.terms[net] {
			for _, w := range m.labels[u] {
				if !m.rows[w.row].off {
					m.labelOn[w.to] = m.now
				}
			}
			for _, w := range m.reads[u] {
				if !m.rows[w.row].off {
					m.turn(w.to)
				}
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

// holds reports whether a row does. It is asked once all contacts are made.
func (m *machine) holds(number int32) bool {
	if m.known[number] != m.now {
		m.known[number], m.held[number] = m.now, m.rows[number].holds(m)
	}
	return m.held[number]
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
