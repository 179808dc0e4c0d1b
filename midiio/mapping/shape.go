package mapping

import "trundle/midiio"

// Status bytes (MIDI 1.0 table I).
const (
	noteOn        = 0x90
	controlChange = 0xB0
	programChange = 0xC0
	sysEx         = 0xF0
	systemReset   = 0xFF
)

// Controllers (MIDI 1.0 table III). That of the low seven bits is 32 above that
// of the high ones.
const (
	dataEntry  = 6
	lowBits    = 32
	nrpnLow    = 98
	nrpnHigh   = 99
	rpnLow     = 100
	rpnHigh    = 101
	modes      = 120 // and above: channel mode messages
	firstNRPN  = 128 // as a shape's number: non-registered parameter 0
	mostNRPN   = 1<<14 - 1
	open       = -1
	unweighted = 64 // velocity of a sender without sensors (MIDI 1.0, note on)
	fully      = 127
	half       = 64 // a switch is on from here up (MIDI 1.0 table III)
)

// shape is a message with at most one open place, for a value of seven bits.
type shape struct {
	status byte // with the channel
	number int  // key, controller, program; of a non-registered parameter its number + firstNRPN
	value  int  // open, or the data byte that a controller has
	body   string
	hole   int // of a system exclusive body; open when it has none
}

func (s shape) isOpen() bool {
	switch s.status & 0xF0 {
	case programChange:
		return false
	case sysEx:
		return s.hole != open
	}
	return s.value == open
}

// channel is the channel of a shape, 0 of system exclusive.
func (s shape) channel() int {
	if s.status == sysEx {
		return 0
	}
	return int(s.status&0x0F) + 1
}

// opened is a shape of system exclusive with one place open.
func (s shape) opened(at int) shape {
	body := []byte(s.body)
	body[at] = 0
	s.body, s.hole = string(body), at
	return s
}

// append appends the message with a value in its open place, and with the low
// seven bits where there are 14.
func (s shape) append(to []midiio.Message, value int, fine bool, low int) []midiio.Message {
	channel := s.channel()
	switch s.status & 0xF0 {
	case noteOn:
		return append(to, midiio.NoteOn(channel, byte(s.number), byte(min(value, unweighted))))
	case programChange:
		return append(to, midiio.Message{Status: s.status, A: byte(s.number)})
	case sysEx:
		body := []byte(s.body)
		if s.hole != open {
			body[s.hole] = byte(value)
		}
		return append(to, midiio.SysEx(body))
	}
	if s.value != open {
		value = s.value
	}
	controller := s.number
	if parameter := s.number - firstNRPN; parameter >= 0 {
		to = append(to, midiio.ControlChange(channel, nrpnHigh, byte(parameter>>7)), midiio.ControlChange(channel, nrpnLow, byte(parameter&0x7F)))
		controller = dataEntry
	}
	to = append(to, midiio.ControlChange(channel, byte(controller), byte(value)))
	if fine {
		to = append(to, midiio.ControlChange(channel, byte(controller+lowBits), byte(low)))
	}
	return to
}

// manner is how a form carries the values of its thing.
type manner int

const (
	whole    manner = iota // one message, open for on and off
	apart                  // one message for on, another for off
	press                  // one message that turns it over
	strike                 // one message that presses a button; nothing lets go of it
	position               // 7 or 14 bits of a shoe
	number                 // the stage of the crescendo
)

// form is the messages of a thing that go one way.
type form struct {
	manner  manner
	on, off shape // off: apart only
	fine    bool  // position: 14 bits
}

// append appends the messages that say a value.
func (f *form) append(to []midiio.Message, value int) []midiio.Message {
	switch f.manner {
	case whole:
		return f.on.append(to, value*fully, false, 0)
	case position:
		return f.on.append(to, value>>7, f.fine, value&0x7F)
	case number:
		return f.on.append(to, value, false, 0)
	case strike:
		if value == 0 {
			return to
		}
	case apart:
		if value == 0 {
			return f.off.pulse(to)
		}
	}
	return f.on.pulse(to)
}

// pulse appends a message that stands for itself; a note ends at once, since
// every note on wants its note off.
func (s shape) pulse(to []midiio.Message) []midiio.Message {
	to = s.append(to, fully, false, 0)
	if s.status&0xF0 == noteOn {
		to = s.append(to, 0, false, 0)
	}
	return to
}
