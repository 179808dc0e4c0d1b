package circuit

import (
	"fmt"
	"slices"
)

// Floor is what no chord goes beyond at one coil, however warm the others are:
// the least volts that it is left, hot, and the most that the wires to it and
// back lose.
type Floor struct {
	Load    int     // the first of some alike
	Loads   int     // how many they are
	Volts   float64 // at the coil
	Needs   float64 // to pull in, hot; 0 when its class does not say
	Lost    float64 // volts in its wires, feed and returns
	Allowed float64 // volts that may be lost there, by the settings
	left    float64 // volts that the supply and the driver leave to the wires and the coil
	stages  []stage
}

// Part is something that has a size: a supply, a fuse, the feed of a board, a
// cable or a return, by its index.
type Part struct {
	Kind  string // supply, fuse, feed, cable, return
	Index int
}

// stage is a part on the way of a load, and the most amps through it.
type stage struct {
	Part
	amps float64
}

// wire is the wire of a part; nil for a fuse and a supply.
func (c *Circuit) wire(p Part) *Wire {
	switch p.Kind {
	case "feed":
		return &c.Boards[p.Index].Feed
	case "cable":
		return &c.Cables[p.Index].Wire
	case "return":
		return &c.Returns[p.Index].Wire
	}
	return nil
}

// floors are those of all loads that have a supply, one for all that are alike.
//
// Through each part goes at most what its line is bound by, for a load draws
// the most alone, with a cold coil and no wire. (That holds where supplies of
// different volts are not joined.)
func (s *Reporter) floors(lines []Line) []Floor {
	most := Report{Lines: lines}.byPart()
	var floors []Floor
	known := map[string]int{}
	for i, l := range s.c.Loads {
		if len(s.c.suppliesOf(l.Board)) == 0 {
			continue
		}
		stages := s.stages(i, most)
		key := fmt.Sprint(l.Board, l.Magnet, s.c.moves(l), stages)
		if at, met := known[key]; met {
			floors[at].Loads++
			continue
		}
		known[key] = len(floors)
		floors = append(floors, s.c.floor(Floor{Load: i, Loads: 1, stages: stages}))
	}
	return floors
}

// stages are the parts on the way of a load: its supply, and what has a wire.
func (s *Reporter) stages(i int, most map[Part]Line) []stage {
	l := s.c.Loads[i]
	amps := func(kind string, index int) float64 {
		line := most[Part{kind, index}]
		if s.c.moves(l) {
			return line.Peak()
		}
		return line.Chord.Bound
	}
	of := s.c.suppliesOf(l.Board)[0]
	stages := []stage{{Part{"supply", of}, amps("supply", of)}, {Part{"feed", l.Board}, amps("board", l.Board)}}
	for _, leg := range l.Legs {
		stages = append(stages, stage{Part{"cable", leg.Cable}, s.wireAmps(i, leg)})
	}
	for r := l.Return; r != None; r = s.c.Returns[r].Into {
		stages = append(stages, stage{Part{"return", r}, amps("return", r)})
	}
	return stages
}

// wireAmps is the most through a wire on the way of a load: what all on its pin
// draw by way of it.
func (s *Reporter) wireAmps(i int, leg Leg) float64 {
	pin := s.c.Loads[i].Pin
	for i > 0 && s.c.Loads[i-1].Pin == pin {
		i--
	}
	sum := 0.0
	for ; i < len(s.c.Loads) && s.c.Loads[i].Pin == pin; i++ {
		if slices.Contains(s.c.Loads[i].Legs, leg) {
			sum += s.nominal[i]
		}
	}
	return sum
}

// floor works out the volts of a floor that has its load and its stages.
func (c *Circuit) floor(f Floor) Floor {
	l := c.Loads[f.Load]
	supply := c.Supplies[f.stages[0].Index]
	f.Needs, f.Allowed = c.Magnets[l.Magnet].needs(), c.Settings.Drop*supply.Full
	f.Lost = 0
	for _, stage := range f.stages[1:] {
		f.Lost += stage.amps * c.wire(stage.Part).Ohms(c.Settings.WiresAt)
	}
	f.left = supply.Idle - supply.ohms()*f.stages[0].amps - c.Boards[l.Board].Drop
	f.Volts = max(0, f.left-f.Lost)
	return f
}
