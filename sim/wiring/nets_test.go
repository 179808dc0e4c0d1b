package wiring_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

func at(on, pin int) wiring.Terminal { return wiring.Terminal{On: on, Pin: pin} }

// A chain X1.1 - J1.2 - J2.1 and a branch J1.2 - J1.3; X1.2 alone; a join
// that leads off its strip joins nothing.
func TestANetIsAllThatJoinsConnect(t *testing.T) {
	valve := wiring.Item{Kind: wiring.ValveKind, Of: -1, Note: 1}
	r := &wiring.Relay{
		Boards: []wiring.Board{{ID: "X1", Direction: wiring.Output, Pins: 2}},
		Strips: []wiring.Strip{{ID: "J1", Pins: 3}, {ID: "J2", Pins: 1}},
		Joins: []wiring.Join{
			{From: []wiring.Terminal{at(2, 1), at(0, 2)}, To: []wiring.Terminal{at(1, 2), at(1, 4)}},
			{From: []wiring.Terminal{at(0, 1), at(1, 2), at(0, 2)}, To: []wiring.Terminal{at(1, 2), at(1, 3)}},
		},
		Plan: []wiring.Row{
			{Pins: []wiring.Terminal{at(0, 2), at(2, 1)}, Items: []wiring.Item{{Kind: wiring.SpareKind, Index: -1}, valve}},
			{Pins: []wiring.Terminal{at(1, 4)}, Items: []wiring.Item{valve}},
		},
	}
	nets := wiring.Nets(r)
	require.Equal(t, 3, nets.Len(), "the chain, X1.2 and J1.1")
	chain := nets.Of(at(0, 1))
	require.Equal(t, []wiring.Terminal{at(0, 1), at(1, 2), at(1, 3), at(2, 1)}, nets.Terminals(chain))
	require.Equal(t, []wiring.Leg{{Join: 0, At: 0}, {Join: 1, At: 0}, {Join: 1, At: 1}}, nets.Legs(chain))
	require.Equal(t, []wiring.Hung{{Row: 0, At: 1}}, nets.Hung(chain))
	require.Equal(t, valve, nets.Item(nets.Hung(chain)[0]))
	pin, ok := nets.Pin(chain, wiring.Output)
	require.True(t, ok)
	require.Equal(t, "X1.1", r.Name(pin))

	require.Equal(t, []wiring.Terminal{at(0, 2)}, nets.Terminals(nets.Of(at(0, 2))), "a third From has no To")
	require.Equal(t, -1, nets.Of(at(1, 4)), "off the strip")
	require.Equal(t, -1, nets.Of(at(0, 0)))
	_, ok = nets.Pin(nets.Of(at(1, 1)), wiring.Output)
	require.False(t, ok, "J1.1 leads nowhere")
}
