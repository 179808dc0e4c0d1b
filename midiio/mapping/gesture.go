package mapping

import "trundle/midiio"

// gesture is a message and the value that it has, 127 where it has none.
type gesture struct {
	shape
	value int
	low   bool // it is the low seven bits of what its shape has the high ones of
}

// reader makes gestures of messages.
type reader struct{ selected [16]selected }

// hear is the gesture that a message completes, nil when it does not; why says
// what has no place in a map.
func (r *reader) hear(m midiio.Message) (g *gesture, why string) {
	d := decoder{selected: r.selected}
	d.follow(m)
	r.selected = d.selected
	channel := m.Channel()
	s := shape{status: m.Status, number: int(m.A), value: open, hole: open}
	switch {
	case m.RealTime():
		return nil, ""
	case m.OfPort():
		return nil, "the port: " + m.Name()
	case m.Kind == midiio.Whole && m.Status == sysEx:
		return &gesture{shape: shape{status: sysEx, body: string(m.Body), value: open, hole: open}, value: fully}, ""
	case m.Kind.Fault() || channel == 0:
		return nil, m.Name() + " has no place in a map"
	case m.StartsNote():
		return &gesture{shape: s, value: fully}, ""
	case m.EndsNote():
		s.status = noteOn | m.Status&0x0F
		return &gesture{shape: s}, ""
	case m.Status&0xF0 == programChange:
		return &gesture{shape: s, value: fully}, ""
	case m.Status&0xF0 != controlChange:
		return nil, m.Name() + " has no place in a map"
	case m.A >= modes, m.A >= nrpnLow && m.A <= rpnHigh:
		return nil, ""
	}
	g = &gesture{shape: s, value: int(m.B)}
	parameter := r.selected[channel-1].number()
	if parameter >= 0 && (m.A == dataEntry || m.A == dataEntry+lowBits) {
		g.number, g.low = firstNRPN+parameter, m.A != dataEntry
	}
	return g, ""
}

// ends reports what comes as something goes off. A controller that goes to a low
// value may say by that value what comes on.
func (g gesture) ends() bool {
	if g.status&0xF0 == controlChange && g.number < firstNRPN {
		return g.value == 0
	}
	return g.value < half
}

// pair is the form of one gesture for on and another for off, nil when they
// cannot be told apart.
func pair(on, off gesture) *form {
	if on.shape == off.shape && on.isOpen() && on.value >= half && off.value < half {
		return &form{manner: whole, on: on.shape}
	}
	if on.status == sysEx && off.status == sysEx {
		if at, one := difference(on.body, off.body); one && on.body[at] == fully && off.body[at] == 0 {
			return &form{manner: whole, on: on.opened(at)}
		}
	}
	a, b := on.fixed(), off.fixed()
	if a == b {
		return nil
	}
	return &form{manner: apart, on: a, off: b}
}

// fixed is the shape of a gesture by itself, with its value where that is low.
func (g gesture) fixed() shape {
	s := g.shape
	if s.status&0xF0 == controlChange && s.number < firstNRPN {
		s.value = g.value
	}
	return s
}

// difference is the one place in which two bodies differ.
func difference(a, b string) (at int, one bool) {
	if len(a) != len(b) {
		return 0, false
	}
	places := 0
	for i := range a {
		if a[i] != b[i] {
			at, places = i, places+1
		}
	}
	return at, places == 1
}
