package console

import (
	"fmt"
	"strconv"
	"strings"
)

// Note is a MIDI key number: 60 is middle C, C4 in scientific pitch, so the
// lowest key of a manual, 8-foot C, is C2 = 36 (MIDI 1.0).
type Note int

// LowestNote and HighestNote bound what a file may name.
const (
	LowestNote  Note = 0
	HighestNote Note = 127
)

var noteNames = [12]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

// String is the note in scientific pitch, with sharps: C#4.
func (n Note) String() string {
	octave, step := int(n)/12, int(n)%12
	if step < 0 {
		octave, step = octave-1, step+12
	}
	return noteNames[step] + strconv.Itoa(octave-1)
}

// ParseNote reads scientific pitch (C4, F#3, Bb2, E♭5) or a bare MIDI number.
func ParseNote(s string) (Note, error) {
	text := strings.TrimSpace(s)
	if text == "" {
		return 0, fmt.Errorf("a note is missing")
	}
	if text[0] >= '0' && text[0] <= '9' {
		n, err := strconv.Atoi(text)
		if err != nil || n > int(HighestNote) {
			return 0, fmt.Errorf("%q is no note: MIDI numbers run from 0 to 127", s)
		}
		return Note(n), nil
	}
	step := strings.IndexByte("C D EF G A B", text[0]&^0x20)
	if step < 0 {
		return 0, fmt.Errorf("%q is no note: write it like C4 or F#3", s)
	}
	rest := text[1:]
	for _, accidental := range []struct {
		sign string
		by   int
	}{{"#", 1}, {"♯", 1}, {"b", -1}, {"♭", -1}} {
		if after, ok := strings.CutPrefix(rest, accidental.sign); ok {
			rest, step = after, step+accidental.by
			break
		}
	}
	octave, err := strconv.Atoi(rest)
	if err != nil || strings.HasPrefix(rest, "+") || octave < -1 || octave > 9 {
		return 0, fmt.Errorf("%q is no note: write it like C4 or F#3", s)
	}
	n := Note(12*(octave+1) + step)
	if n < LowestNote || n > HighestNote {
		return 0, fmt.Errorf("%q is no note: MIDI numbers run from 0 (C-1) to 127 (G9)", s)
	}
	return n, nil
}

// Span is a range of notes, both ends included.
type Span struct{ From, To Note }

// Len is the number of notes in the span.
func (s Span) Len() int { return max(0, int(s.To-s.From)+1) }

// Has reports whether n lies in the span.
func (s Span) Has(n Note) bool { return s.From <= n && n <= s.To }

// Cut is the part of s that lies in t; it may be empty.
func (s Span) Cut(t Span) Span { return Span{max(s.From, t.From), min(s.To, t.To)} }

// String is the span as files write it: C2..C7.
func (s Span) String() string { return s.From.String() + ".." + s.To.String() }

// AllNotes is the span of every note a file may name.
var AllNotes = Span{LowestNote, HighestNote}
