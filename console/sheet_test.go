package console_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/plain"
)

// extended is one rank of pipes drawn at several footages, the first of them
// its own.
func extended(t *testing.T, kind, keys string, pipes int, feet ...string) *console.Instrument {
	text := fmt.Sprintf(`
format: 1
instrument: One rank extended
keyboards: {keys: {kind: %s, keys: %s}}
divisions: {keys: {keyboard: keys, chest: unit}}
ranks: {rank: {division: keys, family: flute, feet: %s, pipes: %d}}
stops:
`, kind, keys, feet[0], pipes)
	for i, f := range feet {
		text += fmt.Sprintf("  stop-%d: {division: keys, feet: %s, rank: rank}\n", i, f)
	}
	return parsed(t, text)
}

// everyKey is a state with every key held and everything drawn.
func everyKey(in *console.Instrument) console.State {
	s := console.State{Drawn: slices.Repeat([]bool{true}, len(in.Controls))}
	for m, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: m, Note: n}})
		}
	}
	return s
}

// How many pipes one rank needs to serve several pitches. 116 for 32 to 1
// foot over 56 keys is Audsley's example (The Art of Organ-Building, 1905, in
// Grove, "Extension organ"); the others follow from it: keys + the semitones
// between the lowest and the highest stop.
func TestPipesThatAnExtendedRankNeeds(t *testing.T) {
	for _, c := range []struct {
		kind, keys string
		feet       string
		pipes      int
	}{
		{"manual", "C2..G6", "32 16 8 4 2 1", 116},
		{"manual", "C2..G6", "8 4", 68},
		{"manual", "C2..G6", "8 4 2", 80},
		{"manual", "C2..G6", "16 8 4 2", 92},
		{"manual", "C2..C7", "8", 61},
		{"manual", "C2..C7", "8 4", 73},
		{"manual", "C2..C7", "8 4 2", 85},
		{"manual", "C2..C7", "16 8 4 2", 97},
		{"manual", "C2..C7", "16 8 4 2 2/3 2", 97},
		{"manual", "C2..C7", "16 8 4 2 1 3/5", 101},
		{"pedal", "C2..G4", "16 8", 44},
		{"pedal", "C2..G4", "16 8 4", 56},
	} {
		t.Run(c.keys+" at "+c.feet, func(t *testing.T) {
			feet := footages(c.feet)
			in := extended(t, c.kind, c.keys, 128, feet...)
			open := plain.Open(in, everyKey(in))
			require.NotContains(t, open[:c.pipes], false)
			require.NotContains(t, open[c.pipes:], true)

			sheet := console.NewSheet(extended(t, c.kind, c.keys, c.pipes, feet...))
			require.Equal(t, console.Totals{Stops: len(feet), Ranks: 1, Pipes: c.pipes}, sheet.Totals)
			for i, stop := range sheet.Divisions[0].Stops {
				require.Equal(t, in.Keyboards[0].Keys.Len(), stop.Pipes, "every key has its pipe")
				if i > 0 {
					require.Zero(t, stop.Adds, "an extension adds no pipe")
				}
			}
		})
	}
}

// footages splits "4 2 2/3 2" into 4, 2 2/3 and 2.
func footages(list string) []string {
	var feet []string
	for _, word := range strings.Fields(list) {
		if strings.Contains(word, "/") {
			feet[len(feet)-1] += " " + word
		} else {
			feet = append(feet, word)
		}
	}
	return feet
}

// Wikipedia, "Extension organ", borrowing collisions: at 8 and 4 foot middle
// C and the C above want four pipes of one rank, and three sound.
func TestKeysThatShareAPipeOpenItOnce(t *testing.T) {
	in := extended(t, "manual", "C2..C7", 73, "8", "4")
	sounding := console.NewSounding(in)
	sounding.Apply(console.TurnOn(0), console.TurnOn(1))
	low, high := console.Key{Note: 60}, console.Key{Note: 72}
	require.ElementsMatch(t, []int{24, 36}, sounding.Apply(console.KeyDown(low)))
	require.ElementsMatch(t, []int{48}, sounding.Apply(console.KeyDown(high)))
	require.Equal(t, 3, sounding.OpenCount())
	_, paths := sounding.Because(36)
	require.Equal(t, 2, paths, "the pipe that both want")
	require.ElementsMatch(t, []int{24}, sounding.Apply(console.KeyUp(low)), "the shared pipe stays")
}

