package probe

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Through is the part of a plan that can be tried with a plug in. Keys behind the
// plug are not pressed. A registration in which they may have a say in what leads
// through it (FeedsBack) is left out, or tried without a coupler, or with a unison
// off, so that they have none.
func Through(p Plan, loop Loop, r *wiring.Relay, in *console.Instrument) Plan {
	g := guard{CompileWith(r, in, loop), loop, listMovers(in)}
	through, done := Plan{Loop: loop}, map[string]bool{}
	for i, draw := range g.all(p) {
		if draw == nil {
			continue
		}
		var chords [][]console.Held
		for _, chord := range p.Steps[i].Chords {
			chord = slices.DeleteFunc(slices.Clone(chord), func(h console.Held) bool { return loop.Has(h.Keyboard) })
			if name := stepName(draw, [][]console.Held{chord}); len(chord) > 0 && !done[name] {
				done[name] = true
				chords = append(chords, chord)
			}
		}
		if len(chords) > 0 {
			through.Steps = append(through.Steps, Step{draw, chords})
		}
	}
	return through
}

// guard finds registrations in which nothing feeds back.
type guard struct {
	x      *Running
	loop   Loop
	movers []mover
}

// all are the registrations of a plan's steps, each as it may be drawn; nil where
// none is found.
func (g guard) all(p Plan) [][]int {
	var draws [][]int
	for _, s := range p.Steps {
		draws = append(draws, append([]int{}, s.Draw...)) // none drawn is not nil
	}
	return g.without(draws)
}

// without are registrations with as little changed as is found, so that nothing
// feeds back; nil where nothing helps. All are asked at once what is tried next.
func (g guard) without(draws [][]int) [][]int {
	kept := map[string][]int{}
	tries := map[string][][]int{}
	var open []string // in order
	for i, back := range g.x.FeedsBack(draws) {
		name := stepName(draws[i], nil)
		if _, known := tries[name]; back && !known {
			tries[name], open = g.tries(draws[i]), append(open, name)
		} else if !back {
			kept[name] = draws[i]
		}
	}
	for round := 0; len(open) > 0; round++ {
		open = slices.DeleteFunc(open, func(name string) bool { return len(tries[name]) <= round })
		var next [][]int
		for _, name := range open {
			next = append(next, tries[name][round])
		}
		back, i := g.x.FeedsBack(next), -1
		open = slices.DeleteFunc(open, func(name string) bool {
			if i++; !back[i] {
				kept[name] = next[i]
			}
			return !back[i]
		})
	}
	list := make([][]int, len(draws))
	for i, draw := range draws {
		list[i] = kept[stepName(draw, nil)]
	}
	return list
}

// tries are what a registration may be changed to: a coupler less, then all of the
// keyboards behind the plug, then with what cuts, then no coupler at all.
func (g guard) tries(draw []int) (tries [][]int) {
	var behind, couplers, cutters []int // couplers in the registration; what cuts and is not
	for _, m := range g.movers {
		switch {
		case m.cuts && m.to != console.None && !slices.Contains(draw, m.control):
			cutters = append(cutters, m.control)
		case m.cuts || !slices.Contains(draw, m.control):
		case slices.ContainsFunc(m.from, g.loop.Has):
			behind = append(behind, m.control)
		default:
			couplers = append(couplers, m.control)
		}
	}
	couplers = slices.Concat(behind, couplers)
	less := func(controls ...int) []int {
		return slices.DeleteFunc(append([]int{}, draw...), func(c int) bool { return slices.Contains(controls, c) })
	}
	for _, c := range couplers {
		tries = append(tries, less(c))
	}
	tries = append(tries, less(behind...))
	for _, some := range [][]int{draw, less(behind...), less(couplers...)} {
		for _, c := range cutters {
			tries = append(tries, sortedWith(some, c))
		}
	}
	return append(tries, less(couplers...))
}

func sortedWith(draw []int, control int) []int {
	draw = append(slices.Clone(draw), control)
	slices.SortFunc(draw, cmp.Compare[int])
	return draw
}

