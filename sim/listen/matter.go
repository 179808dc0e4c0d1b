package listen

import (
	"slices"

	"trundle/sim/wiring"
)

// matter notes what can have a part in which valves open, whatever is held and
// drawn: rows may lead from notes that no key reaches, and to where nothing hangs.
func (m *machine) matter() {
	m.sounding = make([]bool, len(m.items))
	for i, lines := range m.lines {
		m.sounding[i] = m.sounding[i] || m.valve[i] >= 0
		for _, l := range lines {
			m.sounding[i] = m.sounding[i] || m.isFed(l.action) || m.isFed(l.on)
			for _, action := range []int32{l.action, l.on, l.off} {
				if action >= 0 {
					m.sounding[action] = true
				}
			}
		}
	}
	m.reached, m.useful, m.sways, m.asked = make([]bool, len(m.nodes)), make([]bool, len(m.nodes)), make([]bool, len(m.nodes)), make([]bool, len(m.label))
	onward, back := make([][]int32, len(m.nodes)), make([][]int32, len(m.nodes))
	pass := func(from, to int32) {
		if from >= 0 && to >= 0 {
			onward[from], back[to] = append(onward[from], to), append(back[to], from)
		}
	}
	for n, ways := range m.leads {
		for _, w := range ways {
			pass(int32(n), w.to)
		}
		m.useful[n] = slices.ContainsFunc(m.feeds[n], func(w way) bool { return m.opens(w.to) })
	}
	for _, p := range m.picks {
		for i := range p.from {
			if pass(p.from[i], p.to[i]); p.from[i] >= 0 {
				m.sways[p.from[i]] = true
			}
		}
	}
	for t, reads := range m.reads {
		for _, w := range reads {
			m.reached[w.to] = m.reached[w.to] || m.worked(int32(t))
		}
	}
	spread(m.reached, onward)
	spread(m.useful, back)
	spread(m.sways, back)
	for _, s := range m.r.Switch {
		if s.Kind != wiring.Read && m.matters(s) {
			for _, l := range s.Control {
				m.asked[m.label[l.Label]] = true
			}
		}
	}
}

// spread marks what the marked ones lead to.
func spread(marked []bool, ways [][]int32) {
	var list []int32
	for n, is := range marked {
		if is {
			list = append(list, int32(n))
		}
	}
	for i := 0; i < len(list); i++ {
		for _, to := range ways[list[i]] {
			if !marked[to] {
				marked[to] = true
				list = append(list, to)
			}
		}
	}
}

// opens reports whether a pin that is driven may open a valve.
func (m *machine) opens(pin int32) bool {
	return m.drives[pin] && m.any(pin, func(i int32) bool { return m.sounding[i] })
}

// isFed reports whether something drives an output.
func (m *machine) isFed(item int32) bool {
	return item >= 0 && slices.ContainsFunc(m.at[item], func(t int32) bool {
		return slices.ContainsFunc(m.terms[m.net[t]], func(u int32) bool { return m.drives[u] && len(m.fed[u]) > 0 })
	})
}

// worked reports whether something on the console puts a pin on.
func (m *machine) worked(pin int32) bool { return m.any(pin, m.isContact) }

// any reports whether some item on the net of a pin is so.
func (m *machine) any(pin int32, is func(item int32) bool) bool {
	return slices.ContainsFunc(m.terms[m.net[pin]], func(t int32) bool { return slices.ContainsFunc(m.hung[t], is) })
}

func (m *machine) isContact(item int32) bool {
	switch m.list[item].Kind {
	case wiring.KeyKind, wiring.Key2Kind, wiring.ControlKind:
		return true
	}
	return false
}

// matters reports whether a row may have a part in which valves open, while
// nothing else of the relay is otherwise.
func (m *machine) matters(s wiring.Switch) bool {
	for i := range s.Len() {
		var from, pin int32 = -1, -1
		if s.Line != "" {
			from = m.find(s.Line, s.Notes[i])
		}
		if s.Kind != wiring.Couple {
			if pin = m.terminal(s.Pins[i]); pin < 0 {
				continue
			}
		}
		var is bool
		switch {
		case s.Kind == wiring.Read && s.Line == "":
			is = m.asked[m.label[s.Control[0].Label]] && m.worked(pin)
		case s.Kind == wiring.Read:
			is = from >= 0 && m.useful[from] && m.worked(pin)
		case s.Kind == wiring.Drive:
			is = (s.Line == "" || from >= 0 && m.reached[from]) && m.opens(pin)
		default:
			to := m.find(s.To, s.ToNotes[i])
			is = from >= 0 && m.reached[from] && to >= 0 && m.useful[to]
		}
		if is {
			return true
		}
	}
	return false
}
