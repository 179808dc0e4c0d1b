// Package midiio is MIDI as bytes, as messages and as standard MIDI files, and
// the ports that carry it. It follows the MIDI 1.0 specification and knows of
// no device, and nothing of what a message means to an organ.
//
// ListenTo and TalkTo open a port by its name, and look for one that went away.
// Between bytes and messages stand Tokenizer and Encoder, between files and
// messages ReadFile and File.Bytes. A message has one text form (String,
// ParseMessage), used wherever people see or write one. Monitor finds what is
// wrong with traffic; Link is the model of a cable.
package midiio

// Kind is whether a message is whole, a part of a long one, or a fault of the
// stream that carried it.
type Kind byte

const (
	Whole Kind = iota

	// A system exclusive message that is longer than a tokenizer holds comes
	// in parts, whose bodies joined are its body.
	Begin
	More
	End

	// What a port tells of itself; no bytes belong to it (see Input).
	Back    // the port is there again
	Overrun // the system lost what came faster than it was taken: a fault
	Gone    // the port has gone away: a fault

	// Other faults.
	NoStatus   // A: a data byte that no status byte announced
	Undefined  // Status: F4, F5, F9 or FD
	Unfinished // Status, Body: cancelled by another status byte, or by the end
	Cut        // Body: what was held of a system exclusive message that nothing ended
	StrayEnd   // the end of a system exclusive message that never began
)

// Fault reports whether something is wrong with the stream.
func (k Kind) Fault() bool { return k >= Overrun }

// Releases reports news of a port after which nobody knows which keys are on, so
// that all are let go of.
func (k Kind) Releases() bool { return k == Overrun || k == Gone }

// Status bytes (MIDI 1.0 table I). Those of channel messages
// carry the channel, less one, in their low four bits.
const (
	noteOff         = 0x80
	noteOn          = 0x90
	keyPressure     = 0xA0
	controlChange   = 0xB0
	programChange   = 0xC0
	channelPressure = 0xD0
	pitchBend       = 0xE0
	sysEx           = 0xF0
	quarterFrame    = 0xF1
	songPosition    = 0xF2
	songSelect      = 0xF3
	tuneRequest     = 0xF6
	sysExEnd        = 0xF7
	realTime        = 0xF8 // and all above
	activeSensing   = 0xFE
	systemReset     = 0xFF
)

// Controllers that silence a channel (MIDI 1.0, channel mode messages).
const (
	AllSoundOff = 120
	AllNotesOff = 123
)

// Message is one MIDI message; the zero Kind is a whole one. Which of the
// fields count follows from Kind and Status.
type Message struct {
	Kind   Kind
	Status byte   // 80 to FF
	A, B   byte   // first and second data byte, 0 to 127
	Body   []byte // of system exclusive: the bytes between F0 and F7
}

// NoteOn is a note on; channels count from 1.
func NoteOn(channel int, key, velocity byte) Message {
	return Message{Status: noteOn | byte(channel-1), A: key, B: velocity}
}

// NoteOff is a note off with the velocity of a sender that has none, 64.
func NoteOff(channel int, key byte) Message {
	return Message{Status: noteOff | byte(channel-1), A: key, B: 64}
}

// ControlChange sets a controller, or with 120 and above is a channel mode
// message.
func ControlChange(channel int, controller, value byte) Message {
	return Message{Status: controlChange | byte(channel-1), A: controller, B: value}
}

// SysEx is a whole system exclusive message of the bytes between F0 and F7.
func SysEx(body []byte) Message { return Message{Status: sysEx, Body: body} }

// Channel is the channel of a channel message, 1 to 16, and 0 of others.
func (m Message) Channel() int {
	if m.Kind != Whole || m.Status < noteOff || m.Status >= sysEx {
		return 0
	}
	return int(m.Status&0x0F) + 1
}

// StartsNote reports a note on with a velocity.
func (m Message) StartsNote() bool { return m.is(noteOn) && m.B > 0 }

// EndsNote reports a note off, or the note on of velocity 0 that is one.
func (m Message) EndsNote() bool { return m.is(noteOff) || m.is(noteOn) && m.B == 0 }

// OfPort reports what a port tells of itself, which is nothing to send.
func (m Message) OfPort() bool { return m.Kind >= Back && m.Kind <= Gone }

// RealTime reports a message of one byte that may stand between any others.
func (m Message) RealTime() bool { return m.Kind == Whole && m.Status >= realTime }

// Clone is a copy whose body is its own.
func (m Message) Clone() Message {
	if m.Body != nil {
		m.Body = append([]byte{}, m.Body...)
	}
	return m
}

// is reports a whole channel message of a kind, whatever its channel.
func (m Message) is(status byte) bool { return m.Kind == Whole && m.Status&0xF0 == status }

// dataBytes is how many data bytes follow a status byte other than F0.
func dataBytes(status byte) int {
	switch {
	case status >= 0xC0 && status < 0xE0, status == quarterFrame, status == songSelect:
		return 1
	case status < sysEx, status == songPosition:
		return 2
	}
	return 0
}

// defined reports whether MIDI 1.0 gives a status byte a meaning.
func defined(status byte) bool {
	return status >= 0x80 && status != 0xF4 && status != 0xF5 && status != 0xF9 && status != 0xFD
}
