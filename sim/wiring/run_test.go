package wiring_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

// stateOf is a state from words: keys as great:C4, controls by their ids,
// stage:1 for the crescendo.
func stateOf(t *testing.T, in *console.Instrument, words string) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for _, word := range strings.Fields(words) {
		keyboard, note, isKey := strings.Cut(word, ":")
		if word == "stage:1" {
			s.Stage = 1
			continue
		}
		if isKey {
			n, err := console.ParseNote(note)
			require.NoError(t, err)
			k := slices.IndexFunc(in.Keyboards, func(k console.Keyboard) bool { return k.ID == keyboard })
			require.GreaterOrEqual(t, k, 0, word)
			s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}})
			continue
		}
		c := slices.IndexFunc(in.Controls, func(c console.Control) bool { return c.ID == word })
		require.GreaterOrEqual(t, c, 0, word)
		s.Drawn[c] = true
	}
	return s
}

// opened names the open valves: "flute:1 flute:13".
func opened(in *console.Instrument, open []bool) string {
	var names []string
	for _, rank := range in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			if open[rank.Valve(v)] {
				names = append(names, fmt.Sprintf("%s:%d", rank.ID, v))
			}
		}
	}
	return strings.Join(names, " ")
}

// Worked out by hand from the bench's files, all of whose ranks begin at C4.
func TestTheBenchPlays(t *testing.T) {
	for _, switching := range []string{"switching: switching.csv", "switching: derived", ""} {
		in, relay, _ := bench(t, edit{"relay.yaml", "switching: switching.csv", switching})
		r, found := wiring.Load(relay, in)
		require.NotNil(t, r, "%v", found)
		require.Equal(t, switching != "switching: switching.csv", r.Derived)
		require.Empty(t, wiring.Check(r, in))
		for _, c := range []struct{ state, open, why string }{
			{"great:C4 principal-8", "principal:1", "note line meets action"},
			{"great:C4", "", "no action"},
			{"principal-8", "", "no note line"},
			{"great:C4 great-gamba-8", "gamba:1", "the action's on is driven, its off is not"},
			{"choir:C4 great-gamba-8", "", "the Choir's note line does not meet the Great's action"},
			{"great:C4 choir:D4 great-gamba-8 choir-gamba-8", "gamba:1 gamba:3", "each by its own line and action"},
			{"choir:C4 flute-8 flute-4", "flute:1 flute:13", "4 foot is an octave up"},
			{"choir:C4 flute-8 choir-off", "", "the Choir's keys are silenced"},
			{"choir:C4 great:E4 flute-8 choir-off choir-to-great", "flute:5", "and the coupler still plays it"},
			{"pedal:C4 great-to-pedal principal-8", "principal:1", "the pedal plays the Great"},
			{"pedal:C4 great-to-pedal choir-to-great principal-8 flute-8", "principal:1 flute:1", "it pulls the Great's keys, whose couplers follow"},
			{"great:C4 great-to-pedal bourdon-16", "", "no coupler plays backwards"},
			{"great:E4 great:D4 great:G4 bass bourdon-16", "bourdon:3", "the lowest alone"},
			{"great:F4 bass bourdon-16", "", "above the Bass Coupler's keys"},
			{"great:F4 great:E4 bass bourdon-16", "bourdon:5", "the lowest of its keys"},
			{"pedal:D4 great:F4 great-to-pedal bass bourdon-16", "bourdon:3", "D4 is pulled down on the Great, too"},
			{"pedal:C4 bourdon-16 bourdon-8", "bourdon:1 bourdon:13", "one rank at two pitches"},
			{"choir:C4 stage:1", "flute:1", "the crescendo's first stage adds the Flute"},
		} {
			require.Equal(t, c.open, opened(in, wiring.Run(r, in, stateOf(t, in, c.state)).Open), "%s: %s", c.state, c.why)
		}
	}
}

