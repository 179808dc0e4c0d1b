package console_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// Semitones that a stop of each footage lies above 8 foot, and by how many
// cents its pure pitch is higher: 12 * log2(8 / footage), since a pipe's
// pitch is inverse to its length (Encyclopaedia Britannica, 11th edition,
// "Organ").
func TestSemitonesOfEachFootage(t *testing.T) {
	for _, row := range []struct {
		feet      string
		semitones int
		cents     float64
	}{
		{"64", -36, 0}, {"32", -24, 0}, {"21 1/3", -17, 2.0}, {"16", -12, 0}, {"12 4/5", -8, -13.7}, {"10 2/3", -5, 2.0},
		{"8", 0, 0}, {"6 2/5", 4, -13.7}, {"5 1/3", 7, 2.0}, {"4 4/7", 10, -31.2}, {"4", 12, 0}, {"3 5/9", 14, 3.9},
		{"3 1/5", 16, -13.7}, {"2 2/3", 19, 2.0}, {"2 2/7", 22, -31.2}, {"2", 24, 0}, {"1 7/9", 26, 3.9}, {"1 3/5", 28, -13.7},
		{"1 1/3", 31, 2.0}, {"1 1/7", 34, -31.2}, {"1", 36, 0}, {"8/9", 38, 3.9}, {"4/5", 40, -13.7}, {"8/11", 42, -48.7},
		{"2/3", 43, 2.0}, {"8/15", 47, -11.7}, {"1/2", 48, 0}, {"2/5", 52, -13.7}, {"1/3", 55, 2.0}, {"1/4", 60, 0},
	} {
		t.Run(row.feet+" foot", func(t *testing.T) {
			feet, err := console.ParseFeet(row.feet)
			require.NoError(t, err)
			require.Equal(t, row.semitones, feet.Shift(console.Foot(8)))

			rank := console.Rank{Feet: feet, From: 36, Pipes: 61, Sounds: "pipes"}
			in := &console.Instrument{Pitch: console.Pitch{A4: 440}, Ranks: []console.Rank{rank}}
			pure := semitonesAboveC2(in.Hz(0, 1)[0])
			require.InDelta(t, float64(row.semitones)+row.cents/100, pure, 0.0006)
		})
	}
}

// semitonesAboveC2 is where a pitch lies above that of an 8-foot C pipe.
func semitonesAboveC2(hz float64) float64 { return cents(hz, 440*math.Pow(2, -33.0/12)) / 100 }

// compound is an instrument with one compound stop of 61 keys.
func compound(t *testing.T, breaks string) *console.Instrument {
	return parsed(t, `
format: 1
instrument: One mixture
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, notes: C2..C7, chest: slider}}
ranks: {mixture: {division: great, family: principal, pipes: 61, breaks: {`+breaks+`}}}
stops: {mixture: {division: great, rank: mixture}}
`)
}

// semitonesOf is the rows of a valve in whole semitones above the lowest C at
// 8 foot, less the valve's own.
func semitonesOf(in *console.Instrument, valve int) []int {
	var rows []int
	for _, hz := range in.Hz(0, valve) {
		rows = append(rows, int(math.Round(semitonesAboveC2(hz)))-(valve-1))
	}
	return rows
}

// A figure counts the notes of a major scale from the key: 8 is an octave, 15
// two, 12 an octave and a fifth (Grove, Dictionary of Music and Musicians,
// "Mixture").
func TestFiguresCountAlongTheMajorScale(t *testing.T) {
	scale := []int{0, 2, 4, 5, 7, 9, 11}
	for _, figure := range []int{1, 3, 5, 8, 10, 12, 15, 17, 19, 22, 24, 26, 29, 31, 33, 36} {
		t.Run(fmt.Sprint(figure), func(t *testing.T) {
			in := compound(t, fmt.Sprintf("C2: [%d]", figure))
			require.Equal(t, []int{12*((figure-1)/7) + scale[(figure-1)%7]}, semitonesOf(in, 1))
		})
	}
}

// The four-rank fourniture that Wikipedia printed under "Mixture": 61 keys,
// 244 pipes, and in no zone a pipe above the top of a 2-foot rank, which lies
// 84 semitones above its lowest 8-foot C.
func TestPrintedBreakTable(t *testing.T) {
	zones := []struct {
		key       int // from 1
		from      string
		feet      string
		figures   string
		semitones []int
		top       int // of the zone's highest pipe, in semitones above 8-foot C
	}{
		{1, "C2", "1 1/3', 1', 2/3', 1/2'", "19, 22, 26, 29", []int{31, 36, 43, 48}, 59},
		{13, "C3", "2', 1 1/3', 1', 2/3'", "15, 19, 22, 26", []int{24, 31, 36, 43}, 66},
		{25, "C4", "2 2/3', 2', 1 1/3', 1'", "12, 15, 19, 22", []int{19, 24, 31, 36}, 71},
		{37, "C5", "4', 2 2/3', 2', 1 1/3'", "8, 12, 15, 19", []int{12, 19, 24, 31}, 78},
		{49, "C6", "5 1/3', 4', 2 2/3', 2'", "5, 8, 12, 15", []int{7, 12, 19, 24}, 84},
	}
	var feet, figures []string
	for _, z := range zones {
		feet = append(feet, z.from+`: ["`+strings.ReplaceAll(z.feet, ", ", `", "`)+`"]`)
		figures = append(figures, z.from+": ["+z.figures+"]")
	}
	for name, breaks := range map[string][]string{"in feet": feet, "in figures": figures} {
		t.Run(name, func(t *testing.T) {
			in := compound(t, strings.Join(breaks, ", "))
			require.Equal(t, 244, console.NewSheet(in).Pipes)
			for i, z := range zones {
				last := 61
				if i+1 < len(zones) {
					last = zones[i+1].key - 1
				}
				require.Equal(t, z.semitones, semitonesOf(in, z.key), "key %d", z.key)
				require.Equal(t, z.semitones, semitonesOf(in, last), "key %d", last)
				require.Equal(t, z.top, last-1+semitonesOf(in, last)[3])
			}
		})
	}
}

// Common practice, no source.
func TestFiveRankCompoundStopPlaysFivePipesAKey(t *testing.T) {
	in := compound(t, "C2: [1, 8, 12, 15, 17]")
	for valve := 1; valve <= 61; valve++ {
		require.Equal(t, 5, in.Ranks[0].PipesOn(valve))
		require.Len(t, in.Hz(0, valve), 5)
	}
	sheet := console.NewSheet(in)
	require.Equal(t, console.Rows{Least: 5, Most: 5}, sheet.Divisions[0].Stops[0].Ranks)
	require.Equal(t, console.Totals{Stops: 1, Ranks: 5, Pipes: 305}, sheet.Totals)
}
