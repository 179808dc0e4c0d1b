package cause

import (
	"slices"

	"trundle/sim/wiring"
)

// boards guesses that all plugs of two boards are exchanged.
func (g *guesser) boards(wrong map[wiring.Item]bool) {
	var among []int
	for b, board := range g.r.Boards {
		pins := make([]wiring.Terminal, board.Pins)
		for i := range pins {
			pins[i] = wiring.Terminal{On: b, Pin: i + 1}
		}
		if g.touches(pins, wrong) {
			among = append(among, b)
		}
	}
	for i, b := range among {
		for _, a := range among[:i] {
			if g.r.Boards[a].Direction == g.r.Boards[b].Direction && g.r.Boards[a].Pins == g.r.Boards[b].Pins {
				g.swapBoards(a, b)
			}
		}
	}
}

func (g *guesser) swapBoards(a, b int) {
	onto := map[int]int{} // by net
	for pin := 1; pin <= g.r.Boards[a].Pins; pin++ {
		x, y := g.w.nets.Of(wiring.Terminal{On: a, Pin: pin}), g.w.nets.Of(wiring.Terminal{On: b, Pin: pin})
		onto[x], onto[y] = y, x
	}
	var o outcome
	if g.r.Derived || g.planned != nil { // the switching follows the joins, wherever they lead; a plan does not speak of them
		o = g.hanging(g.plugged(onto, a, b))
	} else {
		o = g.netted(onto)
	}
	if !o.helps() {
		return
	}
	across := func(pins []wiring.Terminal) ([]wiring.Terminal, bool) {
		swapped := slices.Clone(pins)
		some := false
		for i, t := range pins {
			switch t.On {
			case a:
				swapped[i].On, some = b, true
			case b:
				swapped[i].On, some = a, true
			}
		}
		return swapped, some
	}
	c := newChange()
	for i, row := range g.r.Soldered() {
		pins, some := across(row.Pins)
		if !some {
			continue
		}
		for at := range row.Pins {
			c.unhang[element{i, at}] = true
		}
		row.Pins = pins
		c.hang = append(c.hang, row)
	}
	for i, j := range g.r.Joins {
		from, begins := across(j.From)
		to, ends := across(j.To)
		if !begins && !ends || g.r.Derived {
			continue
		}
		for at := range j.From {
			c.unjoin[element{i, at}] = true
		}
		j.From, j.To = from, to
		c.joins = append(c.joins, j)
	}
	g.keep(guess{rule: "boards-swapped", cure: c, row: -1, size: len(c.unhang)}, o)
}

// plugged is what hangs on two boards themselves, each place with the net it
// is to hang on instead.
func (g *guesser) plugged(onto map[int]int, a, b int) map[int]int {
	hung := map[int]int{}
	for i, row := range g.r.Soldered() {
		for at := range min(len(row.Pins), len(row.Items)) {
			if place := g.w.first[i] + at; row.Pins[at].On == a || row.Pins[at].On == b {
				if to, known := onto[g.w.hangs[place].net]; known {
					hung[place] = to
				}
			}
		}
	}
	return hung
}

// netted is the outcome of hanging all that hangs on some nets on others.
func (g *guesser) netted(onto map[int]int) outcome {
	hung := map[int]int{}
	for net, to := range onto {
		if net < 0 {
			continue // there is no such pin
		}
		for _, place := range g.w.on[net] {
			hung[place] = to
		}
	}
	return g.hanging(hung)
}

// joined guesses that the wires of a join are mixed up.
func (g *guesser) joined(i int, j wiring.Join) {
	if len(j.From) != len(j.To) {
		return
	}
	for _, m := range mixes(len(j.To)) {
		onto := map[int]int{}
		for k, to := range m.to {
			onto[g.w.nets.Of(j.From[k])] = g.w.nets.Of(j.From[to])
		}
		o := g.netted(onto)
		if !o.helps() {
			continue
		}
		other := j
		other.To = slices.Clone(j.To)
		c := newChange()
		for k, to := range m.to {
			other.To[to] = j.To[k]
			c.unjoin[element{i, k}] = true
		}
		c.joins = []wiring.Join{other}
		g.keep(guess{rule: m.rule, cure: c, row: -1, size: len(j.To)}, o)
	}
}
