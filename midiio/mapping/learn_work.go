package mapping

import (
	"fmt"
	"slices"
)

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

// enough is how many values make the movement of a shoe, and few how many do
// when both ends are among them, or come within 5% of them: there are shoes
// that have no more stages.
const (
	enough = 8
	few    = 3
	nearly = 6
)

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
	ends := slices.Contains(moved.values[:nearly+1], true) && slices.Contains(moved.values[127-nearly:], true)
	if moved.count < few || moved.count < enough && !ends {
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