// What a relay does that is not right, worked out by hand.
func TestARelayDoesWhatItsFilesSay(t *testing.T) {
	for _, c := range []struct {
		name        string
		edits       []edit
		state, open string
	}{
		{"a join that runs down", []edit{{"joins.csv", "J1,1..8", "J1,8..1"}}, "great:C4 principal-8", "principal:8"},
		{"a magnet on the neighbour's pin", []edit{{"wiring.csv", "flute,1..20", "flute,2..20 1"}}, "choir:C4 flute-8", "flute:2"},
		{"the same, only as soldered", []edit{{"relay.yaml", "wiring: wiring.csv", "wiring: wiring.csv\nwired: soldered.csv"}}, "choir:C4 flute-8", "flute:2"},
		{"two magnets on one pin", []edit{{"wiring.csv", "X3,38..40,spare,,", "X3,1,valve,bourdon,2"}}, "choir:C4 flute-8", "flute:1 bourdon:2"},
		{"a pin that nothing hangs on", []edit{{"wiring.csv", "X3,1..20,valve,flute,1..20", "X3,2..20,valve,flute,2..20"}}, "choir:C4 flute-8", ""},
		{"a contact that nothing reads", []edit{{"switching.csv", "read,choir-keys,C4..G4,,K1,17..24", "read,choir-keys,C#4..G4,,K1,18..24"}}, "choir:C4 flute-8", ""},
		{"two contacts on one pin", []edit{{"wiring.csv", "K1,30..32,spare,,", "K1,17,key,great,G4"}}, "great:G4 flute-8", "flute:1"},
		{"a label that is never read, waited for to be off", []edit{{"switching.csv", "!choir-off", "!nothing"}}, "choir:C4 flute-8 choir-off", "flute:1"},
		{"a label that is never read, waited for to be on", []edit{{"switching.csv", "C4..G4,!choir-off", "C4..G4,nothing&!choir-off"}}, "choir:C4 flute-8", ""},
		{"ranges of unequal lengths, before the end of the shorter", []edit{{"switching.csv", "flute-8,X3,1..8", "flute-8,X3,1..3"}}, "choir:D4 flute-8", "flute:3"},
		{"ranges of unequal lengths, behind it", []edit{{"switching.csv", "flute-8,X3,1..8", "flute-8,X3,1..3"}}, "choir:D#4 flute-8", ""},
		{"an action turned off for good", []edit{{"switching.csv", "drive,,,!great-gamba-8", "drive,,,"}}, "great:C4 great-gamba-8", ""},
		{"pins that are not there", []edit{{"relay.yaml", "K1: {kind: input, pins: 32}", "K1: {kind: input, pins: 16}"}}, "choir:C4 flute-8", ""},
		{"a drive of an input", []edit{{"switching.csv", "flute-8,X3,1..8", "flute-8,S1,1..8"}}, "choir:C4 flute-8", ""},
		{"a cycle of lines holds nothing on", []edit{{"switching.csv", "drive,great,C4..G4,,X1,1..8,,,", "drive,great,C4..G4,,X1,1..8,,,\ncouple,choir,C4..G4,,,,loop,C4..G4,\ncouple,loop,C4..G4,,,,choir,C4..G4,"}}, "flute-8", ""},
		{"a row that picks the highest of another's", []edit{{"switching.csv", "pedal,C4..E4,lowest", "low,C4..E4,lowest\ncouple,low,C4..E4,,,,pedal,C4..E4,highest\ncouple,great-keys,F4..G4,bass,,,low,C4..D4,"}}, "great:E4 great:G4 bass bourdon-16", "bourdon:5"},
		{"a row that picks a note with two places", []edit{{"switching.csv", "C4..E4,bass,,,pedal,C4..E4,lowest", "C4 C4 D4,bass,,,pedal,C4 E4 D4,lowest"}}, "great:C4 great:D4 bass bourdon-16", "bourdon:1 bourdon:5"},
		{"a row that picks the highest, with two places", []edit{{"switching.csv", "C4..E4,bass,,,pedal,C4..E4,lowest", "C4 D4 D4,bass,,,pedal,C4 E4 D4,highest"}}, "great:C4 great:D4 bass bourdon-16", "bourdon:3 bourdon:5"},
		{"a row that depends on its own outcome passes nothing", []edit{{"switching.csv", "pedal,C4..E4,lowest", "pedal,C4..E4,lowest\ncouple,pedal,C4..E4,,,,great-down,C4..E4,"}}, "great:C4 bass bourdon-16 principal-8", "principal:1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, relay, _ := bench(t, c.edits...)
			soldered(t, relay, "flute,1..20", "flute,2..20 1")
			r, found := wiring.Load(relay, in)
			require.NotNil(t, r, "%v", found)
			require.Equal(t, c.open, opened(in, wiring.Run(r, in, stateOf(t, in, c.state)).Open))
		})
	}
}
