package console_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
)

// load reads a file that must be without a finding.
func loadClean(t *testing.T, text string) *console.Instrument {
	t.Helper()
	in, findings := console.Parse("organ.yaml", []byte(text))
	for _, f := range findings {
		t.Errorf("%s: %s", f.Place, said(f))
	}
	require.NotNil(t, in)
	return in
}

// Compasses that consoles have (BDO/VOD 2000, AGO 2002 and older ones as
// handbooks report them) raise no doubt.
func TestCompassesThatExistAreExpressible(t *testing.T) {
	for _, manual := range []string{"C2..C6", "C2..F6", "C2..G6", "C2..A6", "C2..C7", "C1..D6", "G1..C7"} {
		for _, pedal := range []string{"C2..C3", "C2..C4", "C2..D4", "C2..F4", "C2..G4", "G1..G3"} {
			in := loadClean(t, fmt.Sprintf(`
format: 1
keyboards: {great: {kind: manual, keys: %[1]s}, pedal: {kind: pedal, keys: %[2]s}}
divisions: {great: {keyboard: great, chest: slider}, pedal: {keyboard: pedal, chest: unit}}
`, manual, pedal))
			require.Equal(t, in.Keyboards[0].Keys, in.Divisions[0].Notes)
			require.Equal(t, in.Keyboards[1].Keys, in.Divisions[1].Notes)
		}
	}
}

// A count of keys reads as one note: 61 is C#4 in MIDI.
func TestACountOfKeysIsToldFromACompass(t *testing.T) {
	_, findings := console.Parse("organ.yaml", []byte("format: 1\nkeyboards: {great: {kind: manual, keys: 61}}\n"))
	require.Len(t, findings, 1)
	require.Equal(t, "bad-compass: keyboard great has one key, C#4", findings[0].Rule+": "+findings[0].Message)
	require.Contains(t, findings[0].Fix, "C2..C7 for 61 keys")
}

func TestLayoutsThatExistAreExpressible(t *testing.T) {
	in := loadClean(t, `
format: 1
keyboards:
  great: {kind: manual, keys: C2..C7}
  choir: {kind: manual, keys: C2..C7}
  pedal: {kind: pedal, keys: C2..G4}
divisions:
  great: {keyboard: great, chest: slider}
  choir: {keyboard: choir, notes: C2..C8, chest: unit}   # 73 notes
  pedal: {keyboard: pedal, chest: unit}
  echo: {notes: C2..C7}                                  # floats
chests:
  great-bass: {kind: unit}                               # several in a division
  duplex: {kind: pitman, plays: [great, choir]}
  c-side: {kind: slider}
  cs-side: {kind: slider}
  echo: {kind: pitman}
ranks:
  principal: {division: great, feet: 8, pipes: 61, stands: {great-bass: 1..12, great: 13..61}}
  gemshorn: {division: great, feet: 8, pipes: 61, stands: {c-side: 1..61/2, cs-side: 2..60/2}}
  celeste: {division: choir, feet: 8, from: C3, pipes: 61, cents: 6}   # from tenor C
  dulciana: {division: great, feet: 8, pipes: 73, stands: duplex}
  viole: {division: echo, feet: 8, pipes: 61, stands: echo}
  cornet: {division: great, pipes: 61, breaks: {C2: [12, 17], C4: [8, 12, 15, 17]}}
  chimes: {division: choir, sounds: bars, feet: 8, from: G3, pipes: 25, strikes: once}
stops:
  principal-8: {division: great, feet: 8, rank: principal}
  gemshorn-8: {division: great, feet: 8, rank: gemshorn}
  dulciana-8: {division: choir, feet: 8, rank: dulciana}
  cornet: {division: great, rank: cornet}
  celeste-8: {division: choir, feet: 8, rank: celeste, notes: C3..C8}
  chimes: {division: choir, feet: 8, rank: chimes, notes: G3..G5}
  viole-8: {division: echo, feet: 8, rank: viole}
couplers:
  echo-on-choir: {division: echo, keyboard: choir}
  choir-octave: {division: choir, shift: 12}
`)
	require.Equal(t, 73, in.Divisions[1].Notes.Len())
	require.Equal(t, console.None, in.Divisions[3].Keyboard)
	require.Equal(t, console.Note(48), in.Ranks[2].From)
	require.Equal(t, []console.Stand{{Chest: 3, From: 1, To: 12}, {Chest: 0, From: 13, To: 61}}, in.Ranks[0].Stands)
	require.Len(t, in.Ranks[1].Stands, 61)
	require.Equal(t, []int{0, 1}, in.Chests[4].Plays)
	require.Equal(t, console.Span{From: 36, To: 108}, in.Chests[4].Notes, "as far as the longer of its two divisions")
	require.Len(t, in.Ranks[5].Breaks[0].Rows, 2)
	require.Len(t, in.Ranks[5].Breaks[1].Rows, 4)
	require.Equal(t, "bars", in.Ranks[6].Sounds)
	require.Equal(t, 61+61+61+73+61+61+25, in.Valves)
	require.Equal(t, 61+61, in.Ranks[2].First)
}

