package circuit

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Drop is the coil that is left the least of what it needs, hot, in a state
// that a player can bring about, and where the volts go.
type Drop struct {
	Load       int
	Keys       []console.Key
	Volts      float64 // at its coil
	Needs      float64 // to pull in, hot; 0 when its class does not say
	Hops       []Hop
	Everything float64 // volts at its coil while all that can be on is on; 0 for one that moves knobs
}

// needs is the voltage at which a hot coil pulls in: the current that it takes
// is the same hot and cold. (PullIn is that of a coil at 20 C.)
func (m Magnet) needs() float64 { return m.PullIn * m.resistance(true) / m.resistance(false) }

// drops are the weakest of the magnets that are on in the worst chords of the
// supplies, and of the coils that move knobs while these are held; nil without
// any.
func (s *Reporter) drops(lines []Line) (held, moving *Drop) {
	for _, line := range lines {
		if line.Kind != "supply" {
			continue
		}
		on := s.On(line.Chord.Keys)
		held = s.weakest(held, on, line.Chord.Keys, func(l Load) bool { return !s.c.moves(l) })
		if line.Pulses > 0 {
			moving = s.weakest(moving, s.alsoMoving(on, line), line.Chord.Keys, s.c.moves)
		}
	}
	if held != nil {
		held.Everything = s.c.Flow(s.c.everything(), true).Coil[held.Load]
	}
	return held, moving
}

// alsoMoving is a state with the coils besides that draw the most of a supply
// together; of those that move one thing, the ones of the way that takes more.
func (s *Reporter) alsoMoving(on []bool, line Line) []bool {
	groups := s.c.groups()
	m := s.giving(line.index).move(line.moving, groups)
	amps := map[wiring.Item]float64{}
	for _, i := range line.moving {
		amps[s.c.Loads[i].Item] += s.nominal[i]
	}
	way := map[wiring.Item]wiring.Item{}
	for _, i := range line.moving {
		if item := s.c.Loads[i].Item; amps[item] > amps[way[moved(s.c.Loads[i])]] {
			way[moved(s.c.Loads[i])] = item
		}
	}
	for _, i := range line.moving {
		l := s.c.Loads[i]
		if g := groups[moved(l)]; g >= m.from && g <= m.to && way[moved(l)] == l.Item {
			on[i] = true
		}
	}
	return on
}

// weakest is the weaker of a drop and the weakest of some loads in a state.
func (s *Reporter) weakest(than *Drop, on []bool, keys []console.Key, of func(Load) bool) *Drop {
	f := s.c.Flow(on, true)
	share := func(d *Drop) float64 { // of what it needs, or else of the supply's volts
		if d.Needs > 0 {
			return d.Volts / d.Needs
		}
		return d.Volts / s.c.Supplies[s.c.suppliesOf(s.c.Loads[d.Load].Board)[0]].Full
	}
	found := None
	for i, l := range s.c.Loads {
		if f.net.load[i] == None || !of(l) {
			continue
		}
		d := &Drop{Load: i, Keys: keys, Volts: f.Coil[i], Needs: s.c.Magnets[l.Magnet].needs()}
		if than == nil || than.Needs == 0 && d.Needs > 0 || (than.Needs > 0) == (d.Needs > 0) && share(d) < share(than) {
			than, found = d, i
		}
	}
	if found != None {
		than.Hops = s.c.Hops(f, found, s.name)
	}
	return than
}
