package mapping

import "trundle/midiio"

// address is what tells one channel message from another: status with the
// channel, number as of a shape, and value where that is fixed.
type address struct {
	status byte
	number int
	value  int
}

// role is what a message says about its entry.
type role byte

const (
	both    role = iota // its value says on or off
	onlyOn              // it stands for on
	onlyOff             // it stands for off
	turn                // it turns it over
	stroke              // it presses and lets go
	coarse              // its value is the high bits of a position
	fine                // its value is the low bits
	count               // its value is a number
	choose              // it is part of a non-registered parameter, and says nothing by itself
)

// meaning is what a message says: about which entry, and what.
type meaning struct {
	entry int
	role  role
}

// index finds the meaning of what goes one way.
type index struct {
	channel map[address]meaning
	system  map[string]meaning // by body, with hole in its open place
	holes   []int              // the open places there are
}

// hole stands in the open place of a body; no data byte has its value.
const hole = 0xFF

func (s shape) address() address {
	return address{s.status, s.number, s.value}
}

// key is the body of a shape with its open place marked.
func (s shape) key() string {
	if s.hole == open {
		return s.body
	}
	body := []byte(s.body)
	body[s.hole] = hole
	return string(body)
}

// part is one message of a form and what it says.
type part struct {
	shape
	role
}

// parts are the messages of a form.
func (f *form) parts() []part {
	of := [...]role{whole: both, apart: onlyOn, press: turn, strike: stroke, position: coarse, number: count}
	list := []part{{f.on, of[f.manner]}}
	if f.manner == apart {
		list = append(list, part{f.off, onlyOff})
	}
	for _, p := range list {
		if p.status&0xF0 == controlChange && p.number >= firstNRPN {
			for _, controller := range []int{nrpnHigh, nrpnLow, dataEntry, dataEntry + lowBits} {
				list = append(list, part{shape{status: p.status, number: controller, value: open, hole: open}, choose})
			}
		} else if f.fine {
			p.number, p.role = p.number+lowBits, fine
			list = append(list, p)
		}
	}
	return list
}

// selected is which parameter a channel's data entry is of: both halves of its
// number, each and 1; 0 while it is not chosen.
type selected struct{ high, low int }

// number is that of the parameter, less than 0 when none is chosen.
func (s selected) number() int {
	if s.high == 0 || s.low == 0 {
		return -1
	}
	return (s.high-1)<<7 | (s.low - 1)
}

// decoder finds the meanings of a stream of messages.
type decoder struct {
	index    *index
	selected [16]selected // by channel
}

func (x *index) decoder() decoder { return decoder{index: x} }

// look is the meaning of a message and its value. What says nothing by itself
// has the role choose.
func (d *decoder) look(m midiio.Message) (of meaning, value int, known bool) {
	channel := m.Channel()
	switch {
	case m.Kind == midiio.Whole && m.Status == sysEx:
		return d.index.body(m.Body)
	case m.StartsNote():
		of, known = d.index.channel[address{noteOn | byte(channel-1), int(m.A), open}]
		return of, fully, known
	case m.EndsNote():
		of, known = d.index.channel[address{noteOn | byte(channel-1), int(m.A), open}]
		return of, 0, known
	case channel == 0:
		return of, 0, false
	case m.Status&0xF0 == programChange:
		of, known = d.index.channel[address{m.Status, int(m.A), open}]
		return of, fully, known
	case m.Status&0xF0 != controlChange:
		return of, 0, false
	}
	if of, known = d.index.channel[address{m.Status, int(m.A), int(m.B)}]; known {
		return of, fully, true
	}
	of, known = d.index.channel[address{m.Status, int(m.A), open}]
	if of.role == choose && known && (m.A == dataEntry || m.A == dataEntry+lowBits) {
		parameter := d.selected[channel-1].number()
		of, known = d.index.channel[address{m.Status, firstNRPN + parameter, open}]
		if parameter < 0 {
			return of, 0, false
		}
		switch {
		case m.A == dataEntry:
		case of.role == coarse:
			of.role = fine
		default:
			of.role = choose // what has seven bits only has them in the high ones
		}
	}
	return of, int(m.B), known
}

// follow notes which parameter a message chooses.
func (d *decoder) follow(m midiio.Message) {
	if m.Channel() == 0 || m.Status&0xF0 != controlChange {
		return
	}
	switch s := &d.selected[m.Channel()-1]; m.A {
	case nrpnHigh:
		s.high = int(m.B) + 1
	case nrpnLow:
		s.low = int(m.B) + 1
	case rpnHigh, rpnLow:
		*s = selected{}
	}
}

// body looks a system exclusive message up.
func (x *index) body(body []byte) (of meaning, value int, known bool) {
	if of, known = x.system[string(body)]; known {
		return of, fully, true
	}
	for _, at := range x.holes {
		if at >= len(body) {
			continue
		}
		value = int(body[at])
		marked := append([]byte(nil), body...)
		marked[at] = hole
		if of, known = x.system[string(marked)]; known {
			return of, value, true
		}
	}
	return of, 0, false
}
