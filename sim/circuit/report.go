package circuit

import (
	"fmt"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Report is what a circuit draws at most, and where the least is left.
type Report struct {
	Lines  []Line
	Drop   *Drop // nil when there is nothing to drop on
	Change []Change
}

// Line is the current through one place. Amps are nominal, each load as if it
// were alone at the supply's idle volts with a cold coil, unless they are Settled.
type Line struct {
	Kind       string // supply, fuse, board, return, cable
	ID         string
	Rated      float64 // 0 when not said
	Loads      int     // that may be on
	Everything float64 // all that can be on together
	Chord      Worst   // what one player can draw
	Cluster    Worst   // twenty neighbouring keys
	Settled    float64 // amps in the chord's state with everything else that it turns on; 0 when not worked out
	One        float64 // the largest single load: what to expect at the first power-up, one magnet at a time
	At         finding.Place
	index      int
	members    []int
}

// Drop is the magnet that is left the least of what it needs, hot, and where
// the volts go.
type Drop struct {
	Load       int
	Keys       []console.Key
	Volts      float64 // at its coil
	Needs      float64 // to pull in, hot; 0 when its class does not say
	Hops       []Hop
	Everything float64 // volts at its coil while all that can be on is on
}

// Change is what a supply carries while knobs move: the most at once, and how
// long the move takes.
type Change struct {
	Supply  int
	Coils   int
	AtOnce  float64 // amps when all move together
	Stepped float64 // and in groups; the same without
	Millis  float64
}

// Reporter works a report out, and keeps what it takes for asking more.
type Reporter struct {
	*Search
	relay *wiring.Relay
}

// NewReporter prepares a report.
func NewReporter(c *Circuit, r *wiring.Relay, in *console.Instrument, p Player) *Reporter {
	return &Reporter{NewSearch(c, in, p), r}
}

// Report is the report.
func (s *Reporter) Report() Report {
	rep := Report{Lines: s.lines(), Change: s.changes()}
	asked := map[string]int{} // a fuse, its board and its cable often carry the same
	for i := range rep.Lines {
		line := &rep.Lines[i]
		line.Everything = s.Everything(line.members)
		if before, met := asked[fmt.Sprint(line.members)]; met {
			line.Chord, line.Cluster = rep.Lines[before].Chord, rep.Lines[before].Cluster
		} else {
			asked[fmt.Sprint(line.members)] = i
			share := 1 + len(rep.Lines)/20 // of the effort; a supply is worth all of it
			if line.Kind == "supply" {
				share = 1
			}
			line.Chord, line.Cluster = s.Chord(line.members, share), s.Cluster(line.members)
		}
		for _, l := range line.members {
			line.One = max(line.One, s.nominal[l])
		}
		if line.Kind == "supply" || line.Rated > 0 && line.Chord.Amps > line.Rated {
			line.Settled = line.Through(s.c.Flow(s.On(line.Chord.Keys), false))
		}
	}
	rep.Drop = s.drop(rep.Lines)
	return rep
}

// Through is a flow's amps through the line.
func (l Line) Through(f *Flow) float64 {
	switch l.Kind {
	case "supply":
		return f.Supply[l.index]
	case "fuse":
		return f.Fuse[l.index]
	case "board":
		return f.Board[l.index]
	case "return":
		return f.Ret[l.index]
	}
	return f.Wire[l.index]
}

// lines are the places that any load's current passes.
func (s *Reporter) lines() []Line {
	c := s.c
	var lines []Line
	add := func(kind, id string, rated float64, at finding.Place, index int, has func(Load) bool) {
		line := Line{Kind: kind, ID: id, Rated: rated, At: at, index: index}
		for i, l := range c.Loads {
			if has(l) && !c.pulsed(l) {
				line.members = append(line.members, i)
			}
		}
		if line.Loads = len(line.members); line.Loads > 0 {
			lines = append(lines, line)
		}
	}
	for i, supply := range c.Supplies {
		add("supply", supply.ID, supply.Amps, supply.At, i, func(l Load) bool {
			for _, of := range c.suppliesOf(l.Board) {
				if of == i {
					return true
				}
			}
			return false
		})
	}
	for i, fuse := range c.Fuses {
		add("fuse", fuse.ID, fuse.Amps, fuse.At, i, func(l Load) bool { return c.Boards[l.Board].Fuse == i })
	}
	for i, board := range c.Boards {
		add("board", s.relay.Boards[i].ID, board.Amps, board.At, i, func(l Load) bool { return l.Board == i })
	}
	for i, back := range c.Returns {
		rated := 0.0
		if back.Gauge.Known() {
			amps, _, _ := back.Gauge.ampacity()
			rated = amps * float64(back.Count)
		}
		add("return", back.ID, rated, back.At, i, func(l Load) bool { return c.under(l.Return, i) })
	}
	for i, cable := range c.Cables {
		add("cable", s.relay.Cables[i].ID, 0, cable.At, i, func(l Load) bool {
			for _, leg := range l.Legs {
				if leg.Cable == i {
					return true
				}
			}
			return false
		})
	}
	return lines
}

// drop is the weakest magnet over the worst chords of the supplies.
func (s *Reporter) drop(lines []Line) *Drop {
	var weakest *Drop
	var flow *Flow
	least := 0.0
	for _, line := range lines {
		if line.Kind != "supply" {
			continue
		}
		f := s.c.Flow(s.On(line.Chord.Keys), true)
		for i, l := range s.c.Loads {
			if f.net.load[i] == None {
				continue
			}
			supply := s.c.Supplies[f.net.supplyOf[l.Board]]
			needs := s.c.Magnets[l.Magnet].needs()
			share := f.Coil[i] / supply.Full
			if needs > 0 {
				share = f.Coil[i] / needs
			}
			if weakest != nil && (weakest.Needs > 0 && needs == 0 || share >= least && (needs > 0) == (weakest.Needs > 0)) {
				continue
			}
			weakest, flow, least = &Drop{Load: i, Keys: line.Chord.Keys, Volts: f.Coil[i], Needs: needs}, f, share
		}
	}
	if weakest != nil {
		weakest.Hops = s.c.Hops(flow, weakest.Load, s.name)
		weakest.Everything = s.c.Flow(s.c.everything(), true).Coil[weakest.Load]
	}
	return weakest
}

// needs is the voltage at which a hot coil pulls in: the current that it takes
// is the same hot and cold. (PullIn is that of a coil at 20 C.)
func (m Magnet) needs() float64 { return m.PullIn * m.OhmsAt(m.Hot) / m.OhmsAt(20) }

// name is a load in words: bourdon 26 on X3.26.
func (s *Reporter) name(l Load) string {
	return strings.TrimSpace(fmt.Sprintf("%s on %s", wiring.Describe(s.in, []wiring.Item{l.Item}), s.relay.Name(l.Pin)))
}

// Name is a load, by its index, in words.
func (s *Reporter) Name(load int) string { return s.name(s.c.Loads[load]) }

// usualPulse is how long a knob's coil is on where its class does not say, in
// ms: the middle of what is usual. Common practice, no source.
const usualPulse = 200

// changes are what moving all knobs takes of each supply. The coils that draw
// and cancel one knob are never on together: the larger counts.
func (s *Reporter) changes() []Change {
	var list []Change
	for supply := range s.c.Supplies {
		amps, pulse := map[wiring.Item]float64{}, 0.0
		var order []wiring.Item
		for i, l := range s.c.Loads {
			of := s.c.suppliesOf(l.Board)
			if !s.c.pulsed(l) || len(of) == 0 || of[0] != supply {
				continue
			}
			item := l.Item
			switch item.Kind {
			case wiring.KnobOffKind:
				item.Kind = wiring.KnobOnKind
			case wiring.ActionOffKind:
				item.Kind = wiring.ActionOnKind
			}
			if _, met := amps[item]; !met {
				order = append(order, item)
			}
			amps[item] = max(amps[item], s.nominal[i])
			if ms := s.c.Magnets[l.Magnet].Pulse; ms > 0 {
				pulse = max(pulse, ms)
			} else {
				pulse = max(pulse, usualPulse)
			}
		}
		if order == nil {
			continue
		}
		each := make([]float64, len(order))
		for i, item := range order {
			each[i] = amps[item]
		}
		list = append(list, staggered(supply, each, pulse, s.c.Settings))
	}
	return list
}

// staggered is a change in groups that begin a gap after each other: as many
// groups are on together as begin within a pulse.
func staggered(supply int, amps []float64, pulse float64, how Settings) Change {
	change := Change{Supply: supply, Coils: len(amps), Millis: pulse}
	for _, a := range amps {
		change.AtOnce += a
	}
	change.Stepped = change.AtOnce
	if how.Group == 0 || how.Gap == 0 {
		return change
	}
	var groups []float64
	for i, a := range amps {
		if i%how.Group == 0 {
			groups = append(groups, 0)
		}
		groups[len(groups)-1] += a
	}
	change.Millis += how.Gap * float64(len(groups)-1)
	change.Stepped = 0
	for i := range groups {
		sum := 0.0
		for j := i; j < len(groups) && (j == i || float64(j-i)*how.Gap < pulse); j++ {
			sum += groups[j]
		}
		change.Stepped = max(change.Stepped, sum)
	}
	return change
}
