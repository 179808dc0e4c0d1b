package midiio

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// File is a standard MIDI file (RP-001).
type File struct {
	Format   int // 0: one track, 1: tracks played together, 2: one after another
	Division Division
	Tracks   []Track
}

// Division is what a tick of a file is worth: a part of a quarter note, or
// where PerQuarter is 0 a part of a frame of film.
type Division struct {
	PerQuarter int // ticks, to 32767
	Frames     int // a second: 24, 25, 29 (which means 30000/1001) or 30
	PerFrame   int // ticks, to 255
}

// Track is what one track holds, in the file's order.
type Track []FileEvent

// FileEvent is a message in a file, or a meta event.
type FileEvent struct {
	Tick    int64 // from the beginning of the track
	Message Message
	Meta    bool // Message only carries a meta event: A its type, Body its data
}

// Types of meta events.
const (
	MetaText       = 0x01
	MetaEndOfTrack = 0x2F
	MetaTempo      = 0x51
)

// Meta is a meta event.
func Meta(tick int64, kind byte, data []byte) FileEvent {
	return FileEvent{tick, Message{Status: systemReset, A: kind, Body: data}, true}
}

// isMeta reports a meta event of a type.
func (e FileEvent) isMeta(kind byte) bool { return e.Meta && e.Message.A == kind }

// FileFault is what is wrong with a file, at a byte counted from 0.
type FileFault struct {
	Offset  int
	Problem string
}

func (f FileFault) String() string { return fmt.Sprintf("byte %d: %s", f.Offset, f.Problem) }

// Timed is a message and the time that belongs to it: since a file's
// beginning, or on a port's clock.
type Timed struct {
	At      time.Duration
	Message Message
}

// Messages are the messages to send when the file is played, without its meta
// events, each with its time, and the length of the whole.
func (f *File) Messages() ([]Timed, time.Duration) {
	var list []Timed
	if f.Format != 2 {
		return f.play(list, slices.Concat(f.Tracks...), 0)
	}
	var at time.Duration
	for _, track := range f.Tracks {
		list, at = f.play(list, track, at)
	}
	return list, at
}

// play appends events with their times, counted from a time on; it returns the
// time of the last.
func (f *File) play(list []Timed, events []FileEvent, from time.Duration) ([]Timed, time.Duration) {
	slices.SortStableFunc(events, func(a, b FileEvent) int { return cmp.Compare(a.Tick, b.Tick) })
	perTick := f.Division.tick(500_000)
	at, tick := float64(from), int64(0)
	for _, e := range events {
		at += float64(e.Tick-tick) * perTick
		tick = e.Tick
		now := time.Duration(math.Round(min(at, math.MaxInt64/2)))
		if e.Meta {
			if body := e.Message.Body; e.isMeta(MetaTempo) && len(body) == 3 {
				perTick = f.Division.tick(int(body[0])<<16 | int(body[1])<<8 | int(body[2]))
			}
			continue
		}
		list = append(list, Timed{now, e.Message})
	}
	return list, time.Duration(math.Round(min(at, math.MaxInt64/2)))
}

// tick is how long a tick is, in nanoseconds, at a tempo in microseconds for a
// quarter note.
func (d Division) tick(tempo int) float64 {
	switch {
	case d.PerQuarter > 0:
		return float64(tempo) * 1000 / float64(d.PerQuarter)
	case d.Frames == 29:
		return 1e9 * 1001 / 30_000 / float64(d.PerFrame)
	}
	return 1e9 / float64(d.Frames*d.PerFrame)
}
