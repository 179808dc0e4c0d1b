package midiio

import (
	"encoding/binary"
	"fmt"
)

// longest is the largest number a file can hold for a delta or a length.
const longest = 1<<28 - 1

// Bytes are the file as it is stored. A track gets its end if it has none; a
// silence longer than a file can hold is broken by empty texts.
func (f *File) Bytes() ([]byte, error) {
	d := f.Division
	switch {
	case !d.good():
		return nil, fmt.Errorf("no division of a file: %+v", d)
	case f.Format < 0 || f.Format > 2 || f.Format == 0 && len(f.Tracks) != 1 || len(f.Tracks) >= 1<<16:
		return nil, fmt.Errorf("no file of format %d with %d tracks", f.Format, len(f.Tracks))
	}
	b := []byte("MThd\x00\x00\x00\x06")
	b = binary.BigEndian.AppendUint16(b, uint16(f.Format))
	b = binary.BigEndian.AppendUint16(b, uint16(len(f.Tracks)))
	if d.Frames > 0 {
		b = append(b, byte(-d.Frames), byte(d.PerFrame))
	} else {
		b = binary.BigEndian.AppendUint16(b, uint16(d.PerQuarter))
	}
	for number, track := range f.Tracks {
		events, err := track.stored()
		if uint64(len(events)) > 1<<32-1 {
			err = fmt.Errorf("it has more than the 4 GB that a file can hold of it")
		}
		if err != nil {
			return nil, fmt.Errorf("track %d: %w", number+1, err)
		}
		b = binary.BigEndian.AppendUint32(append(b, "MTrk"...), uint32(len(events)))
		b = append(b, events...)
	}
	return b, nil
}

// endOfTrack is the end of a track right behind its last event.
var endOfTrack = []byte{0, systemReset, MetaEndOfTrack, 0}

// stored are the events as a file stores them, up to the end of the track.
func (t Track) stored() ([]byte, error) {
	var b []byte
	var e Encoder
	tick := int64(0)
	for _, event := range t {
		delta := event.Tick - tick
		if delta < 0 || len(event.Message.Body) > longest-8 {
			return nil, fmt.Errorf("%s at tick %d cannot be written there", event.Message.Name(), event.Tick)
		}
		for ; delta > longest; delta -= longest {
			b = Meta(0, MetaText, nil).append(appendQuantity(b, longest), &e)
		}
		tick = event.Tick
		b = appendQuantity(b, uint32(delta))
		if event.isMeta(MetaEndOfTrack) {
			return append(b, endOfTrack[1:]...), nil
		}
		b = event.append(b, &e)
	}
	return append(b, endOfTrack...), nil
}

// append appends the event behind its delta. Only channel messages keep up
// running status. (RP-001)
func (e FileEvent) append(to []byte, encoder *Encoder) []byte {
	m := e.Message
	if m.Channel() > 0 {
		return encoder.Append(to, m)
	}
	defer encoder.Refresh()
	if e.Meta {
		return append(appendQuantity(append(to, systemReset, m.A), uint32(len(m.Body))), m.Body...)
	}
	b := encoder.Append(nil, m)
	if len(b) > 0 && b[0] == sysEx && m.Kind != Cut {
		return append(appendQuantity(append(to, sysEx), uint32(len(b)-1)), b[1:]...)
	}
	return append(appendQuantity(append(to, sysExEnd), uint32(len(b))), b...)
}

// appendQuantity appends a number of variable length, up to longest.
func appendQuantity(to []byte, n uint32) []byte {
	for shift := 21; shift > 0; shift -= 7 {
		if n>>shift > 0 {
			to = append(to, byte(n>>shift)|0x80)
		}
	}
	return append(to, byte(n&0x7F))
}
