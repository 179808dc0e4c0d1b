package midiio

import (
	"bytes"
	"fmt"

	"gitlab.com/gomidi/midi/v2/smf"
)

// longest is the largest number a file can hold for a delta or a length.
const longest = 1<<28 - 1

// Bytes are the file as it is stored. A track gets its end if it has none; a
// silence longer than a file can hold is broken by empty texts.
func (f *File) Bytes() ([]byte, error) {
	s, err := f.empty()
	if err != nil {
		return nil, err
	}
	for number, track := range f.Tracks {
		written, err := track.written()
		if err != nil {
			return nil, fmt.Errorf("track %d: %w", number+1, err)
		}
		if err := s.Add(written); err != nil {
			return nil, fmt.Errorf("track %d: %w", number+1, err)
		}
	}
	var b bytes.Buffer
	if _, err := s.WriteTo(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// empty is the file without its tracks, as the library has it.
func (f *File) empty() (*smf.SMF, error) {
	if !f.Division.good() {
		return nil, fmt.Errorf("no division of a file: %+v", f.Division)
	}
	var s *smf.SMF
	switch {
	case f.Format == 0 && len(f.Tracks) == 1:
		s = smf.New()
	case f.Format == 1:
		s = smf.NewSMF1()
	case f.Format == 2:
		s = smf.NewSMF2()
	default:
		return nil, fmt.Errorf("no file of format %d with %d tracks", f.Format, len(f.Tracks))
	}
	s.TimeFormat = smf.MetricTicks(f.Division.PerQuarter)
	if f.Division.Frames > 0 {
		s.TimeFormat = smf.TimeCode{FramesPerSecond: uint8(f.Division.Frames), SubFrames: uint8(f.Division.PerFrame)}
	}
	return s, nil
}

// written is the track as the library has it.
func (t Track) written() (smf.Track, error) {
	var to smf.Track
	var e Encoder
	tick := int64(0)
	for _, event := range t {
		delta := event.Tick - tick
		if delta < 0 || len(event.Message.Body) > longest-8 {
			return nil, fmt.Errorf("%s at tick %d cannot be written there", event.Message.Name(), event.Tick)
		}
		for ; delta > longest; delta -= longest {
			to = append(to, smf.Event{Delta: longest, Message: smf.Message{systemReset, MetaText, 0}})
		}
		tick = event.Tick
		if event.isMeta(MetaEndOfTrack) {
			to.Close(uint32(delta))
			return to, nil
		}
		to = append(to, smf.Event{Delta: uint32(delta), Message: event.bytes(&e)})
	}
	to.Close(0)
	return to, nil
}

// bytes are the event as the library takes it: system exclusive without its
// length, which it adds.
func (e FileEvent) bytes(encoder *Encoder) []byte {
	m := e.Message
	if m.Channel() > 0 {
		encoder.Refresh()
		return encoder.Append(nil, m)
	}
	if e.Meta {
		b := appendQuantity([]byte{systemReset, m.A}, uint32(len(m.Body)))
		return append(b, m.Body...)
	}
	b := encoder.Append(nil, m)
	if len(b) == 0 || b[0] != sysEx || m.Kind == Cut {
		b = append([]byte{sysExEnd}, b...)
	}
	return b
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
