package cause

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// few is how many members of a run may have been pushed past its end.
const few = 2

// shifted guesses that a stretch is shifted along its pins: what hangs nowhere
// was pushed past one end, and pins of which no row speaks are left at the
// other.
func (g *guesser) shifted() {
	rows := g.r.Soldered()
	free, all := g.unlisted(), g.lost()
	for _, s := range g.stretches() {
		if len(all) == 0 {
			return
		}
		first := rows[s[0].row].Items[s[0].at]
		lost := slices.DeleteFunc(slices.Clone(all), func(item wiring.Item) bool { return !besides(item, first) })
		if len(lost) == 0 || len(lost) > few || len(s) < 2 {
			continue
		}
		for _, order := range bothWays(lost) {
			for _, behind := range []bool{false, true} {
				if pins, ok := g.beside(s, free, len(lost), behind); ok {
					g.shiftedOnto(pins, s, order, behind)
				}
			}
		}
	}
}

// shiftedOnto guesses that a stretch and what was lost of it hang on these pins
// one after the other. What was lost begins where the pins that are left lie
// behind the stretch.
func (g *guesser) shiftedOnto(pins []wiring.Terminal, s stretch, lost []wiring.Item, behind bool) {
	c := newChange()
	var run, pushed []wiring.Row
	for _, e := range s {
		c.unhang[e] = true
		run = append(run, partOfRow(g.r.Soldered()[e.row], []int{e.at}))
	}
	for _, item := range lost {
		row := wiring.Row{Items: []wiring.Item{item}}
		row.Kind, row.Item, _ = item.Words(g.in)
		pushed = append(pushed, row)
	}
	if c.hang = slices.Concat(run, pushed); behind {
		c.hang = slices.Concat(pushed, run)
	}
	for i := range c.hang {
		c.hang[i].Pins = pins[i : i+1]
	}
	o := g.changed(c)
	c.hang = hangInRuns(c.hang)
	g.keep(guess{rule: "run-shifted", cure: c, row: -1, size: len(pins)}, o)
}

// bothWays is a list as it is and, of several, in the opposite order.
func bothWays[T any](list []T) [][]T {
	if len(list) < 2 {
		return [][]T{list}
	}
	back := slices.Clone(list)
	slices.Reverse(back)
	return [][]T{list, back}
}

// lost are the things that hang nowhere, in their order.
func (g *guesser) lost() (lost []wiring.Item) {
	for item, thing := range g.things.number {
		if counts(g.in, item) && len(g.w.of[thing]) == 0 {
			lost = append(lost, item)
		}
	}
	slices.SortFunc(lost, func(a, b wiring.Item) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), a.Index-b.Index, a.Of-b.Of, a.Note-b.Note)
	})
	return lost
}

// besides reports whether two things may hang in one stretch.
func besides(a, b wiring.Item) bool {
	return a.Kind == b.Kind && (a.Note == 0 || a.Index == b.Index && a.Of == b.Of)
}

// unlisted are the terminals of which no row of the wiring speaks.
func (g *guesser) unlisted() []wiring.Terminal {
	listed := map[wiring.Terminal]bool{}
	for _, row := range g.r.Soldered() {
		for _, t := range row.Pins {
			listed[t] = true
		}
	}
	for _, j := range g.r.Joins {
		for _, t := range j.From {
			listed[t] = true
		}
	}
	var free []wiring.Terminal
	add := func(on, pins int) {
		for pin := 1; pin <= pins; pin++ {
			if t := (wiring.Terminal{On: on, Pin: pin}); !listed[t] {
				free = append(free, t)
			}
		}
	}
	for on, b := range g.r.Boards {
		add(on, b.Pins)
	}
	for i, s := range g.r.Strips {
		add(len(g.r.Boards)+i, s.Pins)
	}
	return free
}

// beside are the pins of a stretch with so many free ones, the nearest before
// its first pin or behind its last.
func (g *guesser) beside(s stretch, free []wiring.Terminal, count int, behind bool) ([]wiring.Terminal, bool) {
	rows := g.r.Soldered()
	var pins []wiring.Terminal
	for _, e := range s {
		pins = append(pins, rows[e.row].Pins[e.at])
	}
	at, _ := slices.BinarySearchFunc(free, pins[0], compareTerminals)
	if behind {
		at, _ = slices.BinarySearchFunc(free, pins[len(pins)-1], compareTerminals)
		if at+count > len(free) {
			return nil, false
		}
		return slices.Concat(pins, free[at:at+count]), true
	}
	if at < count {
		return nil, false
	}
	return slices.Concat(free[at-count:at], pins), true
}

