package listen

import (
	"fmt"
	"iter"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// pool is what may be tried, each try run once in the relay without a mistake.
type pool struct {
	l     *Listener
	tries []Try
	open  [][]int32 // by try: the valves that should sound
	drove [][]int32 // by try: the nets that are driven
	reg   []int32   // by try: its registration
	regs  []registration
	known map[string]int32 // registrations, by what is drawn
	done  map[string]int32 // tries that are there

	made, node, net, driven [][]int32 // tries by item, node, and nets that are on or driven

	stride int            // only every so many keys of stops and couplers are tried, where it is more than 1
	notes  []console.Note // and these

	exact map[int32]bool // tries of which is wanted what sounds

	heard map[string]hearing // of rows that ask otherwise, by where that makes a difference

	all  []int32 // tries
	seen []int32 // by try: the last turn that it had in bearing
	turn int32
}

// registration is what is drawn.
type registration struct {
	draw    []int
	drawn   *drawn     // what is settled by it
	airless []bool     // ranks without wind; nil when all have it
	quiet   int32      // the try of it in which nothing is held
	keys    [][]opened // what each key alone should open, by keyboard; nil while nobody asked
}

// opened is what a key should open.
type opened struct {
	note console.Note
	open []int32
}

func newPool(l *Listener) *pool {
	return &pool{l: l, known: map[string]int32{}, done: map[string]int32{}, heard: map[string]hearing{}, exact: map[int32]bool{}, made: make([][]int32, len(l.m.items)), node: make([][]int32, len(l.m.nodes)),
		net: make([][]int32, len(l.m.terms)), driven: make([][]int32, len(l.m.terms))}
}

// registration is the number of what is drawn, which becomes known, with the try
// in which nothing is held.
func (p *pool) registration(draw []int) int32 {
	name := fmt.Sprint(draw)
	if r, known := p.known[name]; known {
		return r
	}
	r := int32(len(p.regs))
	p.known[name] = r
	p.regs = append(p.regs, registration{draw: draw, airless: airless(p.l.in, draw)})
	p.regs[r].quiet = p.run(Try{Draw: draw}, r)
	p.regs[r].drawn = p.l.m.settle()
	return r
}

// add adds a try, once, and says which it is.
func (p *pool) add(t Try) int32 {
	r := p.registration(t.Draw)
	if len(t.Held) == 0 {
		return p.regs[r].quiet
	}
	name := fmt.Sprint(r, t.Held)
	n, known := p.done[name]
	if !known {
		n = p.run(t, r)
		p.done[name] = n
	}
	return n
}

// run runs a try, and notes what can bear on it.
func (p *pool) run(t Try, reg int32) int32 {
	n := int32(len(p.tries))
	clear(p.heard)
	m := p.l.m
	open := m.run(t)
	p.tries, p.reg, p.open = append(p.tries, t), append(p.reg, reg), append(p.open, p.l.windy(nil, open, p.regs[reg].airless))
	for _, i := range m.made {
		p.made[i] = append(p.made[i], n)
		for _, t := range m.at[i] {
			if on := &p.net[m.net[t]]; len(*on) == 0 || (*on)[len(*on)-1] != n {
				*on = append(*on, n)
			}
		}
	}
	for _, i := range m.on {
		p.node[i] = append(p.node[i], n)
	}
	p.drove = append(p.drove, slices.Clone(m.driven))
	for _, i := range m.driven {
		p.driven[i] = append(p.driven[i], n)
	}
	return n
}

// airless are the ranks without wind, nil when all have it.
func airless(in *console.Instrument, draw []int) []bool {
	var list []bool
	for _, v := range in.Ventils {
		ranks := v.Admits
		if slices.Contains(draw, v.Control) {
			ranks = v.Cuts
		}
		for _, r := range ranks {
			if list == nil {
				list = make([]bool, len(in.Ranks))
			}
			list[r] = true
		}
	}
	return list
}

// windy appends those of some valves whose pipes have wind.
func (l *Listener) windy(to, open []int32, airless []bool) []int32 {
	if airless == nil {
		return append(to, open...)
	}
	for _, v := range open {
		if !airless[l.rankOf[v]] {
			to = append(to, v)
		}
	}
	return to
}

// bearing are the tries in which a mistake may change what sounds, each once.
func (p *pool) bearing(x patch) iter.Seq[int32] {
	m := p.l.m
	p.turn++
	for len(p.seen) < len(p.tries) {
		p.seen = append(p.seen, 0)
	}
	return func(yield func(int32) bool) {
		all := func(list []int32, where *patch) bool {
			for _, t := range list {
				if p.seen[t] == p.turn || where != nil && !p.concerned(*where, p.reg[t]) {
					continue
				}
				if p.seen[t] = p.turn; !yield(t) {
					return false
				}
			}
			return true
		}
		if len(x.stuck) > 0 {
			for _, r := range p.regs {
				if !all([]int32{r.quiet}, nil) {
					return
				}
			}
			if !x.lasting && x.turned == nil {
				all(p.every(), nil)
			}
			for _, y := range x.turned {
				s := m.r.Switch[y.row]
				for i := range s.Len() {
					if !all(p.starts(s, i), &y) {
						return
					}
				}
			}
			return
		}
		for _, h := range slices.Concat(x.lost, x.hung) {
			if !all(p.made[h.item], nil) {
				return
			}
		}
		for _, net := range x.nets {
			if len(x.parted)+len(x.joins) > 0 && !all(p.net[net], nil) || !all(p.driven[net], nil) {
				return
			}
		}
		if x.row < 0 {
			return
		}
		if x.moved != nil {
			s := m.r.Switch[x.row]
			for _, move := range x.moved {
				if !all(p.starts(s, move.At), &x) {
					return
				}
			}
			return
		}
		for _, s := range append([]wiring.Switch{m.r.Switch[x.row]}, x.rows...) {
			for i := range s.Len() {
				if !all(p.starts(s, i), &x) {
					return
				}
			}
		}
	}
}

// concerned reports whether it may make a difference in a registration that a row of
// the table is otherwise.
func (p *pool) concerned(x patch, reg int32) bool {
	labels := p.regs[reg].drawn.labels
	switch {
	case p.l.m.played || x.holds == nil:
		return true
	case x.asks != nil:
		return x.holds[0].among(labels) != x.asks.among(labels)
	}
	return slices.ContainsFunc(x.holds, func(r row) bool { return r.among(labels) })
}

// starts are the tries in which a place of a row may pass something on.
func (p *pool) starts(s wiring.Switch, place int) []int32 {
	m := p.l.m
	if s.Kind != wiring.Couple {
		switch pin := m.terminal(s.Pins[place]); {
		case pin < 0 && s.Kind == wiring.Read:
			return nil
		case s.Kind == wiring.Read:
			return p.net[m.net[pin]]
		case s.Line == "":
			return p.every()
		}
	}
	if n := m.find(s.Line, s.Notes[place]); n >= 0 {
		return p.node[n]
	}
	return nil
}

// every are all tries.
func (p *pool) every() []int32 {
	for len(p.all) < len(p.tries) {
		p.all = append(p.all, int32(len(p.all)))
	}
	return p.all
}

// changes are the registrations in which a mistake changes whether a row holds;
// nil where that is not all that it changes, or not all that matters.
func (p *pool) changes(x patch) []bool {
	if x.asks == nil || p.l.m.played {
		return nil
	}
	changed := make([]bool, len(p.regs))
	for reg := range p.regs {
		changed[reg] = p.concerned(x, int32(reg))
	}
	return changed
}
