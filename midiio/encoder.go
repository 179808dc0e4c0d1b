package midiio

// Encoder makes bytes of messages, with running status; the zero value is
// ready.
type Encoder struct {
	running byte // status that need not be sent again; 0: none
	parted  bool // a part of a system exclusive message was the last to go
}

// Refresh has the next message sent with its status byte, for a receiver that
// may have lost the last one.
func (e *Encoder) Refresh() { e.running = 0 }

// Append appends the bytes of a message. A fault is written as the bytes that
// bring it about, so that a stream is written as it was heard.
func (e *Encoder) Append(to []byte, m Message) []byte {
	switch m.Kind {
	case Back, Overrun, Gone:
		e.running = 0
		return to
	case NoStatus:
		return append(to, m.A)
	case Unfinished, Undefined, StrayEnd:
		if m.Status < realTime {
			e.running = 0
		}
		return append(append(to, m.Status), m.Body...)
	case Begin, Cut, More, End:
		return e.appendPart(to, m)
	}
	switch {
	case m.Status == sysEx:
		e.running = 0
		to = append(append(to, sysEx), m.Body...)
		return append(to, sysExEnd)
	case m.Status >= realTime:
		return append(to, m.Status)
	case m.Status >= sysEx:
		e.running = 0
		to = append(to, m.Status)
	case m.Status != e.running:
		e.running = m.Status
		to = append(to, m.Status)
	}
	switch dataBytes(m.Status) {
	case 1:
		return append(to, m.A)
	case 2:
		return append(to, m.A, m.B)
	}
	return to
}

// appendPart appends what is system exclusive without both its ends.
func (e *Encoder) appendPart(to []byte, m Message) []byte {
	if m.Kind == Begin || m.Kind == Cut && !e.parted {
		to = append(to, sysEx)
	}
	e.running, e.parted = 0, m.Kind == Begin || m.Kind == More
	to = append(to, m.Body...)
	if m.Kind == End {
		to = append(to, sysExEnd)
	}
	return to
}

// Bytes are the bytes of one message, its status byte with it.
func (m Message) Bytes() []byte { return new(Encoder).Append(nil, m) }
