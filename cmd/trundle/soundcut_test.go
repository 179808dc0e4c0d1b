package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
)

// Twenty couplers that move each other's keys make more paths than anyone
// counts, and sound says that its count is short; with one of them it is whole.
func TestSoundSaysWhenPathsWereCut(t *testing.T) {
	size := gen.Large.WithCycle()
	size.CarriesAll = gen.Between{Low: 20, High: 20}
	in := gen.Instrument(2, size)
	state := console.State{Drawn: make([]bool, len(in.Controls)), Held: []console.Held{{Key: console.Key{Keyboard: 0, Note: in.Keyboards[0].Keys.From + 20}}}}
	for c := range state.Drawn {
		state.Drawn[c] = true
	}
	for _, u := range in.UnisonOffs {
		state.Drawn[u.Control] = false
	}
	a := answerSound(in, state)
	require.True(t, a.Cut)
	require.Contains(t, soundText(in, state, a, ink(false)), "at least ")
	require.Contains(t, soundText(in, state, a, ink(false)), "; couplers run in circles, and not all paths were counted\n")

	for _, c := range in.Couplers {
		state.Drawn[c.Control] = false
	}
	a = answerSound(in, state)
	require.False(t, a.Cut)
	require.NotContains(t, soundText(in, state, a, ink(false)), "circles")
}
