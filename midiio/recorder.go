package midiio

import (
	"encoding/binary"
	"fmt"
	"io"
	"slices"
	"time"
)

// recordTick is a tick of a recording.
const recordTick = 100 * time.Microsecond

// Recorder writes a standard MIDI file of one track while it is being recorded,
// in ticks of 100 microseconds. It holds no more than came since the last
// Flush; after a Flush the file is whole, whatever becomes of the program.
type Recorder struct {
	to      io.WriterAt
	keys    Keys
	from    time.Duration
	tick    int64 // of the last event
	pending Track // its ticks are counted from the last event that is written
	written int64 // the tick of that
	length  int64 // of the track that is written, without its end
	end     int   // bytes that has
	until   int64 // its tick
}

// The file up to the length of its track, and the division; 5,000 ticks are a
// quarter note, which at the tempo of the first event is half a second.
var (
	recordDivision = Division{PerQuarter: 5000}
	recordHeader   = []byte{'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, 5000 >> 8, 5000 & 0xFF, 'M', 'T', 'r', 'k'}
	recordTempo    = Meta(0, MetaTempo, []byte{0x07, 0xA1, 0x20})
	recordStart    = int64(len(recordHeader)) + 4
)

// Record begins a recording at a time.
func Record(to io.WriterAt, from time.Duration) (*Recorder, error) {
	r := &Recorder{to: to, from: from, pending: Track{recordTempo}}
	return r, r.Flush(from)
}

// Add records a message. What a port tells of itself becomes a text; the keys
// that were on are released then.
func (r *Recorder) Add(t Timed) {
	if t.Message.OfPort() {
		r.Text(t.At, t.Message.String())
		for _, m := range r.keys.offs() {
			r.Add(Timed{t.At, m})
		}
		return
	}
	r.keys.Hear(t.Message)
	r.add(t.At, FileEvent{Message: t.Message})
}

// Text records a text event.
func (r *Recorder) Text(at time.Duration, text string) {
	r.add(at, Meta(0, MetaText, []byte(text)))
}

func (r *Recorder) add(at time.Duration, e FileEvent) {
	r.tick = r.at(at)
	e.Tick = r.tick - r.written
	r.pending = append(r.pending, e)
}

// at is a time as a tick; it never goes back.
func (r *Recorder) at(at time.Duration) int64 { return max(r.tick, int64((at-r.from)/recordTick)) }

// Flush writes what came, and the end of the track at a time behind it, which
// what comes later overwrites.
func (r *Recorder) Flush(at time.Duration) error {
	events, err := stored(r.pending)
	if err != nil {
		return err
	}
	r.until = max(r.until, r.at(at))
	end, err := stored(Track{Meta(r.until-r.tick, MetaEndOfTrack, nil)})
	if err != nil {
		return err
	}
	events = events[:len(events)-len(endOfTrack)]
	length := r.length + int64(len(events)+len(end))
	if length > 1<<32-1 {
		return fmt.Errorf("a track holds 4 GB: begin another recording")
	}
	if err := r.put(append(events, end...), binary.BigEndian.AppendUint32(nil, uint32(length))); err != nil {
		return err
	}
	r.length += int64(len(events))
	r.end = len(end)
	r.pending, r.written = r.pending[:0], r.tick
	return nil
}

// put writes events and the end of the track over the end that is there. Killed
// between two writes, it leaves that end in its place, and behind it what no reader
// comes to; an end is never longer than the shortest event and an end.
func (r *Recorder) put(data, length []byte) error {
	if r.end == 0 {
		_, err := r.to.WriteAt(slices.Concat(recordHeader, length, data), 0)
		return err
	}
	at := recordStart + r.length
	if _, err := r.to.WriteAt(data[r.end:], at+int64(r.end)); err != nil {
		return err
	}
	if _, err := r.to.WriteAt(length, recordStart-4); err != nil {
		return err
	}
	_, err := r.to.WriteAt(data[:r.end], at)
	return err
}

// endOfTrack is the end of a track right behind its last event.
var endOfTrack = []byte{0, systemReset, MetaEndOfTrack, 0}

// stored are the events of a track as a file stores them, its end with them.
func stored(t Track) ([]byte, error) {
	data, err := (&File{Division: recordDivision, Tracks: []Track{t}}).Bytes()
	if err != nil {
		return nil, err
	}
	return data[recordStart:], nil
}
