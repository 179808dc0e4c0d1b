package circuit

import (
	"fmt"
	"slices"
)

// wires sizes the wires that have a length and carry something, all together.
func (z *sizer) wires(rep Report) {
	floors := z.with(z.c).floors(rep.Lines) // with the sizes of fuses and supplies
	first := len(z.parts)
	var lists [][]Gauge // by part
	f := &fit{}
	at := map[Part]int{}
	for _, p := range z.c.wireParts(floors) {
		if w := z.c.wire(p); w.Metres == 0 || w.Count == 0 {
			continue
		}
		at[p] = len(lists)
		lists = append(lists, z.choices(p, most(p, floors), f))
	}
	f.limit(z.c, floors, at)
	sizes, bound := f.sizes()
	z.bound = bound
	for i, size := range sizes {
		part := &z.parts[first+i]
		z.c.wire(part.Part).Gauge = lists[i][size]
		part.Copper = f.kilos[i][size]
		if part.Size == tooSmall {
			part.Size = ""
			continue
		}
		part.Size = lists[i][size].String()
		if size > f.least[i] {
			sizes[i]--
			if r := f.broken(i, sizes); r != None {
				part.Rule, part.Binds = z.binding(floors[f.rows[r].floor])
			}
			sizes[i]++
		}
	}
}

// tooSmall marks a part of which even the largest size is too small.
const tooSmall = "too small"

// choices adds a wire to the parts and to what must fit, and lists its gauges.
func (z *sizer) choices(p Part, amps float64, f *fit) []Gauge {
	w, list := z.c.wire(p), gauges(z.code, p.Kind == "cable")
	part := Sized{Part: p, ID: z.partID(p), Amps: amps, At: w.At}
	if w.Gauge.Known() {
		part.Now = w.Gauge.String()
	}
	least := 0
	for ; least < len(list); least++ {
		rule, binds := z.tooThin(p, list[least], amps)
		if rule == "" {
			break
		}
		part.Rule, part.Binds = rule, binds
	}
	if least == len(list) {
		least--
		part.Size = tooSmall
		part.Binds += ", and there is no thicker wire in the list"
	}
	kilos, ohms := make([]float64, len(list)), make([]float64, len(list))
	for i, g := range list {
		list[i] = g.Made(max(1, w.Gauge.Strands), w.Gauge.Coated)
		w.Gauge = list[i]
		kilos[i], ohms[i] = w.kilograms()*float64(z.ways(p)), w.Ohms(z.c.Settings.WiresAt)
	}
	f.kilos, f.ohms, f.least, f.of = append(f.kilos, kilos), append(f.ohms, ohms), append(f.least, least), append(f.of, nil)
	z.parts = append(z.parts, part)
	return list
}

// wireParts are the wires on the ways of some loads, feeds first, then cables,
// then returns.
func (c *Circuit) wireParts(floors []Floor) []Part {
	var parts []Part
	for _, f := range floors {
		for _, stage := range f.stages[1:] {
			if !slices.Contains(parts, stage.Part) {
				parts = append(parts, stage.Part)
			}
		}
	}
	kinds := []string{"feed", "cable", "return"}
	slices.SortFunc(parts, func(a, b Part) int {
		if a.Kind != b.Kind {
			return slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind)
		}
		return a.Index - b.Index
	})
	return parts
}

// limit gives every floor its row: of what its wires may lose, what is not
// sized takes its part beforehand. A floor that the thickest wires do not keep
// has none: no size mends that.
func (f *fit) limit(c *Circuit, floors []Floor, at map[Part]int) {
	for i, floor := range floors {
		r := row{budget: floor.Allowed, floor: i}
		if floor.Needs > 0 {
			r.budget = min(r.budget, floor.left-floor.Needs)
		}
		thickest := 0.0
		for _, stage := range floor.stages[1:] {
			if p, sized := at[stage.Part]; sized {
				r.parts, r.amps = append(r.parts, p), append(r.amps, stage.amps)
				thickest += stage.amps * f.ohms[p][len(f.ohms[p])-1]
				continue
			}
			r.budget -= stage.amps * c.wire(stage.Part).Ohms(c.Settings.WiresAt)
		}
		if r.parts == nil || thickest > r.budget {
			continue
		}
		for _, p := range r.parts {
			if !slices.Contains(f.of[p], len(f.rows)) {
				f.of[p] = append(f.of[p], len(f.rows))
			}
		}
		f.rows = append(f.rows, r)
	}
}

