package mapping

import (
	"fmt"

	"trundle/midiio"
)

// gesture is a message and the value that it has, 127 where it has none.
type gesture struct {
	shape
	value int
	low   bool // it is the low seven bits of what its shape has the high ones of
}

// reader makes gestures of messages.
type reader struct {
	selected [16]selected
	begun    bool
}

// hear is the gesture that a message completes, nil when it does not; why says
// what has no place in a map.
func (r *reader) hear(m midiio.Message) (g *gesture, why string) {
	if !r.begun {
		for c := range r.selected {
			r.selected[c] = selected{-1, -1}
		}
		r.begun = true
	}
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

// key takes a key of the keyboard that is asked for.
func (l *Learner) key(t Thing, g gesture) []string {
	keyboard := l.in.Keyboards[t.Index]
	if g.status&0xF0 != noteOn {
		return []string{fmt.Sprintf("%s is no key: keys are notes", g.shape)}
	}
	if g.value == 0 {
		return nil
	}
	if len(l.heard) > 0 && l.heard[0].shape == g.shape {
		return nil // pressed again, or on the way to its second contact
	}
	l.heard = append(l.heard, g)
	lowest, highest := l.heard[0], l.heard[len(l.heard)-1]
	switch {
	case len(l.heard) == 2 && (highest.status != lowest.status || highest.number-lowest.number != keyboard.Keys.Len()-1):
		said := fmt.Sprintf("%s is heard as %s and %s as %s: they should be %d notes apart on one channel; begin with the lowest again",
			keyboard.Keys.From, lowest.shape, keyboard.Keys.To, highest.shape, keyboard.Keys.Len()-1)
		l.begin()
		return []string{said}
	case len(l.heard) == 2 && keyboard.Touches > 1, len(l.heard) < 2:
		return nil
	case len(l.heard) == 3 && highest.number != lowest.number:
		l.heard = l.heard[:2]
		return []string{fmt.Sprintf("%s is another key", highest.shape)}
	}
	var entries []Entry
	for _, contact := range []struct {
		kind Kind
		g    gesture
	}{{Key, lowest}, {Second, highest}} {
		if contact.kind == Second && len(l.heard) < 3 {
			continue
		}
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			it := &form{manner: whole, on: noteShape(contact.g.channel(), lowest.number+int(n-keyboard.Keys.From))}
			entries = append(entries, Entry{Thing: Thing{contact.kind, t.Index, n}, forms: [ways]*form{it, nil}})
		}
	}
	return l.take(t, entries...)
}

// travel is how a controller moved.
type travel struct {
	values [128]bool
	count  int
	low    bool // its low bits moved too
}

// enough is how many values make the movement of a shoe.
const enough = 8

// move takes a movement of the shoe that is asked for.
func (l *Learner) move(t Thing, g gesture) []string {
	if g.status == sysEx && !l.travels(&g) {
		return nil
	}
	if g.status != sysEx && g.status&0xF0 != controlChange {
		return []string{fmt.Sprintf("%s is no shoe: shoes are controllers", g.shape)}
	}
	s := g.shape
	if high := s.number - lowBits; high >= 0 && high < lowBits {
		with := s
		with.number = high
		if l.moves[with] != nil { // it follows its high bits
			s, g.low = with, true
		}
	}
	moved := l.moves[s]
	if moved == nil {
		moved = &travel{}
		l.moves[s] = moved
	}
	if g.low {
		moved.low = true
		return nil
	}
	if !moved.values[g.value] {
		moved.values[g.value] = true
		moved.count++
	}
	if moved.count < enough {
		return nil
	}
	it := &form{manner: position, on: s, fine: moved.low}
	return l.take(t, Entry{Thing: t, hysteresis: defaultHysteresis, every: defaultRate, forms: [ways]*form{it, it}})
}

// travels makes a position of system exclusive that differs from the first that
// came in one place, and reports false where there is none.
func (l *Learner) travels(g *gesture) bool {
	if len(l.heard) == 0 {
		l.heard = append(l.heard, *g)
		return false
	}
	at, one := difference(l.heard[0].body, g.body)
	if one {
		g.value = int(g.body[at])
		g.shape = g.opened(at)
	}
	return one
}

// opened is a shape of system exclusive with one place open.
func (s shape) opened(at int) shape {
	body := []byte(s.body)
	body[at] = 0
	s.body, s.hole = string(body), at
	return s
}

// switched takes what a control or button does.
func (l *Learner) switched(t Thing, g gesture) []string {
	spring := t.Kind == Control && l.knobs == Spring
	if g.ends() && (len(l.heard) == 0 || l.knobs == Pulse && t.Kind == Control) {
		if len(l.heard) == 0 && l.knobs == Stay && t.Kind == Control {
			return []string{fmt.Sprintf("%s says off: turn it on", g.shape)}
		}
		return nil
	}
	l.heard = append(l.heard, g)
	switch {
	case t.Kind == Button && g.status&0xF0 == programChange:
		said, _ := l.Only()
		return said
	case spring:
		it := &form{manner: press, on: g.shape}
		forms := [ways]*form{it, nil}
		if g.isOpen() {
			forms[ToConsole] = &form{manner: whole, on: g.shape}
		}
		return l.take(t, Entry{Thing: t, forms: forms})
	case len(l.heard) == 1:
		return nil
	}
	it := pair(l.heard[0], l.heard[1])
	if it == nil {
		said := fmt.Sprintf("on and off are both %s: if it springs back, learn with --knobs spring", g.shape)
		l.begin()
		return []string{said}
	}
	return l.take(t, Entry{Thing: t, forms: [ways]*form{it, it}})
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
