package network

import (
	"encoding/binary"
	"errors"
)

var errJournal = errors.New("the recovery journal is not well formed")

// parseJournal reads a journal, whoever wrote it.
func parseJournal(b []byte) (Journal, error) {
	if len(b) < 3 {
		return Journal{}, errJournal
	}
	flags := b[0]
	j := Journal{Checkpoint: binary.BigEndian.Uint16(b[1:])}
	b = b[3:]
	if flags&0x40 != 0 { // the system's, with its length
		if len(b) < 2 {
			return Journal{}, errJournal
		}
		length := int(b[0]&0x03)<<8 | int(b[1])
		if length < 2 || length > len(b) {
			return Journal{}, errJournal
		}
		b = b[length:]
	}
	if flags&0x20 == 0 {
		return j, nil
	}
	for range int(flags&0x0F) + 1 {
		if len(b) < 3 {
			return Journal{}, errJournal
		}
		length := int(b[0]&0x03)<<8 | int(b[1])
		if length < 3 || length > len(b) {
			return Journal{}, errJournal
		}
		c, ok := parseChannel(b[:length])
		if !ok {
			return Journal{}, errJournal
		}
		j.Channels = append(j.Channels, c)
		b = b[length:]
	}
	return j, nil
}

func parseChannel(b []byte) (ChannelJournal, bool) {
	c := ChannelJournal{Channel: int(b[0]>>3&0x0F) + 1}
	enhanced, toc := b[0]&0x04 != 0, b[2]
	r := reader{b[3:], true}
	if toc&chapterP != 0 {
		if p := r.take(3); r.ok {
			c.Program = &ProgramLog{p[0] & 0x7F, p[1]&0x80 != 0, [2]byte{p[1] & 0x7F, p[2] & 0x7F}, p[0]&0x80 == 0}
		}
	}
	if toc&chapterC != 0 {
		head := r.take(1)
		for range int(head[0]&0x7F) + 1 {
			l := r.take(2)
			if r.ok && !enhanced {
				c.Controls = append(c.Controls, parseControl(l))
			}
		}
	}
	if toc&chapterM != 0 {
		head := r.take(2)
		r.take((int(head[0]&0x03)<<8 | int(head[1])) - 2)
	}
	if toc&chapterW != 0 {
		if w := r.take(2); r.ok {
			c.Wheel = &WheelLog{[2]byte{w[0] & 0x7F, w[1] & 0x7F}, w[0]&0x80 == 0}
		}
	}
	if toc&chapterN != 0 {
		r.notes(&c)
	}
	if toc&chapterE != 0 {
		head := r.take(1)
		r.take(2 * (int(head[0]&0x7F) + 1))
	}
	if toc&chapterT != 0 {
		if p := r.take(1); r.ok {
			c.Pressure = &PressureLog{p[0] & 0x7F, p[0]&0x80 == 0}
		}
	}
	if toc&chapterA != 0 {
		head := r.take(1)
		for range int(head[0]&0x7F) + 1 {
			if l := r.take(2); r.ok && l[1]&0x80 == 0 {
				c.Keys = append(c.Keys, KeyLog{l[0] & 0x7F, l[1], l[0]&0x80 == 0})
			}
		}
	}
	return c, r.ok
}

func parseControl(l []byte) ControlLog {
	log := ControlLog{Number: l[0] & 0x7F, Value: l[1] & 0x7F, Last: l[0]&0x80 == 0}
	if l[1]&0x80 != 0 {
		log.Tool, log.Value = ByToggle+Tool(l[1]>>6&1), l[1]&0x3F
	}
	return log
}

// reader takes octets; once they are too few it is not ok.
type reader struct {
	rest []byte
	ok   bool
}

// take is the next n octets, or as many zeros.
func (r *reader) take(n int) []byte {
	if n < 0 || n > len(r.rest) {
		r.ok = false
		return make([]byte, max(n, 0))
	}
	taken := r.rest[:n]
	r.rest = r.rest[n:]
	return taken
}

// notes reads chapter N.
func (r *reader) notes(c *ChannelJournal) {
	head := r.take(2)
	count, low, high := int(head[0]&0x7F), int(head[1]>>4), int(head[1]&0x0F)
	octets := max(0, high-low+1)
	switch {
	case low == 15 && high == 0 && count == 127:
		count = 128
	case low > high && (low != 15 || high > 1):
		r.ok = false
	}
	for range count {
		l := r.take(2)
		if !r.ok {
			return
		}
		c.Notes = append(c.Notes, NoteLog{l[0] & 0x7F, l[1] & 0x7F, l[1]&0x80 != 0, l[0]&0x80 == 0})
	}
	for i, bits := range r.take(octets) {
		for b := range 8 {
			if bits&(0x80>>b) != 0 {
				c.Off = append(c.Off, byte(8*(low+i)+b))
			}
		}
	}
	c.OffLast = head[0]&0x80 == 0 && len(c.Off) > 0
}
