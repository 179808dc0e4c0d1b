package midiio

import (
	"encoding/binary"
	"fmt"
	"io"
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
	tick    int64
	length  int64 // of the track that is written, without its end
	pending []byte
}

// The file up to the length of its track; 5,000 ticks are a quarter note, which
// at the tempo of the first event is half a second.
var (
	recordHeader = []byte{'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, 5000 >> 8, 5000 & 0xFF, 'M', 'T', 'r', 'k'}
	recordTempo  = Meta(0, MetaTempo, []byte{0x07, 0xA1, 0x20})
	recordStart  = int64(len(recordHeader)) + 4
)

// Record begins a recording at a time.
func Record(to io.WriterAt, from time.Duration) (*Recorder, error) {
	r := &Recorder{to: to, from: from}
	r.add(recordTempo)
	if _, err := to.WriteAt(recordHeader, 0); err != nil {
		return nil, err
	}
	return r, r.Flush(from)
}

// Add records a message. What a port tells of itself becomes a text; when it is
// gone the keys that were on are released.
func (r *Recorder) Add(t Timed) {
	if t.Message.OfPort() {
		r.Text(t.At, t.Message.String())
		for _, m := range r.keys.offs() {
			r.Add(Timed{t.At, m})
		}
		return
	}
	r.keys.Hear(t.Message)
	r.add(FileEvent{Tick: r.at(t.At), Message: t.Message})
}

// Text records a text event.
func (r *Recorder) Text(at time.Duration, text string) {
	r.add(Meta(r.at(at), MetaText, []byte(text)))
}

// at is a time as a tick; it never goes back.
func (r *Recorder) at(at time.Duration) int64 { return max(r.tick, int64((at-r.from)/recordTick)) }

func (r *Recorder) add(e FileEvent) {
	r.pending = r.appendDelta(r.pending, e.Tick)
	r.tick = e.Tick
	b := e.bytes(new(Encoder))
	if b[0] == sysEx || b[0] == sysExEnd {
		r.pending = appendQuantity(append(r.pending, b[0]), uint32(len(b)-1))
		b = b[1:]
	}
	r.pending = append(r.pending, b...)
}

// appendDelta appends the time to a tick; a silence longer than a file can hold
// is broken by empty texts.
func (r *Recorder) appendDelta(to []byte, tick int64) []byte {
	delta := tick - r.tick
	for ; delta > longest; delta -= longest {
		to = append(appendQuantity(to, longest), systemReset, MetaText, 0)
	}
	return appendQuantity(to, uint32(delta))
}

// Flush writes what came, and the end of the track at a time behind it, which
// what comes later overwrites.
func (r *Recorder) Flush(at time.Duration) error {
	whole := append(r.appendDelta(r.pending, r.at(at)), systemReset, MetaEndOfTrack, 0)
	if r.length+int64(len(whole)) > 1<<32-1 {
		return fmt.Errorf("a track holds 4 GB: begin another recording")
	}
	if _, err := r.to.WriteAt(whole, recordStart+r.length); err != nil {
		return err
	}
	length := binary.BigEndian.AppendUint32(nil, uint32(r.length)+uint32(len(whole)))
	if _, err := r.to.WriteAt(length, recordStart-4); err != nil {
		return err
	}
	r.length += int64(len(r.pending))
	r.pending = r.pending[:0]
	return nil
}
