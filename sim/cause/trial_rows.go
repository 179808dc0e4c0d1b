package cause

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// step is a switching row with its lines and nets as numbers.
type step struct {
	kind     wiring.SwitchKind
	line, to int // -1 for none
	control  []wiring.Literal
	notes    []console.Note
	toNotes  []console.Note
	nets     []int
	picks    console.Picks
	order    []int // of a row that picks: its places, first choice first
}

// steps compiles rows for a wiring; names numbers lines and grows.
func steps(rows []wiring.Switch, nets *wiring.Netlist, names map[string]int) []*step {
	line := func(name string) int {
		if name == "" {
			return -1
		}
		n, known := names[name]
		if !known {
			n = len(names)
			names[name] = n
		}
		return n
	}
	list := make([]*step, len(rows))
	for i, s := range rows {
		p := &step{kind: s.Kind, line: line(s.Line), to: line(s.To), control: s.Control, notes: s.Notes, toNotes: s.ToNotes, picks: s.Picks}
		if s.Kind != wiring.Couple {
			p.nets = make([]int, len(s.Pins))
			of := nets.Of
			if s.Kind == wiring.Drive {
				of = nets.DrivenBy
			}
			for k, t := range s.Pins {
				p.nets[k] = of(t)
			}
		} else if s.Picks != console.PicksAll {
			p.order = make([]int, s.Len())
			for k := range p.order {
				p.order[k] = k
			}
			slices.SortStableFunc(p.order, func(x, y int) int {
				if s.Picks == console.PicksLowest {
					return cmp.Compare(s.Notes[x], s.Notes[y])
				}
				return cmp.Compare(s.Notes[y], s.Notes[x])
			})
		}
		list[i] = p
	}
	return list
}
