package walk

import (
	"encoding/binary"
	"slices"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// meter knows what a meter shows. Thousands of magnets hang on wires alike, so
// what is alike is worked out once.
type meter struct {
	c      *circuit.Circuit
	search *circuit.Search
	loads  map[wiring.Item][]int
	known  map[string]flows
}

// flows are the amps of some loads that are on together, cold and hot.
type flows struct{ cold, hot []float64 }

func newMeter(c *circuit.Circuit, in *console.Instrument) *meter {
	m := &meter{c: c, search: circuit.NewSearch(c, in, circuit.OnePlayer), loads: map[wiring.Item][]int{}, known: map[string]flows{}}
	for i, l := range c.Loads {
		m.loads[l.Item] = append(m.loads[l.Item], i)
	}
	return m
}

// expect is what a meter shows at the fuse that an item is behind, while the item
// is on, in a state if there is one; nil where nothing is known.
func (m *meter) expect(item wiring.Item, state *console.State) *Amps {
	if m == nil || len(m.loads[item]) == 0 {
		return nil
	}
	tried := m.loads[item]
	on := slices.Clone(tried)
	if state != nil {
		on = append(on, m.search.LoadsIn(*state)...)
	}
	slices.Sort(on)
	on = slices.Compact(on)
	f, amps := m.flows(on), &Amps{}
	others, falls := 0.0, m.falls(m.c.Loads[tried[0]].Board)
	for i, l := range on {
		if m.behind(m.c.Loads[l].Board) == m.behind(m.c.Loads[tried[0]].Board) {
			amps.Cold += f.cold[i]
			amps.Hot += f.hot[i]
			if !slices.Contains(tried, l) {
				others += f.hot[i]
			}
		}
		if slices.Contains(tried, l) {
			amps.One += f.cold[i]
			amps.Needs += m.pullIn(l)
		}
	}
	if amps.Low = amps.Hot * falls; amps.Needs > 0 {
		amps.Needs = others + amps.Needs/falls
	}
	return amps
}

// pullIn is the amps at which what hangs on a pin pulls in, cold or warm; 0 where
// its class does not say.
func (m *meter) pullIn(load int) float64 {
	class := m.c.Loads[load].Magnet
	if class == circuit.None {
		return 0
	}
	magnet := m.c.Magnets[class]
	return magnet.PullIn / magnet.Ohms * float64(magnet.Count)
}

// falls is the share of its amps that a magnet of a board keeps when the supply goes
// from its volts without load to those at its full load.
func (m *meter) falls(board int) float64 {
	b, least := m.c.Boards[board], 1.0
	for _, s := range b.Supplies {
		if supply := m.c.Supplies[s]; supply.Full > b.Drop {
			least = min(least, (supply.Full-b.Drop)/(supply.Idle-b.Drop))
		}
	}
	return least
}

// flows are those of some loads, ascending.
func (m *meter) flows(on []int) flows {
	alike := m.alike(on)
	f, known := m.known[alike]
	if known {
		return f
	}
	each := make([]bool, len(m.c.Loads))
	for _, l := range on {
		each[l] = true
	}
	cold, hot := m.c.Flow(each, false), m.c.Flow(each, true)
	for _, l := range on {
		f.cold, f.hot = append(f.cold, cold.Load[l]), append(f.hot, hot.Load[l])
	}
	m.known[alike] = f
	return f
}

// alike is the same for loads through which the same currents run: magnets of
// the same classes by wires of the same cables. Those that share a pin share some
// of its wires.
func (m *meter) alike(on []int) string {
	var key []byte
	add := func(n int) { key = binary.AppendVarint(key, int64(n)) }
	for i, l := range on {
		load := m.c.Loads[l]
		shares := i > 0 && m.c.Loads[on[i-1]].Pin == load.Pin || i+1 < len(on) && m.c.Loads[on[i+1]].Pin == load.Pin
		add(load.Board)
		add(load.Magnet)
		add(load.Return)
		add(len(load.Legs))
		for _, leg := range load.Legs {
			add(leg.Cable)
			if shares {
				add(leg.Wire)
			}
		}
		if shares {
			add(load.Pin.Pin)
		}
	}
	return string(key)
}

// behind says which boards share a fuse: those with the same number.
func (m *meter) behind(board int) int {
	if f := m.c.Boards[board].Fuse; f != circuit.None {
		return f
	}
	return len(m.c.Fuses) + board
}
