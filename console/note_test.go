package console_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// Key numbers of the MIDI 1.0 specification (60 is middle C), named in
// scientific pitch, where middle C is C4.
func TestNotesAreNamedInScientificPitch(t *testing.T) {
	for text, want := range map[string]console.Note{
		"C4": 60, "C2": 36, "A4": 69, "C-1": 0, "G9": 127, "c4": 60, "F#3": 54, "F♯3": 54, "Gb3": 54, "G♭3": 54,
		"B#3": 60, "Cb4": 59, "bb3": 58, "b3": 59, " E5 ": 76, "60": 60, "012": 12, "0": 0, "127": 127,
	} {
		got, err := console.ParseNote(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "H4", "C", "C#", "C##4", "C10", "C-2", "Cb-1", "G#9", "128", "-1", "C 4", "4C", "C+4", "Do4", "36.0"} {
		_, err := console.ParseNote(text)
		require.Error(t, err, text)
	}
}

// Compasses as consoles have them: from C, 49 to 61 keys to c, f, g, a and c
// of their octave; pedals to c, f and g (common practice, no source).
func TestCompassesHaveTheKeysTheyAreNamedFor(t *testing.T) {
	for text, keys := range map[string]int{
		"C2..C6": 49, "C2..F6": 54, "C2..G6": 56, "C2..A6": 58, "C2..C7": 61, "C2..C8": 73,
		"C2..C3": 13, "C2..C4": 25, "C2..D4": 27, "C2..F4": 30, "C2..G4": 32, "C3..C7": 49,
	} {
		span, err := console.ParseSpan(text)
		require.NoError(t, err, text)
		require.Equal(t, keys, span.Len(), text)
		require.Equal(t, text, span.String())
	}
}

func FuzzNote(f *testing.F) {
	for _, seed := range []string{"C4", "F#3", "Bb2", "E♭5", "36", "C-1", "G9", "1..61"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := console.ParseNote(s)
		if err != nil {
			return
		}
		require.True(t, console.AllNotes.Has(n))
		again, err := console.ParseNote(n.String())
		require.NoError(t, err)
		require.Equal(t, n, again)
	})
}
