package circuit

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/wiring"
)

// Report is what a circuit draws at most, and where the least is left.
type Report struct {
	Lines  []Line
	Drop   *Drop   // of the magnets that stay on; nil without any
	Moving *Drop   // of the coils that move knobs, while they move; nil without any
	Floors []Floor // what no chord goes beyond at any coil
	Change []Change
}

// Line is the current through one place. Amps are nominal, each load as if it
// were alone at the supply's idle volts with a cold coil, unless they are Settled.
type Line struct {
	Kind       string // supply, fuse, board, return, cable
	ID         string
	Rated      float64 // 0 when not said
	Loads      int     // that may be on, for long or for a moment
	Everything float64 // all that can be on together
	Chord      Worst   // what one player can draw
	Cluster    Worst   // twenty neighbouring keys
	Settled    float64 // amps in the chord's state with everything else that it turns on; 0 when not worked out
	One        float64 // the largest single load
	Pulses     float64 // what moves knobs and sliders draws while they move, as they are grouped
	At         finding.Place
	index      int
	members    []int // loads that stay on
	moving     []int // and those that are on while knobs and sliders move
}

// Peak is what no chord exceeds while knobs and sliders move.
func (l Line) Peak() float64 { return l.Chord.Bound + l.Pulses }

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
	lines := s.lines()
	first := map[string]int{} // a fuse, its board and its cable often carry the same
	var distinct []int
	like := make([]int, len(lines))
	for i, line := range lines {
		at, met := first[s.same(line)]
		if !met {
			at = i
			first[s.same(line)] = i
			distinct = append(distinct, i)
		}
		like[i] = at
	}
	s.chords(lines, distinct)
	for i, at := range like {
		lines[i].Everything, lines[i].Chord, lines[i].Cluster = lines[at].Everything, lines[at].Chord, lines[at].Cluster
	}
	return s.settled(lines)
}

// chords looks for the worst of some lines, on all processors.
func (s *Reporter) chords(lines []Line, some []int) {
	effort := min(1, allWork/maxWork/float64(len(some)))
	next := make(chan int)
	var done sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(some)) {
		done.Go(func() {
			own := s.apart()
			for i := range next {
				line, search, share := &lines[i], own, effort
				if line.Kind == "supply" {
					search, share = own.giving(line.index), 1
				}
				line.Everything = search.Everything(line.members)
				line.Chord, line.Cluster = search.Chord(line.members, share), search.Cluster(line.members)
			}
		})
	}
	for _, i := range some {
		next <- i
	}
	close(next)
	done.Wait()
}

// same is alike for lines that carry the same.
func (s *Reporter) same(line Line) string {
	gives := line.Kind == "supply" && s.giving(line.index) != s.Search
	return fmt.Sprint(line.members, gives)
}

// settled is the report when the chords are known.
func (s *Reporter) settled(lines []Line) Report {
	rep := Report{Lines: lines}
	groups := s.c.groups()
	for i := range lines {
		line := &lines[i]
		search := s.Search
		if line.Kind == "supply" {
			search = s.giving(line.index)
		}
		for _, l := range slices.Concat(line.members, line.moving) {
			line.One = max(line.One, search.nominal[l])
		}
		if line.moving != nil {
			move := search.move(line.moving, groups)
			line.Pulses = move.most
			if line.Kind == "supply" {
				rep.Change = append(rep.Change, Change{line.index, move.things, move.atOnce, move.most, line.Peak(), move.millis})
			}
		}
		if line.Kind == "supply" || line.Rated > 0 && line.Chord.Amps > line.Rated {
			line.Settled = line.Through(s.c.Flow(s.On(line.Chord.Keys), false))
		}
	}
	rep.Drop, rep.Moving = s.drops(lines)
	rep.Floors = s.floors(lines)
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
			switch {
			case !has(l):
			case c.moves(l):
				line.moving = append(line.moving, i)
			default:
				line.members = append(line.members, i)
			}
		}
		if line.Loads = len(line.members) + len(line.moving); line.Loads > 0 {
			lines = append(lines, line)
		}
	}
	for i, supply := range c.Supplies {
		add("supply", supply.ID, supply.Amps, supply.At, i, func(l Load) bool { return c.share(i, l) > 0 })
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

// name is a load in words: bourdon 26 on X3.26.
func (s *Reporter) name(l Load) string {
	return strings.TrimSpace(fmt.Sprintf("%s on %s", wiring.Describe(s.in, []wiring.Item{l.Item}), s.relay.Name(l.Pin)))
}

// Name is a load, by its index, in words.
func (s *Reporter) Name(load int) string { return s.name(s.c.Loads[load]) }
