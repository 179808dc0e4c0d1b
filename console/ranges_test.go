package console

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The forms are those of the file description: lists, steps and descending
// runs, ends included. Notes are scientific pitch with C4 = MIDI key 60.
func TestNoteListsExpandInTheOrderTheyStand(t *testing.T) {
	for text, want := range map[string][]Note{
		"C4":                  {60},
		"60":                  {60},
		"C4..E4":              {60, 61, 62, 63, 64},
		"E4..C4":              {64, 63, 62, 61, 60},
		"C2..E2/2 C#2..D#2/2": {36, 38, 40, 37, 39},
		"C4;D4 ; E4":          {60, 62, 64},
		"Bb3..C4":             {58, 59, 60},
	} {
		got, err := ParseNotes(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
}

func TestTheTwoSidesOfAChestMakeItsCompass(t *testing.T) {
	sides, err := ParseNotes("C2..A#6/2 C#2..B6/2") // C side, C-sharp side of 60 keys
	require.NoError(t, err)
	require.Len(t, sides, 60)
	require.Equal(t, Note(94), sides[29])
	require.Equal(t, Note(37), sides[30])
}

func TestNumberListsExpandInTheOrderTheyStand(t *testing.T) {
	for text, want := range map[string][]int{
		"012":      {12}, // decimal, whatever zeros it begins with
		"1..3 5":   {1, 2, 3, 5},
		"3..1":     {3, 2, 1},
		"1..5/2":   {1, 3, 5},
		"5..1/2;2": {5, 3, 1, 2},
	} {
		got, err := ParseNumbers(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
}

func TestListsThatHaveNoMeaningSayWhy(t *testing.T) {
	for text, want := range map[string]string{
		"":           "missing",
		" ; ":        "missing",
		"1..61":      "C2..C7",
		"H4":         "no note",
		"C2..C7/0":   "step",
		"C2..C7/x":   "step",
		"C2..B6/2":   "pass by the end",
		"C2..":       "missing",
		"C2..C7..C8": "no note",
		"C2-C7":      "write C2..C7",
		"C2–C7":      "write C2..C7",
		"128":        "0 to 127",
	} {
		_, err := ParseNotes(text)
		require.ErrorContains(t, err, want, text)
	}
	for text, want := range map[string]string{
		"0":                      "from 1",
		"0..5":                   "from 1",
		"-3":                     "from 1",
		"1-44":                   "write 1..44",
		"1…44":                   "write 1..44",
		"1–44":                   "write 1..44",
		"1—44":                   "write 1..44",
		"1...44":                 "write 1..44",
		"3 20-64/2":              "20-64/2 is no range: write 20..64/2",
		"1 .. 44":                "no blanks stand beside its dots",
		"1.. 44":                 "no blanks stand beside its dots",
		"C4":                     "no number",
		"1..99999":               "more than 4096",
		"1..4096 1":              "more than 4096",
		"1..2/-1":                "step",
		"9999999999999999999999": "no number",
	} {
		_, err := ParseNumbers(text)
		require.ErrorContains(t, err, want, text)
	}
}

func TestSpansOnlyAscend(t *testing.T) {
	span, err := ParseSpan("C2..C7")
	require.NoError(t, err)
	require.Equal(t, 61, span.Len())
	span, err = ParseSpan("C2")
	require.NoError(t, err)
	require.Equal(t, 1, span.Len())
	_, err = ParseSpan("C7..C2")
	require.ErrorContains(t, err, "write C2..C7")
	_, err = ParseSpan("C2-C7")
	require.ErrorContains(t, err, "write it like C2..C7")
	_, err = ParseSpan("1..61")
	require.ErrorContains(t, err, "C2..C7")
}

func FuzzSpan(f *testing.F) {
	for _, seed := range []string{"C2..C7", "1..61", "C2..A#6/2 C#2..B6/2", "1..25 27..62", "C7..C2", "36..96", "Bb2 ; E♭5"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if span, err := ParseSpan(s); err == nil {
			require.LessOrEqual(t, span.From, span.To)
			again, err := ParseSpan(span.String())
			require.NoError(t, err)
			require.Equal(t, span, again)
		}
		if notes, err := ParseNotes(s); err == nil {
			require.NotEmpty(t, notes)
			require.LessOrEqual(t, len(notes), MaxMembers)
			var words []string
			for _, n := range notes {
				words = append(words, n.String())
			}
			again, err := ParseNotes(strings.Join(words, " "))
			require.NoError(t, err)
			require.Equal(t, notes, again)
		}
		if numbers, err := ParseNumbers(s); err == nil {
			require.NotEmpty(t, numbers)
			require.LessOrEqual(t, len(numbers), MaxMembers)
		}
	})
}
