package midiio

import "time"

// DIN is how long a byte takes on a MIDI cable: 10 bits at 31,250 baud
// (MIDI 1.0, hardware).
const DIN = 320 * time.Microsecond

// refresh is after how long a status byte is sent again although it could be
// left out, for a receiver that lost it (common practice, no source).
const refresh = 300 * time.Millisecond

// Link is a cable that carries a byte at a time: which byte leaves when, and
// what waits. It is a model: its caller says what time it is and sends the
// bytes. Real-time messages go before all that waits, between the bytes of a
// message too. With a ByteTime of 0 nothing waits.
type Link struct {
	ByteTime time.Duration
	Whole    bool // a message is handed over whole when its first byte may leave

	waiting  queue
	realTime []Timed
	sending  []byte // the rest of the message whose first byte has left
	encoder  Encoder
	free     time.Duration // when the next byte may leave
	statusAt time.Duration // when a status byte left last
}

// Send has a message wait for the cable from now on.
func (l *Link) Send(now time.Duration, m Message) {
	if !m.RealTime() {
		l.waiting.put(Timed{now, m})
		return
	}
	if len(l.realTime) == queueSize {
		l.waiting.dropped++
		return
	}
	l.realTime = append(l.realTime, Timed{now, m})
}

// Due appends the bytes that have left by now, and tells when the next one
// will; there is none when idle is true.
func (l *Link) Due(now time.Duration, to []byte) (bytes []byte, next time.Duration, idle bool) {
	for {
		start := l.free
		urgent := len(l.realTime) > 0
		switch {
		case urgent && len(l.sending) == 0 && len(l.waiting.list) > 0:
			// Which of the two goes first depends on when the cable is free.
			urgent = l.realTime[0].At <= max(start, l.waiting.list[0].At)
		case urgent && len(l.sending) > 0:
			urgent = l.realTime[0].At <= start
		}
		switch {
		case urgent:
			start = max(start, l.realTime[0].At)
		case len(l.sending) > 0:
		case len(l.waiting.list) > 0:
			start = max(start, l.waiting.list[0].At)
		default:
			return to, 0, true
		}
		if start > now {
			return to, start, false
		}
		l.free = start + l.ByteTime
		if urgent {
			to = append(to, l.realTime[0].Message.Status)
			l.realTime = l.realTime[1:]
			continue
		}
		if len(l.sending) == 0 {
			l.begin(start)
		}
		if l.Whole {
			to = append(to, l.sending...)
			l.free = start + time.Duration(len(l.sending))*l.ByteTime
			l.sending = nil
			continue
		}
		if len(l.sending) > 0 {
			to = append(to, l.sending[0])
			l.sending = l.sending[1:]
		}
	}
}

// begin takes the first message that waits onto the cable.
func (l *Link) begin(now time.Duration) {
	if now-l.statusAt >= refresh {
		l.encoder.Refresh()
	}
	l.sending = l.encoder.Append(nil, l.waiting.list[0].Message)
	if len(l.sending) > 0 && l.sending[0] >= 0x80 {
		l.statusAt = now
	}
	l.waiting.list = l.waiting.list[1:]
}

// Backlog is what waits for a cable.
type Backlog struct {
	Bytes   int
	Time    time.Duration // until the last of them has left
	Dropped int           // messages lost since the beginning because too many waited
}

// Backlog is what waits at a time.
func (l *Link) Backlog(now time.Duration) Backlog {
	b := Backlog{Bytes: len(l.sending) + len(l.realTime), Dropped: l.waiting.dropped}
	encoder := l.encoder
	var scratch []byte
	for _, t := range l.waiting.list {
		scratch = encoder.Append(scratch[:0], t.Message)
		b.Bytes += len(scratch)
	}
	b.Time = max(0, l.free-now) + time.Duration(b.Bytes)*l.ByteTime
	return b
}

// Forget drops what waits but for what ends notes. The message whose first byte
// has left goes on to its end; system exclusive in parts does not.
func (l *Link) Forget() {
	kept := queue{dropped: l.waiting.dropped, skip: true}
	for _, t := range l.waiting.list {
		if t.Message.releases() {
			kept.list = append(kept.list, t)
		}
	}
	l.waiting, l.realTime = kept, nil
}
