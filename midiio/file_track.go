package midiio

import (
	"bytes"
	"slices"
)

// track reads the events of a track chunk, as far as they go.
func (r *fileReader) track() Track {
	t := &trackReader{fileReader: r, part: -1}
	for t.at < t.end {
		if !t.event() {
			t.close()
			return t.track
		}
		if last := t.track.last(); last != nil && last.isMeta(MetaEndOfTrack) {
			if t.at < t.end {
				t.fault(t.at, "%d bytes follow the end of the track", t.end-t.at)
			}
			t.close()
			return t.track
		}
	}
	t.fault(t.end, "a track without its end")
	t.close()
	return t.track
}

func (t Track) last() *FileEvent {
	if len(t) == 0 {
		return nil
	}
	return &t[len(t)-1]
}

// trackReader is a fileReader within a track.
type trackReader struct {
	*fileReader
	track   Track
	tick    int64
	running byte
	lapsed  bool // a meta event or system exclusive has ended running status
	part    int  // index of the last part of a system exclusive message that goes on; -1: none
}

// event reads one event, or tells why the track cannot be read on.
func (t *trackReader) event() bool {
	start := t.at
	delta, ok := t.quantity()
	if !ok {
		return false
	}
	t.tick += int64(delta)
	if t.at == t.end {
		t.fault(start, "the track is cut within an event")
		return false
	}
	at, status := t.at, t.data[t.at]
	switch {
	case status == systemReset:
		t.at++
		return t.meta()
	case status == sysEx || status == sysExEnd:
		t.at++
		return t.exclusive(status)
	case status > sysEx:
		t.fault(at, "status %02X does not occur in a file; the rest of the track is left out", status)
		return false
	case status >= 0x80:
		t.at++
		t.running, t.lapsed = status, false
	case t.running == 0:
		t.fault(at, "a data byte %02X without a status; the rest of the track is left out", status)
		return false
	case t.lapsed:
		t.fault(at, "running status after a meta event or system exclusive; it is read as status %02X", t.running)
		t.lapsed = false
	}
	return t.channel()
}

// channel reads the data of a channel message of the running status.
func (t *trackReader) channel() bool {
	m, n := Message{Status: t.running}, dataBytes(t.running)
	if t.end-t.at < n {
		t.fault(t.at, "the track is cut within an event")
		return false
	}
	m.A = t.data[t.at]
	if n == 2 {
		m.B = t.data[t.at+1]
	}
	if m.A|m.B >= 0x80 {
		t.fault(t.at, "data of %s is not below 80 hex; the rest of the track is left out", Message{Status: t.running}.Name())
		return false
	}
	t.at += n
	t.close()
	t.add(m)
	return true
}

func (t *trackReader) meta() bool {
	if t.at == t.end {
		t.fault(t.at, "the track is cut within an event")
		return false
	}
	kind := t.data[t.at]
	t.at++
	data, ok := t.block()
	if !ok {
		return false
	}
	t.lapsed = true
	t.track = append(t.track, Meta(t.tick, kind, data))
	return true
}

// exclusive reads system exclusive or a part of it.
func (t *trackReader) exclusive(status byte) bool {
	at := t.at
	data, ok := t.block()
	if !ok {
		return false
	}
	t.lapsed = true
	body, ends := bytes.CutSuffix(data, []byte{sysExEnd})
	clean := !slices.ContainsFunc(body, func(b byte) bool { return b >= 0x80 })
	if status == sysExEnd && (t.part < 0 || !clean) {
		t.any(data)
		return true
	}
	if status == sysEx {
		t.close()
	}
	if !clean {
		t.fault(at, "system exclusive with a byte that is not below 80 hex is left out")
		return true
	}
	m := Message{Status: sysEx, Body: body}
	switch first := t.part < 0; {
	case first && !ends:
		m.Kind = Begin
	case !first && ends:
		m.Kind = End
	case !first:
		m.Kind = More
	}
	t.part = -1
	if !ends {
		t.part = len(t.track)
	}
	t.add(m)
	return true
}

// any reads bytes of any kind, which are what F7 holds when no system exclusive
// message goes on. One that goes on takes its data, until a status cuts it.
func (t *trackReader) any(data []byte) {
	var any Tokenizer
	goesOn := t.part >= 0
	if goesOn {
		any.status, any.begun = sysEx, true
	}
	add := func(m Message) {
		switch {
		case goesOn && m.Kind == Cut:
			t.more(m.Body)
			t.close()
			goesOn = false
			return
		case goesOn && m.Kind == More:
			t.part = len(t.track)
		case goesOn && m.Kind == End:
			t.part, goesOn = -1, false
		}
		t.add(m.Clone())
	}
	any.Feed(data, add)
	if goesOn {
		t.more(any.body[:any.filled])
		return
	}
	any.Finish(add)
}

// more adds a part of a system exclusive message that goes on, if it is any.
func (t *trackReader) more(body []byte) {
	if len(body) > 0 {
		t.part = len(t.track)
		t.add(Message{Kind: More, Status: sysEx, Body: body}.Clone())
	}
}

// close marks a system exclusive message that does not go on as cut.
func (t *trackReader) close() {
	if t.part >= 0 {
		t.track[t.part].Message.Kind = Cut
		t.part = -1
	}
}

func (t *trackReader) add(m Message) { t.track = append(t.track, FileEvent{Tick: t.tick, Message: m}) }

// block reads a length and as many bytes.
func (t *trackReader) block() ([]byte, bool) {
	at := t.at
	length, ok := t.quantity()
	if !ok {
		return nil, false
	}
	if t.end-t.at < int(length) {
		t.fault(at, "an event of %d bytes is cut after %d", length, t.end-t.at)
		return nil, false
	}
	data := t.data[t.at : t.at+int(length) : t.at+int(length)]
	t.at += int(length)
	return data, true
}

// quantity reads a number of variable length, of at most 4 bytes.
func (t *trackReader) quantity() (uint32, bool) {
	var n uint32
	for i := t.at; i < t.end; i++ {
		if i == t.at+4 {
			t.fault(t.at, "a number of more than 4 bytes; the rest of the track is left out")
			return 0, false
		}
		n = n<<7 | uint32(t.data[i]&0x7F)
		if t.data[i] < 0x80 {
			t.at = i + 1
			return n, true
		}
	}
	t.fault(t.at, "the track is cut within a number")
	return 0, false
}