// Untried is a row of a relay's table of which not all is tried that leads to
// looped outputs.
type Untried struct {
	Row       int
	Notes, Of int  // so many notes or pins of it are not tried, of those that lead there
	FeedsBack bool // what it asks, and a stop, let keys behind the plug have a say
	Behind    bool // what leads there comes from keys behind the plug alone
}

// Leads finds what a plan with a plug in does not try: the rows that couple or
// drive in no chord of it, note by note, of those that lead to looped outputs in
// whatever state.
func Leads(p Plan, r *wiring.Relay, in *console.Instrument) []Untried {
	x := CompileWith(r, in, p.Loop)
	leads, from := x.leads()
	tried := x.tried(p)
	var list []Untried
	for i, row := range x.rows {
		u := Untried{Row: i, Behind: true}
		for at, l := range leads[i] {
			if !l {
				continue
			}
			u.Of++
			if !tried[i][at] {
				u.Notes++
				u.Behind = u.Behind && row.notes != nil && !from[row.notes[at]]
			}
		}
		if u.Notes > 0 {
			u.FeedsBack = x.FeedsBack([][]int{x.asks(i)})[0]
			list = append(list, u)
		}
	}
	return list
}

// asks are the controls that a row asks to be on, and all stops.
func (x *Running) asks(row int) []int {
	controls := controlsOf(x.relay)
	var draw []int
	for _, s := range x.in.Stops {
		draw = append(draw, s.Control)
	}
	for _, l := range x.table[row].Control {
		if !l.Not {
			draw = append(draw, controls[l.Label]...)
		}
	}
	slices.Sort(draw)
	return slices.Compact(draw)
}

// leads tells of the places of rows that couple or drive which of them lead to
// looped outputs; and of notes of lines to which of them keys lead that are not
// behind the plug, in whatever state.
func (x *Running) leads() (leads [][]bool, from map[int]bool) {
	ends, wanted := map[int]bool{}, map[int]bool{} // nets; notes of lines
	for _, h := range x.hung {
		if h.terminal > 0 && slices.ContainsFunc(x.feeds, func(f feed) bool { return f.output == h.thing }) {
			ends[x.netOf[h.terminal]] = true
		}
	}
	leads = make([][]bool, len(x.rows))
	for i, r := range x.rows {
		leads[i] = make([]bool, max(len(r.pins), len(r.to)))
		for at, pin := range r.pins {
			if r.kind == wiring.Drive && pin > 0 && ends[x.netOf[pin]] {
				leads[i][at] = true
				if r.notes != nil {
					wanted[r.notes[at]] = true
				}
			}
		}
	}
	for grew := true; grew; {
		grew = false
		for i, r := range x.rows {
			for at, to := range r.to {
				if wanted[to] && !leads[i][at] {
					leads[i][at], wanted[r.notes[at]], grew = true, true, true
				}
			}
		}
	}
	return leads, x.pressed()
}

// pressed are the notes of lines to which keys lead that are not behind the plug.
func (x *Running) pressed() map[int]bool {
	var s space
	contacts := make([]word, len(x.contacts)+1)
	for item, c := range x.contacts {
		if item.Kind != plugKind && item.Kind != wiring.ControlKind && !x.loop.Has(item.Index) {
			contacts[c] = 1
		}
	}
	y := *x
	y.rows, y.picks = slices.Clone(x.rows), nil
	for i := range y.rows {
		y.rows[i].control, y.rows[i].order = nil, nil
	}
	s.drive(&y, contacts)
	from := map[int]bool{}
	for note, on := range s.notes {
		if on != 0 {
			from[note] = true
		}
	}
	return from
}

// tried tells which places of rows pass something in some chord of a plan.
func (x *Running) tried(p Plan) [][]bool {
	tried := make([][]bool, len(x.rows))
	for i, r := range x.rows {
		tried[i] = make([]bool, max(len(r.pins), len(r.to)))
	}
	var s space
	for _, b := range x.blocks(p, p.chords()) {
		s.drive(x, s.madeIn(x, b.contacts))
		for i, r := range x.rows {
			if s.holds[i]&b.mask() == 0 {
				continue
			}
			for at := range tried[i] {
				tried[i][at] = tried[i][at] || r.notes == nil || s.holds[i]&s.notes[r.notes[at]]&b.mask() != 0
			}
		}
	}
	return tried
}
