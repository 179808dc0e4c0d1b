package midiio

// held is how much of a system exclusive message a tokenizer keeps.
const held = 1024

// Tokenizer makes messages of the bytes of a MIDI stream; the zero value is
// ready. It follows the receiver's rules of MIDI 1.0 and
// tells what breaks them: running status, real-time bytes between any two
// others, a status byte that cancels what it interrupts. However the bytes are
// split over calls, the messages are the same. It allocates nothing.
type Tokenizer struct {
	status byte // running, or of the message that is open; 0: none
	open   bool // the message has begun
	half   bool // its first data byte has come
	first  byte
	begun  bool // a part of the system exclusive message has been handed out
	filled int
	body   [held]byte
}

// Feed takes the next bytes and hands each message to emit as soon as it is
// complete. A body is only good until emit returns.
func (t *Tokenizer) Feed(bytes []byte, emit func(Message)) {
	for i := 0; i < len(bytes); {
		if t.status >= noteOff && t.status < sysEx && !t.open {
			i += t.run(bytes[i:], emit)
			if i == len(bytes) {
				return
			}
		}
		b := bytes[i]
		i++
		switch {
		case b >= realTime:
			emit(oneByte(b))
		case b >= 0x80:
			t.begin(b, emit)
		case t.status == sysEx:
			t.hold(b, emit)
		case t.status == 0:
			emit(Message{Kind: NoStatus, A: b})
		case dataBytes(t.status) == 1:
			t.complete(Message{Status: t.status, A: b}, emit)
		case !t.half:
			t.first, t.half, t.open = b, true, true
		default:
			t.complete(Message{Status: t.status, A: t.first, B: b}, emit)
		}
	}
}

// run hands out the channel messages that stand whole at the beginning of
// bytes, and returns how many bytes they are. It is what Feed does, for the
// stretches in which nothing else occurs.
func (t *Tokenizer) run(bytes []byte, emit func(Message)) int {
	i, status := 0, t.status
	for i+2 < len(bytes) {
		at, s := i, status
		if b := bytes[i]; b >= 0x80 {
			if b >= sysEx {
				break
			}
			at, s = i+1, b
		}
		m := Message{Status: s, A: bytes[at]}
		at++
		if s < programChange || s >= pitchBend {
			m.B = bytes[at]
			at++
		}
		if m.A|m.B >= 0x80 {
			break
		}
		i, status = at, s
		emit(m)
	}
	t.status = status
	return i
}

// Finish tells what the stream left unfinished, and begins anew.
func (t *Tokenizer) Finish(emit func(Message)) {
	t.cancel(emit)
	t.status = 0
}

// begin takes a status byte that is not real time.
func (t *Tokenizer) begin(b byte, emit func(Message)) {
	if b == sysExEnd && t.status == sysEx {
		m := SysEx(t.body[:t.filled])
		if t.begun {
			m.Kind = End
		}
		t.status, t.begun, t.filled = 0, false, 0
		emit(m)
		return
	}
	t.cancel(emit)
	t.status, t.open = b, b != sysEx
	switch {
	case b == sysExEnd:
		t.complete(Message{Kind: StrayEnd, Status: b}, emit)
	case b != sysEx && b >= sysEx && dataBytes(b) == 0:
		t.complete(oneByte(b), emit)
	}
}

func (t *Tokenizer) complete(m Message, emit func(Message)) {
	if t.status >= sysEx { // system messages have no running status
		t.status = 0
	}
	t.open, t.half = false, false
	emit(m)
}

// hold keeps a byte of a system exclusive message; once there is no room left
// a part goes out.
func (t *Tokenizer) hold(b byte, emit func(Message)) {
	t.body[t.filled] = b
	t.filled++
	if t.filled < held {
		return
	}
	m := Message{Kind: Begin, Status: sysEx, Body: t.body[:]}
	if t.begun {
		m.Kind = More
	}
	t.begun, t.filled = true, 0
	emit(m)
}

// cancel tells of the message that is open, if one is.
func (t *Tokenizer) cancel(emit func(Message)) {
	switch {
	case t.status == sysEx:
		m := Message{Kind: Cut, Status: sysEx, Body: t.body[:t.filled]}
		t.begun, t.filled = false, 0
		emit(m)
	case t.open:
		m := Message{Kind: Unfinished, Status: t.status}
		if t.half {
			t.body[0] = t.first
			m.Body = t.body[:1]
		}
		t.open, t.half = false, false
		emit(m)
	}
}

// oneByte is the message of a status byte without data.
func oneByte(status byte) Message {
	if !defined(status) {
		return Message{Kind: Undefined, Status: status}
	}
	return Message{Status: status}
}
