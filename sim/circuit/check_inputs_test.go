package circuit

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/sim/wiring"
)

// Logic of 3.3 V that reads as on from 0.7 of its supply, as many parts are
// specified, behind a silicon diode of 0.7 V: 2.6 V against 2.31 V, a margin of
// less than a tenth; behind one of 1 V, the most of its usual range, too little.
func TestInputsOfLowVoltLogicBehindADiode(t *testing.T) {
	for drop, want := range map[string][]string{
		"0.4": nil, "0.7": {"warning input-low"}, "1": {"error input-low"},
	} {
		p := right()
		p.supply += "}, logic: {volts: 3.3, listed: true, grounding: bonded"
		p.keys = "supply: logic, threshold: 2.31, ohms: 10000, drop: " + drop
		found := Check(p.load(t))
		require.Equal(t, append([]string{}, want...), rules(found), "%v", found)
		if drop == "1" {
			require.Contains(t, found[0].Message, "K1.1 is left 2.30 V of the 3.3 V of supply logic, and reads as on from 2.31 V; the diode takes 1.00 V")
		}
	}
}

// A diode of silicon stands at each crossing of a scan that has diodes.
func TestDiodesOfAScanTakeTheirShare(t *testing.T) {
	for keys, want := range map[string]float64{
		"scan: {rows: 8, columns: 8}":                         0.7,
		"scan: {rows: 8, columns: 8, diodes: {missing: [3]}}": 0.7,
		"scan: {rows: 8, columns: 8, diodes: none}":           0,
		"scan: {rows: 8, columns: 8}, drop: 0.4":              0.4,
		"ohms: 1000":                                          0,
	} {
		p := right()
		p.keys = keys
		c, found := Read(p.load(t))
		require.NotNil(t, c, "%v", found)
		require.Equal(t, want, c.Boards[0].Drop, keys)
	}
}

// What the worst input sees is what the network of all its contacts says,
// which is itself held to ngspice.
func TestInputsSeeWhatTheirNetworkSays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		some := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(rt, name) }
		volts, drop := some("volts", 3, 30), some("drop", 0, 1)
		b := Board{Drop: drop, Ohms: some("ohms", 10, 1e5), Feed: Wire{Gauge: AWG(28), Metres: some("feed", 0.1, 500), Count: 1}}
		c := &Circuit{Boards: []Board{b}, Settings: Settings{WiresAt: 20}}
		feed := b.Feed.Ohms(20)
		n := Network{Nodes: 3} // ground, supply, feed
		n.Branches = append(n.Branches, Branch{From: 0, To: 1, Ohms: bond, Volts: volts}, Branch{From: 1, To: 2, Ohms: feed})
		var pins []int
		for i := range rapid.IntRange(1, 20).Draw(rt, "contacts") {
			c.Cables = append(c.Cables, Cable{Wire: Wire{Gauge: AWG(28), Metres: some(fmt.Sprint("line", i), 0.1, 900), Count: 1}})
			c.Inputs = append(c.Inputs, Input{Pin: wiring.Terminal{Pin: i + 1}, Legs: []Leg{{i, 1}}})
			pin := n.Nodes
			n.Nodes++
			n.Branches = append(n.Branches, Branch{From: 2, To: pin, Ohms: c.Cables[i].Ohms(20), Volts: -drop}, Branch{From: pin, To: 0, Ohms: b.Ohms})
			pins = append(pins, pin)
		}
		seen, at := c.sees(0, volts)
		solved := n.Solve()
		require.InEpsilon(rt, solved[pins[at]], seen, 1e-4)
		for _, pin := range pins {
			require.GreaterOrEqual(rt, solved[pin], seen*(1-1e-4))
		}
	})
}