// shiftedRow guesses that the pins of a row are shifted along its notes: a note
// beyond one end of it is lost, and at the other end a pin that no row uses.
func (g *guesser) shiftedRow(i int, s wiring.Switch) {
	if s.Len() < 2 || s.Line == "" {
		return
	}
	free := g.unused(s.Kind)
	n := s.Len()
	ahead, back := s.Notes[n-1]-s.Notes[n-2], s.Notes[0]-s.Notes[1]
	for count := 1; count <= min(few, len(free)); count++ {
		var next, last []console.Note
		for k := range console.Note(count) {
			next, last = append(next, s.Notes[n-1]+ahead*(k+1)), slices.Insert(last, 0, s.Notes[0]+back*(k+1))
		}
		for at := range len(free) - count + 1 {
			for _, pins := range bothWays(free[at : at+count]) {
				up, down := s, s
				up.Notes, up.Pins = slices.Concat(s.Notes[:n], next), slices.Concat(pins, s.Pins[:n])
				down.Notes, down.Pins = slices.Concat(last, s.Notes[:n]), slices.Concat(s.Pins[:n], pins)
				g.shiftedTo(i, s, up)
				g.shiftedTo(i, s, down)
			}
		}
	}
}

// shiftedTo guesses that a row should be another, if other rows have the notes
// that it then has on its line too.
func (g *guesser) shiftedTo(i int, s, other wiring.Switch) {
	known := map[console.Note]bool{}
	for k, row := range g.r.Switch {
		if row.Line == s.Line && k != i {
			for _, n := range row.Notes {
				known[n] = true
			}
		}
		if row.Kind == wiring.Couple && row.To == s.Line {
			for _, n := range row.ToNotes {
				known[n] = true
			}
		}
	}
	for _, n := range s.Notes {
		known[n] = true
	}
	if !slices.ContainsFunc(other.Notes, func(n console.Note) bool { return !known[n] }) {
		g.keep(guess{rule: "run-shifted", cure: replaced(i, s, other), row: i, size: len(other.Pins)}, g.switched(i, other))
	}
}

// unused are the pins on which something hangs that a row should read or
// drive, and that no row does.
func (g *guesser) unused(kind wiring.SwitchKind) []wiring.Terminal {
	used := map[int]bool{}
	for _, s := range g.rows {
		for _, net := range s.nets {
			used[net] = true
		}
	}
	direction := wiring.Output
	if kind == wiring.Read {
		direction = wiring.Input
	}
	var free []wiring.Terminal
	for net := range g.w.nets.Len() {
		if used[net] || len(g.w.on[net]) == 0 {
			continue
		}
		if t, ok := g.w.nets.Pin(net, direction); ok {
			free = append(free, t)
		}
	}
	const some = 12
	return free[:min(len(free), some)]
}

// shiftedJoin guesses that the wires of a join are shifted: a pin that is
// driven leads nowhere, and a terminal on which something hangs is not joined.
func (g *guesser) shiftedJoin(i int, j wiring.Join) {
	driven := map[int]bool{}
	for _, s := range g.rows {
		for _, net := range s.nets {
			driven[net] = true
		}
	}
	var from, to []wiring.Terminal
	for net := range g.w.nets.Len() {
		t := g.w.nets.Terminals(net)[0]
		switch hung := len(g.w.on[net]) > 0; {
		case t.On >= len(g.r.Boards) && hung:
			to = append(to, t)
		case t.On < len(g.r.Boards) && driven[net] && !hung && t.On == j.From[0].On:
			from = append(from, t)
		}
	}
	if len(from) == 0 || len(from) > few || len(from) != len(to) || len(j.From) != len(j.To) {
		return
	}
	other := j
	other.From, other.To, other.Wires = slices.Concat(j.From, from), slices.Concat(j.To, to), nil
	slices.SortFunc(other.From, compareTerminals)
	slices.SortFunc(other.To, compareTerminals)
	c := newChange()
	for at := range j.From {
		c.unjoin[element{i, at}] = true
	}
	c.joins = []wiring.Join{other}
	g.keep(guess{rule: "run-shifted", cure: c, row: -1, size: len(other.From)}, g.changed(c))
}
