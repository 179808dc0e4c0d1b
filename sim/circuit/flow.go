package circuit

import (
	"math"
	"slices"
)

// Flow is the currents and voltages of a circuit in one state.
type Flow struct {
	Load                           []float64 // amps by load
	Coil                           []float64 // volts by load: at its coil
	Supply, Fuse, Board, Ret, Wire []float64 // amps, by supply, fuse, board, return and cable
	net                            *Net
	volts, amps                    []float64 // of the network
}

// Flow solves the circuit with some loads on, by load. A driver lets no
// current back: a load whose voltage is less than the driver's drop carries
// nothing.
func (c *Circuit) Flow(on []bool, hot bool) *Flow {
	on = slices.Clone(on)
	for {
		f := c.flow(on, hot)
		back := false
		for i, amps := range f.Load {
			if amps < 0 {
				on[i], back = false, true
			}
		}
		if !back {
			return f
		}
	}
}

// flow solves it with no regard to the drivers. What a supply takes of another
// is known when its own current is: this is repeated until nothing changes,
// which takes as many rounds as supplies feed each other.
func (c *Circuit) flow(on []bool, hot bool) *Flow {
	taken := make([]float64, len(c.Supplies)) // amps, by supply: what others take of it
	for round := 0; ; round++ {
		f := c.flowWith(on, hot, taken)
		next := make([]float64, len(taken))
		for i, s := range c.Supplies {
			if s.From != None {
				next[s.From] += f.Supply[i] * c.takes(i)
			}
		}
		same := true
		for i := range next {
			same = same && math.Abs(next[i]-taken[i]) <= 1e-9*(1+next[i])
		}
		if same || round > len(taken) {
			return f
		}
		taken = next
	}
}

func (c *Circuit) flowWith(on []bool, hot bool, taken []float64) *Flow {
	f := &Flow{Load: make([]float64, len(c.Loads)), Coil: make([]float64, len(c.Loads)),
		Supply: make([]float64, len(c.Supplies)), Fuse: make([]float64, len(c.Fuses)),
		Board: make([]float64, len(c.Boards)), Ret: make([]float64, len(c.Returns)), Wire: make([]float64, len(c.Cables))}
	f.net = c.Net(on, hot)
	for s, branch := range f.net.source {
		f.net.Branches[branch].Volts -= taken[s] * f.net.Branches[branch].Ohms
	}
	f.volts = f.net.Solve()
	f.amps = f.net.Amps(f.volts)
	for i, l := range c.Loads {
		branch := f.net.load[i]
		if branch == None {
			continue
		}
		amps := f.amps[branch]
		f.Load[i], f.Coil[i] = amps, amps*c.Magnets[l.Magnet].resistance(hot)
		f.Board[l.Board] += amps
		if fuse := c.Boards[l.Board].Fuse; fuse != None {
			f.Fuse[fuse] += amps
		}
		for r := l.Return; r != None; r = c.Returns[r].Into {
			f.Ret[r] += amps
		}
		for _, cable := range l.cables() {
			f.Wire[cable] += amps
		}
	}
	for s, branch := range f.net.source {
		f.Supply[s] = f.amps[branch] + taken[s]
	}
	return f
}

// cables are the cables on the way to a load, each once.
func (l Load) cables() []int {
	var list []int
	for _, leg := range l.Legs {
		if !slices.Contains(list, leg.Cable) {
			list = append(list, leg.Cable)
		}
	}
	return list
}

// Nominal is the most that a load may draw, in amps: alone, with its coil cold,
// its supply without other load and wires of no length. 0 for a load without a
// supply.
func (c *Circuit) Nominal(l Load) float64 {
	most := 0.0
	for _, s := range c.suppliesOf(l.Board) {
		most = max(most, (c.Supplies[s].Idle-c.Boards[l.Board].Drop)/c.Magnets[l.Magnet].resistance(false))
	}
	return most
}

// Hop is a stage of the way of current through a load, and the volts lost there.
type Hop struct {
	Where string
	Volts float64
	Wire  bool // lost in a wire, by its length
}

// Hops are the stages of the way through a load, from the supply and back.
// Their volts and those of the coil add up to the supply's without load.
func (c *Circuit) Hops(f *Flow, i int, name func(Load) string) []Hop {
	l := c.Loads[i]
	s := f.net.supplyOf[l.Board]
	if f.net.load[i] == None || s == None {
		return nil
	}
	board := c.Boards[l.Board]
	between := func(a, b int) float64 { return math.Abs(f.volts[a] - f.volts[b]) }
	across := func(branch int) float64 { return between(f.net.Branches[branch].From, f.net.Branches[branch].To) }
	supply := c.Supplies[s]
	hops := []Hop{{"supply " + supply.ID, supply.Idle - across(f.net.source[s]), false}}
	if len(f.net.feeds[l.Board]) > 0 {
		hops = append(hops, Hop{"feed of the board", across(f.net.feeds[l.Board][0]), true})
	}
	home := f.net.pole(s, board.Switches.Other())
	if l.Return != None {
		home = f.net.back[l.Return]
	}
	wire := max(0, between(f.net.board[l.Board], home)-board.Drop-f.Coil[i]) // rounding may leave less
	hops = append(hops, Hop{"driver", board.Drop, false}, Hop{"wire", wire, true}, Hop{name(l), f.Coil[i], false})
	for r := l.Return; r != None; r = c.Returns[r].Into {
		if f.net.home[r] != None {
			hops = append(hops, Hop{"return " + c.Returns[r].ID, across(f.net.home[r]), true})
		}
	}
	return hops
}