// A rank drawn at several pitches has the keys of the compass and the span of
// the pitches: 61 keys over 12, 24 and 36 semitones need 73, 85 and 97 pipes;
// 56 keys at 32, 16, 8, 4, 2 and 1 foot need 116 (G. A. Audsley, "The Art of
// Organ-Building", 1905, as given in Grove's Dictionary, "Extension organ").
// One pipe fewer leaves the top key without one.
func TestExtendedRanksNeedThePipesOfTheHandbook(t *testing.T) {
	for _, row := range []struct {
		keys  string
		feet  []int
		pipes int
	}{
		{"C2..C7", []int{8}, 61},
		{"C2..C7", []int{8, 4}, 73},
		{"C2..C7", []int{16, 8, 4}, 85},
		{"C2..C7", []int{16, 8, 4, 2}, 97},
		{"C2..G6", []int{32, 16, 8, 4, 2, 1}, 116},
	} {
		organ := func(pipes int) string {
			text := fmt.Sprintf(`
format: 1
keyboards: {great: {kind: manual, keys: %s}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {flute: {division: great, feet: %d, pipes: %d}}
stops:
`, row.keys, row.feet[0], pipes)
			for _, feet := range row.feet {
				text += fmt.Sprintf("  flute-%d: {division: great, feet: %d, rank: flute}\n", feet, feet)
			}
			return text
		}
		loadClean(t, organ(row.pipes))
		_, findings := console.Parse("organ.yaml", []byte(organ(row.pipes-1)))
		require.Len(t, findings, 1)
		require.Equal(t, "stop-out-of-rank", findings[0].Rule)
		require.True(t, strings.HasPrefix(findings[0].Message, fmt.Sprintf("stop flute-%d is silent for", row.feet[len(row.feet)-1])))
	}
}

// Figures of compound stops count on the major scale above the key, so 15 is
// two octaves and 17 two octaves and a third (Grove's Dictionary, "Mixture").
func TestFiguresCountOnTheMajorScale(t *testing.T) {
	major := []int{0, 2, 4, 5, 7, 9, 11}
	for _, figure := range []int{1, 3, 5, 8, 10, 12, 15, 17, 19, 22, 24, 26, 29, 31, 33, 36, 40} {
		for from, above := range map[int]int{8: 0, 16: -12} {
			in := loadClean(t, fmt.Sprintf(`
format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks: {row: {division: great, pipes: 61, figured-from: %d, breaks: {C2: [%d]}}}
`, from, figure))
			row := in.Ranks[0].Breaks[0].Rows[0]
			semitones := int(math.Round(12 * math.Log2(float64(row.Num)/float64(row.Den))))
			require.Equal(t, 12*((figure-1)/7)+major[(figure-1)%7]+above, semitones, "figure %d from %d foot", figure, from)
		}
	}
}
