package console

import (
	"slices"
	"time"
)

// A pizzicato coupler sounds for a short pulse at each stroke of a key. It is
// given a keyboard of its own, which no hand plays: at a stroke the key there
// goes down, and comes up when the pulse ends. So what sounds needs to know
// nothing of time.

// plucked is a pizzicato coupler, the keyboard it is struck from and the one
// it was given.
type plucked struct {
	coupler   int
	from, own int
	down      [noteCount]bool // keys that are down on `from`
}

// pulse is a key of such a keyboard that is down.
type pulse struct {
	key  Key
	ends time.Duration
}

// pluck makes the instrument that sounds: the same, with a keyboard more for
// every pizzicato coupler, which divides cut as they cut the one it stands for.
func (m *Machine) pluck() {
	heard := *m.in
	m.heard = &heard
	heard.Keyboards = slices.Clone(m.in.Keyboards)
	heard.Couplers = slices.Clone(m.in.Couplers)
	heard.Divides = slices.Clone(m.in.Divides)
	for i := range heard.Couplers {
		c := &heard.Couplers[i]
		if c.Pulse == 0 {
			continue
		}
		own := len(heard.Keyboards)
		m.plucked = append(m.plucked, plucked{coupler: i, from: c.Keyboard, own: own})
		heard.Keyboards = append(heard.Keyboards, m.in.Keyboards[c.Keyboard])
		for _, d := range m.in.Divides {
			if d.Keyboard == c.Keyboard {
				d.Keyboard = own
				heard.Divides = append(heard.Divides, d)
			}
		}
		c.Keyboard = own
	}
}

// strokes begins the pulses of keys that have just gone down, and reports
// whether there were any.
func (m *Machine) strokes() bool {
	for i := range m.plucked {
		p := &m.plucked[i]
		c := m.in.Couplers[p.coupler]
		for n := range Note(noteCount) {
			down := m.sounding.Moved(p.from, n)
			if down && !p.down[n] && m.on[c.Control] {
				m.beginPulse(Key{p.own, n - Note(m.transpose)}, time.Duration(c.Pulse)*time.Millisecond)
			}
			p.down[n] = down
		}
	}
	return len(m.changes) > 0
}

func (m *Machine) beginPulse(k Key, lasts time.Duration) {
	if !AllNotes.Has(k.Note) {
		return
	}
	m.changes = append(m.changes, KeyDown(k))
	m.pulses = slices.DeleteFunc(m.pulses, func(p pulse) bool { return p.key == k })
	p := pulse{k, m.now + lasts}
	i := slices.IndexFunc(m.pulses, func(q pulse) bool { return q.ends > p.ends })
	if i < 0 {
		i = len(m.pulses)
	}
	m.pulses = slices.Insert(m.pulses, i, p)
}

// endPulse ends the pulse that is due first.
func (m *Machine) endPulse() {
	m.changes = append(m.changes, KeyUp(m.pulses[0].key))
	m.pulses = slices.Delete(m.pulses, 0, 1)
	m.sound()
}