// tooThin is the rule that a gauge of a part breaks by itself, and why; "" for
// none.
func (z *sizer) tooThin(p Part, g Gauge, amps float64) (rule, why string) {
	limit, source, _ := g.ampacity()
	us := z.code == "us"
	switch p.Kind {
	case "feed":
		board := z.c.Boards[p.Index]
		if board.Fuse != None && z.c.Fuses[board.Fuse].Amps > limit*float64(board.Feed.Count) {
			return WireOver, fmt.Sprintf("its fuse lets %g A through (%s)", z.c.Fuses[board.Fuse].Amps, source)
		}
	case "cable":
		fuse, behind := z.fuseBefore(p.Index), g.mostBehind()
		switch {
		case us && g.thinner(26):
			return Code6506, "NEC 650.6(A): magnets ask for 26 AWG"
		case us && fuse > behind:
			return Code6508, fmt.Sprintf("NEC 650.8: its fuse is %g A, more than %g A; share the load among smaller fuses", fuse, behind)
		case amps > limit:
			return WireOver, fmt.Sprintf("a wire carries %.2f A (%s)", amps, source)
		}
	case "return":
		back := z.c.Returns[p.Index]
		switch {
		case amps > limit*float64(back.Count):
			return ReturnOver, fmt.Sprintf("it carries %.2f A (%s)", amps, source)
		case us && back.Into == None && g.thinner(14):
			return Code6506, "NEC 650.6(A): a main return asks for 14 AWG"
		}
	}
	return "", ""
}

// fuseBefore is the largest fuse that stands before a cable, 0 without any.
func (z *sizer) fuseBefore(cable int) float64 {
	most := 0.0
	for _, l := range z.c.Loads {
		if fuse := z.c.Boards[l.Board].Fuse; fuse != None && slices.Contains(l.cables(), cable) {
			most = max(most, z.c.Fuses[fuse].Amps)
		}
	}
	return most
}

// most is the most that goes through a part, or through one wire of a cable.
func most(p Part, floors []Floor) float64 {
	amps := 0.0
	for _, f := range floors {
		for _, stage := range f.stages {
			if stage.Part == p {
				amps = max(amps, stage.amps)
			}
		}
	}
	return amps
}

// ways is how many wires a part has that are not in parallel: those of a cable.
func (z *sizer) ways(p Part) int {
	if p.Kind != "cable" {
		return 1
	}
	if wires := z.relay.Cables[p.Index].Wires; wires > 0 {
		return wires
	}
	used := map[int]bool{}
	for _, l := range z.c.Loads {
		for _, leg := range l.Legs {
			if leg.Cable == p.Index {
				used[leg.Wire] = true
			}
		}
	}
	return max(1, len(used))
}

func (z *sizer) partID(p Part) string {
	switch p.Kind {
	case "feed":
		return z.relay.Boards[p.Index].ID
	case "cable":
		return z.relay.Cables[p.Index].ID
	}
	return z.c.Returns[p.Index].ID
}

// binding is the rule that keeps a part from being thinner.
func (z *sizer) binding(f Floor) (rule, why string) {
	if f.Needs > 0 && f.left-f.Needs < f.Allowed {
		return PullInLow, fmt.Sprintf("%s needs %.2f V hot", z.Name(f.Load), f.Needs)
	}
	return DropOver, fmt.Sprintf("the way to %s may lose %.2f V", z.Name(f.Load), f.Allowed)
}
