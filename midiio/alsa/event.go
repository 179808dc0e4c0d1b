package alsa

import (
	"encoding/binary"
	"errors"
)

// shape is how the data bytes of a message stand in an event.
type shape int

const (
	bare    shape = iota // there are none
	keyed                // key and velocity, a byte each
	control              // number and value
	single               // a value
	paired               // a value of 14 bits
	bent                 // a value of 14 bits, less 8192
)

// forms are the types of events (SNDRV_SEQ_EVENT_...) for messages, but for
// system exclusive.
var forms = []struct {
	status, kind byte
	shape        shape
}{
	{0x80, 7, keyed}, {0x90, 6, keyed}, {0xA0, 8, keyed}, {0xB0, 10, control}, {0xC0, 11, single}, {0xD0, 12, single}, {0xE0, 13, bent},
	{0xF1, 22, single}, {0xF2, 20, paired}, {0xF3, 21, single}, {0xF6, 40, bare},
	{0xF8, 36, bare}, {0xFA, 30, bare}, {0xFB, 31, bare}, {0xFC, 32, bare}, {0xFE, 42, bare}, {0xFF, 41, bare},
}

// Other types of events.
const (
	control14    = 14
	unregistered = 15
	registered   = 16
	unsubscribed = 67
	sysEx        = 130
)

const (
	eventSize   = 28
	lengthMask  = 3 << 2 // of the flags
	variable    = 1 << 2
	direct      = 253 // queue: at once
	unknown     = 253
	subscribers = 254
)

// sysExPart is how many bytes of a system exclusive message go into one event;
// the kernel's own parts are as long.
const sysExPart = 256

// event is one event of the sequencer (struct snd_seq_event).
type event struct {
	Type   byte
	Source Address
	Data   [12]byte
	Body   []byte // of an event of variable length
}

// nextEvent takes the first event from what was read. The body of an event of
// variable length follows it, filled up to a multiple of an event's size.
func nextEvent(from []byte) (e event, rest []byte, err error) {
	if len(from) < eventSize {
		return event{}, nil, errors.New("the sequencer gave a part of an event")
	}
	e = event{Type: from[0], Source: Address{from[12], from[13]}, Data: [12]byte(from[16:])}
	flags := from[1]
	from = from[eventSize:]
	if flags&lengthMask != variable {
		return e, from, nil
	}
	length := int(binary.NativeEndian.Uint32(e.Data[:]) &^ (3 << 30))
	filled := (length + eventSize - 1) / eventSize * eventSize
	if length > len(from) {
		return event{}, nil, errors.New("the sequencer gave a part of an event")
	}
	e.Body = from[:length]
	return e, from[min(filled, len(from)):], nil
}

// appendMIDI appends the bytes of the messages that an event stands for: none
// for one that is no MIDI.
func (e event) appendMIDI(to []byte) []byte {
	param, value := e.long(4), e.long(8)
	low, high := byte(value&0x7F), byte(value>>7&0x7F)
	for _, f := range forms {
		if f.kind != e.Type {
			continue
		}
		status := f.status
		if status < 0xF0 {
			status |= e.Data[0] & 0x0F
		}
		switch f.shape {
		case keyed:
			return append(to, status, e.Data[1]&0x7F, e.Data[2]&0x7F)
		case control:
			return append(to, status, byte(param&0x7F), low)
		case single:
			return append(to, status, low)
		case paired:
			return append(to, status, low, high)
		case bent:
			return append(to, status, low, high^0x40)
		}
		return append(to, status)
	}
	status := 0xB0 | e.Data[0]&0x0F
	switch e.Type {
	case sysEx:
		return append(to, e.Body...)
	case control14:
		return append(to, status, byte(param&0x7F), high, status, byte((param+32)&0x7F), low)
	case unregistered, registered:
		number := byte(98)
		if e.Type == registered {
			number = 100
		}
		return append(to, status, number+1, byte(param>>7&0x7F), status, number, byte(param&0x7F), status, 6, high, status, 38, low)
	}
	return to
}

// long is a number of 32 bits in an event's data.
func (e event) long(at int) int { return int(int32(binary.NativeEndian.Uint32(e.Data[at:]))) }

// appendEvents appends the events that carry a message to whoever is connected
// to one of our ports. The message has its status byte; of system exclusive it
// may be a part, which may begin or end anywhere.
func appendEvents(to []byte, port byte, message []byte) ([]byte, error) {
	if len(message) == 0 {
		return to, nil
	}
	status := message[0]
	if status == 0xF0 || status == 0xF7 || status < 0x80 {
		for len(message) > 0 {
			part := message[:min(sysExPart, len(message))]
			message = message[len(part):]
			to = appendHeader(to, sysEx, variable, port)
			to = binary.NativeEndian.AppendUint32(to, uint32(len(part)))
			to = append(to, 0, 0, 0, 0, 0, 0, 0, 0)
			to = append(to, part...)
		}
		return to, nil
	}
	var data [12]byte
	long := func(at, value int) { binary.NativeEndian.PutUint32(data[at:], uint32(int32(value))) }
	kind := status
	if status < 0xF0 {
		kind &= 0xF0
		data[0] = status & 0x0F
	}
	for _, f := range forms {
		if f.status != kind || len(message) != f.shape.length() {
			continue
		}
		switch f.shape {
		case keyed:
			data[1], data[2] = message[1], message[2]
		case control:
			long(4, int(message[1]))
			long(8, int(message[2]))
		case single:
			long(8, int(message[1]))
		case paired:
			long(8, int(message[1])|int(message[2])<<7)
		case bent:
			long(8, int(message[1])|int(message[2])<<7-8192)
		}
		return append(appendHeader(to, f.kind, 0, port), data[:]...), nil
	}
	return to, errors.New("the sequencer carries whole MIDI messages only")
}

// length is how many bytes a message has.
func (s shape) length() int {
	switch s {
	case bare:
		return 1
	case single:
		return 2
	}
	return 3
}

// appendHeader appends the first 16 bytes of an event that goes at once to
// whoever is connected.
func appendHeader(to []byte, kind, flags, port byte) []byte {
	return append(to, kind, flags, 0, direct, 0, 0, 0, 0, 0, 0, 0, 0, 0, port, subscribers, unknown)
}
