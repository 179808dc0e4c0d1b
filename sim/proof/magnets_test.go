package proof

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// The judge is the relay run by its definition, in every state of no keys and at
// most two controls: a magnet of wind is wrong when it is driven in one of them and
// its control is off, or the other way round.
func TestMagnetsAreWrongWhereTheRunRelayDrivesThemOtherwise(t *testing.T) {
	broken := 0
	for seed := range uint64(60) {
		in := gen.Instrument(seed, gen.Small)
		options := gen.AnyOptions(seed)
		options.Derived = false
		r := gen.Design(seed, in, options)
		require.Empty(t, Magnets(r, in), "seed %d: a relay that is right", seed)
		if !spoil(rand.New(rand.NewPCG(seed, 7)), r, in) {
			continue
		}
		found := Magnets(r, in)
		wrong := ranWrong(r, in)
		require.Equal(t, wrong, len(found) > 0, "seed %d: %v", seed, found)
		if wrong {
			broken++
		}
	}
	require.Greater(t, broken, 20)
}

// spoil makes one row that drives a magnet of wind say something else.
func spoil(rnd *rand.Rand, r *wiring.Relay, in *console.Instrument) bool {
	nets := wiring.Nets(r)
	var rows []int
	for i, s := range r.Switch {
		if s.Kind != wiring.Drive || s.Line != "" {
			continue
		}
		for _, h := range nets.Hung(nets.Of(s.Pins[0])) {
			if kind := nets.Item(h).Kind; kind == wiring.VentilKind || kind == wiring.TremulantKind {
				rows = append(rows, i)
			}
		}
	}
	if rows == nil {
		return false
	}
	at := rows[rnd.IntN(len(rows))]
	var labels []string
	for _, s := range r.Switch {
		if s.Kind == wiring.Read && s.Line == "" {
			labels = append(labels, s.Control[0].Label)
		}
	}
	other := wiring.Literal{Label: labels[rnd.IntN(len(labels))], Not: rnd.IntN(2) == 0}
	row := r.Switch[at]
	switch rnd.IntN(4) {
	case 0:
		r.Switch = slices.Delete(slices.Clone(r.Switch), at, at+1)
		return true
	case 1:
		row.Control = []wiring.Literal{other}
	case 2:
		row.Control = append(slices.Clone(row.Control), other)
	default:
		row.Control = []wiring.Literal{{Label: row.Control[0].Label, Not: !row.Control[0].Not}}
	}
	r.Switch = slices.Clone(r.Switch)
	r.Switch[at] = row
	return true
}

func ranWrong(r *wiring.Relay, in *console.Instrument) bool {
	nets := wiring.Nets(r)
	for a := range len(in.Controls) + 1 {
		for b := range a + 1 { // one past the last stands for no control
			state := console.State{Drawn: make([]bool, len(in.Controls)+1)}
			state.Drawn[a], state.Drawn[b] = true, true
			state.Drawn = state.Drawn[:len(in.Controls)]
			driven := map[wiring.Item]bool{}
			for pin := range wiring.Run(r, in, state).Driven {
				for _, h := range nets.Hung(nets.Of(pin)) {
					driven[nets.Item(h)] = true
				}
			}
			for c, control := range in.Controls {
				kind := wiring.Kind(control.Kind)
				if kind != wiring.VentilKind && kind != wiring.TremulantKind {
					continue
				}
				if driven[wiring.Item{Kind: kind, Index: c, Of: console.None}] != state.Drawn[c] {
					return true
				}
			}
		}
	}
	return false
}
