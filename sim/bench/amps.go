package bench

import (
	"fmt"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/probe"
)

// Amps is what a chord draws at most in one place: every magnet as if it were
// alone and cold.
type Amps struct {
	Where string // supply main, fuse F1, board X1
	Drawn float64
	Rated float64
}

// worst is where a chord comes nearest to a limit; without limits nothing.
func worst(c *circuit.Circuit, x *probe.Running, name func(board int) string, chord []console.Held, draw []int) (a Amps) {
	supplies, fuses, boards := make([]float64, len(c.Supplies)), make([]float64, len(c.Fuses)), make([]float64, len(c.Boards))
	driven := x.Driven(chord, draw)
	for _, l := range c.Loads {
		if !driven[l.Item] {
			continue
		}
		amps, board := c.Nominal(l), c.Boards[l.Board]
		boards[l.Board] += amps
		if board.Fuse != circuit.None {
			fuses[board.Fuse] += amps
		}
		if len(board.Supplies) == 0 && len(c.Supplies) == 1 {
			supplies[0] += amps
		}
		for _, s := range board.Supplies {
			supplies[s] += amps
		}
	}
	consider := func(where string, drawn, rated float64) {
		if rated > 0 && drawn > 0 && (a.Rated == 0 || drawn*a.Rated > a.Drawn*rated) {
			a = Amps{where, drawn, rated}
		}
	}
	for i, s := range c.Supplies {
		consider("supply "+s.ID, supplies[i], s.Amps)
	}
	for i, f := range c.Fuses {
		consider("fuse "+f.ID, fuses[i], f.Amps)
	}
	for i, b := range c.Boards {
		consider("board "+name(i), boards[i], b.Amps)
	}
	return a
}

// String is amps in the words of a report.
func (a Amps) String() string {
	return fmt.Sprintf("%.2f A of %.2f A at %s", a.Drawn, a.Rated, a.Where)
}

// Within is a plan whose chords stay under every limit of supplies, fuses and
// boards, and its worst chord: a chord that does not is split in halves. One
// key that goes over a limit alone stays, and is in over.
func Within(p probe.Plan, c *circuit.Circuit, x *probe.Running, name func(board int) string) (within probe.Plan, most Amps, over []Amps) {
	within.Loop = p.Loop
	for _, s := range p.Steps {
		step := probe.Step{Draw: s.Draw}
		var split func(chord []console.Held)
		split = func(chord []console.Held) {
			a := worst(c, x, name, chord, s.Draw)
			if a.Drawn > a.Rated && len(chord) > 1 {
				split(chord[:len(chord)/2])
				split(chord[len(chord)/2:])
				return
			}
			if a.Drawn > a.Rated {
				over = append(over, a)
			}
			if most.Rated == 0 || a.Drawn*most.Rated > most.Drawn*a.Rated {
				most = a
			}
			step.Chords = append(step.Chords, chord)
		}
		for _, chord := range s.Chords {
			split(chord)
		}
		within.Steps = append(within.Steps, step)
	}
	return within, most, over
}
