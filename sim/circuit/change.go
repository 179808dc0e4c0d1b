package circuit

import "trundle/sim/wiring"

// Change is what a supply carries while knobs and sliders move: the most at
// once, and how long the move takes.
type Change struct {
	Supply  int
	Coils   int     // knobs and sliders: of the coils that draw and cancel one, one is on
	AtOnce  float64 // amps when all move together
	Stepped float64 // and in groups; the same without
	Peak    float64 // while the worst chord is held besides
	Millis  float64 // from the first pulse's begin to the last one's end
}

// usualPulse is how long a knob's coil is on where its class does not say, in
// ms: the middle of what is usual. Common practice, no source.
const usualPulse = 200

// pulse is how long a pulsed load is on, in ms.
func (c *Circuit) pulse(l Load) float64 {
	if ms := c.Magnets[l.Magnet].Pulse; ms > 0 {
		return ms
	}
	return usualPulse
}

// moved is what a load moves: the coils that draw and cancel one knob
// move the same.
func moved(l Load) wiring.Item {
	item := l.Item
	switch item.Kind {
	case wiring.KnobOffKind:
		item.Kind = wiring.KnobOnKind
	case wiring.ActionOffKind:
		item.Kind = wiring.ActionOnKind
	}
	return item
}

// groups are which group of its supply each thing that moves is in, counted
// from 0 in the order of the boards' pins; all with the first where the file
// asks for no groups.
func (c *Circuit) groups() map[wiring.Item]int {
	groups, count := map[wiring.Item]int{}, map[int]int{}
	for _, l := range c.Loads {
		item, of := moved(l), c.suppliesOf(l.Board)
		if _, met := groups[item]; met || len(of) == 0 || !c.moves(l) {
			continue
		}
		groups[item] = 0
		if c.Settings.Group > 0 && c.Settings.Gap > 0 {
			groups[item] = count[of[0]] / c.Settings.Group
		}
		count[of[0]]++
	}
	return groups
}

// move is what some loads draw while everything moves.
type move struct {
	things       int
	atOnce, most float64 // amps: all together, and as they are grouped
	millis       float64
	from, to     int // the first and the last of the groups that draw the most together
}

// move works out what loads draw: of each thing the coils that draw it or those
// that cancel it, whichever take more.
func (s *Search) move(loads []int, groups map[wiring.Item]int) move {
	at := map[wiring.Item]int{}
	var items []wiring.Item
	var amps []float64
	way, pulse := map[wiring.Item]float64{}, 0.0 // of the coils of one thing that move it one way
	for _, i := range loads {
		l := s.c.Loads[i]
		way[l.Item] += s.nominal[i]
		item := moved(l)
		if _, met := at[item]; !met {
			at[item] = len(items)
			items, amps = append(items, item), append(amps, 0)
		}
		amps[at[item]] = max(amps[at[item]], way[l.Item])
		pulse = max(pulse, s.c.pulse(l))
	}
	var sums []float64
	for i, item := range items {
		for len(sums) <= groups[item] {
			sums = append(sums, 0)
		}
		sums[groups[item]] += amps[i]
	}
	m := staggered(sums, pulse, s.c.Settings.Gap)
	m.things = len(items)
	return m
}

// staggered is a move in groups that begin a gap, in ms, after each other: as
// many are on together as begin within a pulse.
func staggered(groups []float64, pulse, gap float64) move {
	m := move{millis: pulse}
	for i, amps := range groups {
		m.atOnce += amps
		sum, to := 0.0, i
		for j := i; j < len(groups) && (j == i || float64(j-i)*gap < pulse); j++ {
			sum, to = sum+groups[j], j
		}
		if sum > m.most {
			m.most, m.from, m.to = sum, i, to
		}
	}
	if len(groups) > 1 {
		m.millis += gap * float64(len(groups)-1)
	}
	return m
}
