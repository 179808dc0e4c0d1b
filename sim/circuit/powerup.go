package circuit

import (
	"fmt"

	"trundle/sim/wiring"
)

// PowerUp is what to expect behind one fuse when an organ has power for the
// first time: the supply alone, then this fuse and nothing on, which draws
// nothing but what electronics take, then one pin at a time.
type PowerUp struct {
	Fuse   int   // None for the boards that have none
	Boards []int // behind it
	Supply int   // of the first of them
	Steps  []PowerStep
}

// PowerStep is what a fuse shows while one of some pins that are alike is on,
// and nothing else.
type PowerStep struct {
	Pins      []wiring.Terminal
	Load      int     // the first that hangs on the first of them
	Cold, Hot float64 // amps, coils at 20 C and warm
	Volts     float64 // at the coil of that load, cold
	Pulse     float64 // ms: it is not made to be on for longer; 0 for as long as one likes
}

// PowerUps are those of all fuses that have magnets behind them and a supply
// before them, in the order of the file, then of the boards without a fuse.
func (c *Circuit) PowerUps() []PowerUp {
	var list []PowerUp
	for fuse := range len(c.Fuses) + 1 {
		if fuse == len(c.Fuses) {
			fuse = None
		}
		up := PowerUp{Fuse: fuse, Supply: None}
		behind := map[int]bool{}
		for i, board := range c.Boards {
			if of := c.suppliesOf(i); board.Fuse == fuse && len(of) > 0 {
				if behind[i] = true; up.Supply == None {
					up.Supply = of[0]
				}
			}
		}
		known, met := map[string]int{}, map[int]bool{}
		for first := 0; first < len(c.Loads); {
			last := first + 1
			for last < len(c.Loads) && c.Loads[last].Pin == c.Loads[first].Pin {
				last++
			}
			if board := c.Loads[first].Board; behind[board] {
				if !met[board] {
					met[board] = true
					up.Boards = append(up.Boards, board)
				}
				key := c.pinKey(first, last)
				if _, is := known[key]; !is {
					known[key] = len(up.Steps)
					up.Steps = append(up.Steps, c.powerStep(first, last))
				}
				step := &up.Steps[known[key]]
				step.Pins = append(step.Pins, c.Loads[first].Pin)
			}
			first = last
		}
		if up.Steps != nil {
			list = append(list, up)
		}
	}
	return list
}

// pinKey says what hangs on a pin, and by what way: pins alike have the same.
// Valves of two ranks, and notes of two chests, are not.
func (c *Circuit) pinKey(first, last int) string {
	key := fmt.Sprint(c.Loads[first].Board)
	for _, l := range c.Loads[first:last] {
		key += fmt.Sprint(" ", l.Magnet, l.Return, l.Item.Kind)
		if l.Item.Kind == wiring.ValveKind || l.Item.Kind == wiring.NoteKind {
			key += fmt.Sprint(l.Item.Index)
		}
		for _, leg := range l.Legs {
			key += fmt.Sprint(",", leg.Cable)
		}
	}
	return key
}

func (c *Circuit) powerStep(first, last int) PowerStep {
	on := make([]bool, len(c.Loads))
	for i := first; i < last; i++ {
		on[i] = true
	}
	board := c.Loads[first].Board
	cold, hot := c.Flow(on, false), c.Flow(on, true)
	pulse := 0.0
	if l := c.Loads[first]; c.pulsed(l) {
		pulse = c.pulse(l)
	}
	return PowerStep{Load: first, Pulse: pulse, Cold: cold.Board[board], Hot: hot.Board[board], Volts: cold.Coil[first]}
}
