package probe

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The judge is the definition of what a relay does, wiring.Run: of two groups it
// opens other valves in some chord of the second round; of one group the same in
// any state.
func TestTheSecondRoundTellsApartWhatCanBeTold(t *testing.T) {
	parted, alike := 0, 0
	for seed := range uint64(10) {
		in := gen.Instrument(seed, gen.Tiny)
		relay := gen.Design(seed, in, gen.AnyOptions(seed))
		f := gen.AnyFault(seed, relay, in)
		first := New(in, relay)
		first.Steps = first.Steps[:min(2, len(first.Steps))] // so that much is left to tell apart
		more, groups := Split(first, relay, in, Diagnose(first, relay, in, Simulate(first, f.Relay, in)))
		for i, a := range groups {
			for _, b := range groups[:i] {
				require.True(t, slices.ContainsFunc(more.Steps, func(s Step) bool {
					state := stateOf(in, s.Draw, s.Chords[0])
					return !slices.Equal(wiring.Run(a.Faults[0].Relay, in, state).Open, wiring.Run(b.Faults[0].Relay, in, state).Open)
				}), "%s and %s", a.Faults[0].Where, b.Faults[0].Where)
				parted++
			}
			r := rand.New(rand.NewPCG(seed, 5))
			for _, b := range a.Faults[1:] {
				for range 20 {
					s := anyState(r, in)
					require.Equal(t, wiring.Run(a.Faults[0].Relay, in, s).Open, wiring.Run(b.Relay, in, s).Open, "%s and %s", a.Faults[0].Where, b.Where)
				}
				alike++
			}
		}
	}
	require.Positive(t, parted)
	require.Positive(t, alike)
}

func stateOf(in *console.Instrument, draw []int, held []console.Held) console.State {
	s := console.State{Held: held, Drawn: make([]bool, len(in.Controls))}
	for _, c := range draw {
		s.Drawn[c] = true
	}
	return s
}

// anyState has half of the controls drawn and a third of the keys held.
func anyState(r *rand.Rand, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	for c := range s.Drawn {
		s.Drawn[c] = r.IntN(2) == 0
	}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if r.IntN(3) == 0 {
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && r.IntN(2) == 0})
			}
		}
	}
	return s
}