// A stop list worked out by hand.
func TestSheet(t *testing.T) {
	in := parsed(t, `
format: 1
instrument: Stop list
keyboards: {great: {kind: manual, keys: C2..C7}, pedal: {kind: pedal, keys: C2..G4}}
divisions:
  great: {keyboard: great, notes: C2..C7, chest: unit}
  pedal: {keyboard: pedal, notes: C2..G4, chest: unit}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  celeste: {division: great, family: string, feet: 8, from: C3, pipes: 49, cents: 6}
  viola: {division: great, family: string, feet: 8, pipes: 61}
  mixture: {division: great, family: principal, pipes: 61, breaks: {C2: [19, 22], C4: [12, 15, 19]}}
  chimes: {division: great, sounds: bars, feet: 8, from: G3, pipes: 25}
  bourdon: {division: pedal, family: flute, feet: 16, pipes: 44}
stops:
  principal: {division: great, feet: 8, rank: principal}
  piccolo: {division: great, feet: 2, rank: principal, above: fold}
  strings: {division: great, takes: [{rank: viola}, {rank: celeste}], feet: 8}
  mixture: {division: great, rank: mixture}
  chimes: {division: great, feet: 8, rank: chimes}
  subbass: {division: pedal, feet: 16, rank: bourdon}
  flute: {division: pedal, feet: 8, rank: bourdon}
  octave: {division: pedal, feet: 8, rank: principal}
  resultant:
    division: pedal
    takes:
      - {rank: bourdon, feet: 16, notes: C2..B2}
      - {rank: bourdon, feet: 10 2/3, notes: C2..B2}
      - {rank: bourdon, feet: 32, notes: C3..G4}
  untrue: {division: pedal, feet: 32, rank: bourdon, below: fold}
`)
	sheet := console.NewSheet(in)
	require.Equal(t, console.Totals{Stops: 9, Ranks: 7, Pipes: 61 + 49 + 61 + 2*24 + 3*37 + 44, Percussions: 1}, sheet.Totals)
	great, pedal := sheet.Divisions[0], sheet.Divisions[1]
	require.Equal(t, console.Totals{Stops: 4, Ranks: 6, Pipes: 61 + 49 + 61 + 2*24 + 3*37, Percussions: 1}, great.Totals)
	require.Equal(t, console.Totals{Stops: 5, Ranks: 1, Pipes: 44}, pedal.Totals)

	rows := func(least, most int) console.Rows { return console.Rows{Least: least, Most: most} }
	require.Equal(t, []console.StopSheet{
		{Stop: 0, Takes: []int{0}, Families: []string{"principal"}, Ranks: rows(1, 1), Valves: 61, Pipes: 61, Adds: 61},
		{Stop: 1, Takes: []int{0}, Families: []string{"principal"}, Ranks: rows(1, 1), Valves: 37, Pipes: 37,
			Repeats: []console.Repeat{{Rank: 0, Note: 73, Above: true}}},
		{Stop: 2, Takes: []int{2, 1}, Families: []string{"string"}, Ranks: rows(1, 2), Valves: 110, Pipes: 110, Adds: 110},
		{Stop: 3, Takes: []int{3}, Families: []string{"principal"}, Ranks: rows(2, 3), Valves: 61, Pipes: 159, Adds: 159},
	}, great.Stops)
	require.Equal(t, []console.StopSheet{
		{Stop: 4, Takes: []int{4}, Families: []string{""}, Valves: 25},
	}, great.Percussions)
	require.Equal(t, []console.StopSheet{
		{Stop: 5, Takes: []int{5}, Families: []string{"flute"}, Ranks: rows(1, 1), Valves: 32, Pipes: 32, Adds: 44},
		{Stop: 6, Takes: []int{5}, Families: []string{"flute"}, Ranks: rows(1, 1), Valves: 32, Pipes: 32},
		{Stop: 7, Takes: []int{0}, Families: []string{"principal"}, Ranks: rows(1, 1), Valves: 32, Pipes: 32},
		{Stop: 8, Takes: []int{5}, Families: []string{"flute"}, Ranks: rows(1, 2), Valves: 20, Pipes: 20},
		{Stop: 9, Takes: []int{5}, Families: []string{"flute"}, Ranks: rows(1, 1), Valves: 20, Pipes: 20,
			Repeats: []console.Repeat{{Rank: 5, Note: 47}}},
	}, pedal.Stops)
}

// A stop whose lowest keys strike bars plays no pipe there.
func TestAStopOfBarsAndPipesHasKeysWithoutPipes(t *testing.T) {
	in := parsed(t, `
format: 1
keyboards: {great: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}}
ranks:
  bars: {division: great, sounds: bars, feet: 8, pipes: 12}
  flute: {division: great, feet: 8, from: C3, pipes: 49}
stops: {both: {division: great, feet: 8, takes: [{rank: bars}, {rank: flute}]}}
`)
	sheet := console.NewSheet(in)
	require.Equal(t, console.Rows{Least: 0, Most: 1}, sheet.Divisions[0].Stops[0].Ranks)
}

// A rank counts where it stands, whichever division's stop the file takes it by
// first, so that what a division's stops add is what stands in it.
func TestAStopAddsOnlyWhatStandsInItsDivision(t *testing.T) {
	in := parsed(t, `
format: 1
instrument: One borrows from the other
keyboards: {great: {kind: manual, keys: C2..C7}, choir: {kind: manual, keys: C2..C7}}
divisions: {great: {keyboard: great, chest: unit}, choir: {keyboard: choir, chest: unit}}
ranks:
  principal: {division: great, family: principal, feet: 8, pipes: 61}
  flute: {division: choir, family: flute, feet: 16, pipes: 97}
stops:
  great-principal-8: {division: great, feet: 8, rank: principal}
  great-flute-8: {division: great, feet: 8, rank: flute}
  choir-flute-16: {division: choir, feet: 16, rank: flute}
  choir-flute-8: {division: choir, feet: 8, rank: flute}
`)
	sheet := console.NewSheet(in)
	for i, want := range [][]int{{61, 0}, {97, 0}} {
		var adds []int
		for _, s := range sheet.Divisions[i].Stops {
			adds = append(adds, s.Adds)
		}
		require.Equal(t, want, adds)
		require.Equal(t, want[0]+want[1], sheet.Divisions[i].Pipes)
	}
}
