package midiio

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
)

// ReadFile reads a standard MIDI file. What is wrong with it is told by the
// byte, and what is good is kept: a track that cannot be read on ends there,
// and the next is read. The file is nil when the header has no meaning. Bodies
// are parts of data.
func ReadFile(data []byte) (*File, []FileFault) {
	r := &fileReader{data: data, end: len(data)}
	f := r.header()
	if f == nil {
		return nil, r.faults
	}
	declared := int(binary.BigEndian.Uint16(data[10:]))
	for r.at < len(data) {
		kind, ok := r.chunk()
		if !ok {
			break
		}
		end := r.end
		if kind == "MTrk" {
			f.Tracks = append(f.Tracks, r.track())
		}
		r.at, r.end = end, len(data)
	}
	if len(f.Tracks) != declared {
		r.fault(10, "the header counts %d tracks; there are %d", declared, len(f.Tracks))
	}
	if f.Format == 0 && len(f.Tracks) > 1 {
		r.fault(8, "a file of format 0 has one track, not %d; they are played together", len(f.Tracks))
		f.Format = 1
	}
	slices.SortStableFunc(r.faults, func(a, b FileFault) int { return a.Offset - b.Offset })
	return f, r.faults
}

// fileReader is at a byte of a file; end is that of the chunk.
type fileReader struct {
	data    []byte
	at, end int
	faults  []FileFault
}

func (r *fileReader) fault(at int, problem string, args ...any) {
	r.faults = append(r.faults, FileFault{at, fmt.Sprintf(problem, args...)})
}

// chunk reads the type and the length of a chunk; the reader's end is then
// that of the chunk.
func (r *fileReader) chunk() (string, bool) {
	if len(r.data)-r.at < 8 {
		r.fault(r.at, "%d bytes at the end are no chunk", len(r.data)-r.at)
		return "", false
	}
	kind := string(r.data[r.at : r.at+4])
	length := int64(binary.BigEndian.Uint32(r.data[r.at+4:]))
	r.at += 8
	if left := int64(len(r.data) - r.at); length > left {
		r.fault(r.at-4, "a chunk of %d bytes is cut after %d", length, left)
		length = left
	}
	r.end = r.at + int(length)
	return kind, true
}

// header reads the header chunk, or tells why there is no reading on.
func (r *fileReader) header() *File {
	if !bytes.HasPrefix(r.data, []byte("MThd")) {
		r.fault(0, "no standard MIDI file: it does not begin with MThd")
		return nil
	}
	if _, ok := r.chunk(); !ok {
		return nil
	}
	if r.end-r.at < 6 {
		r.fault(r.at, "a header has 6 bytes, not %d", r.end-r.at)
		return nil
	}
	f := &File{Format: int(binary.BigEndian.Uint16(r.data[8:]))}
	if f.Format > 2 {
		r.fault(8, "no format %d: 0, 1 and 2 are known", f.Format)
		return nil
	}
	if high, low := r.data[12], int(r.data[13]); high < 0x80 {
		f.Division.PerQuarter = int(high)<<8 | low
	} else {
		f.Division.Frames, f.Division.PerFrame = -int(int8(high)), low
	}
	if !f.Division.good() {
		r.fault(12, "no division %02X %02X: it is ticks for a quarter note, or 24, 25, 29 or 30 frames and ticks for each", r.data[12], r.data[13])
		return nil
	}
	r.at, r.end = r.end, len(r.data)
	return f
}

func (d Division) good() bool {
	if d.Frames == 0 {
		return d.PerQuarter > 0 && d.PerQuarter < 1<<15
	}
	return slices.Contains([]int{24, 25, 29, 30}, d.Frames) && d.PerFrame > 0 && d.PerFrame < 256
}
