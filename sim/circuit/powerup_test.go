package circuit

import (
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/wiring"
)

// By hand: 12 V less 1 V of the driver over 100 and 10 ohms are 0.1 A; two such
// coils on one pin, with a wire each, 0.2 A; and warm at 60 C the copper of the
// coils has 1 + 0.00393 x 40 times its ohms.
func TestFirstPowerOfEachFuse(t *testing.T) {
	wire := Cable{Wire: Wire{Gauge: Square(copper), Metres: 10, Count: 1}} // 1 ohm a metre
	c := &Circuit{Settings: Settings{WiresAt: 20},
		Supplies: []Supply{{ID: "main", Idle: 12, Full: 12, From: None}},
		Fuses:    []Fuse{{ID: "F1"}, {ID: "F2"}},
		Boards:   []Board{{Fuse: 1, Drop: 1, Switches: Positive}, {Fuse: 1, Drop: 1, Switches: Positive}, {Fuse: None, Drop: 1, Switches: Positive}},
		Cables:   []Cable{wire}, Magnets: []Magnet{{Ohms: 100, Hot: 60, Count: 1}}}
	hang := func(board, pin, wire int) {
		c.Loads = append(c.Loads, Load{Item: wiring.Item{Kind: wiring.ValveKind}, Pin: wiring.Terminal{On: board, Pin: pin}, Board: board, Return: None, Legs: []Leg{{0, wire}}})
	}
	hang(0, 1, 1)
	hang(0, 2, 2)
	hang(1, 1, 3)
	hang(1, 1, 4) // a second one on that pin
	hang(2, 1, 5)
	ups := c.PowerUps()
	require.Len(t, ups, 2) // nothing hangs behind F1
	require.Equal(t, 1, ups[0].Fuse)
	require.Equal(t, []int{0, 1}, ups[0].Boards)
	require.Zero(t, ups[0].Supply)
	require.Len(t, ups[0].Steps, 2)
	one, two := ups[0].Steps[0], ups[0].Steps[1]
	require.Equal(t, []wiring.Terminal{{On: 0, Pin: 1}, {On: 0, Pin: 2}}, one.Pins)
	require.InDelta(t, 0.1, one.Cold, 1e-6)
	require.InDelta(t, 11/(100*(1+0.00393*40)+10), one.Hot, 1e-6)
	require.InDelta(t, 10, one.Volts, 1e-4)
	require.Equal(t, []wiring.Terminal{{On: 1, Pin: 1}}, two.Pins)
	require.InDelta(t, 0.2, two.Cold, 1e-6)
	require.Equal(t, None, ups[1].Fuse)
	require.InDelta(t, 0.1, ups[1].Steps[0].Cold, 1e-6)
}

// The steps of a relay are what the network has with that pin alone.
func TestFirstPowerOfAPinIsTheFlowWithItAlone(t *testing.T) {
	s := widelyWired(t, 1, "us")
	seen := 0
	for _, up := range s.c.PowerUps() {
		for _, step := range up.Steps {
			for _, pin := range step.Pins {
				on := make([]bool, len(s.c.Loads))
				for i, l := range s.c.Loads {
					on[i] = l.Pin == pin
				}
				if seen++; seen%7 == 0 {
					require.InDelta(t, step.Cold, s.c.Flow(on, false).Fuse[up.Fuse], 1e-6, "%v", pin)
				}
			}
		}
	}
	pins := map[wiring.Terminal]bool{}
	for _, l := range s.c.Loads {
		pins[l.Pin] = true
	}
	require.Equal(t, len(pins), seen)
}
