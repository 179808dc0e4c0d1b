package listen

import (
	"slices"

	"trundle/console"
	"trundle/sim/fault"
	"trundle/sim/proof"
)

// Plan is what to play so that every single mistake is heard that can be.
type Plan struct {
	Steps     []Step
	OneByOne  int // presses of every stop, coupler and unison off, each by every key
	Mistakes  int // single mistakes, of all classes
	Heard     int
	Silent    []Unheard // change nothing that sounds, in any state: proven
	Undecided []Unheard // may be heard, and are not by this plan
}

// Presses is how many keys and chords the plan presses; the silence with nothing
// held is not among them.
func (p Plan) Presses() (n int) {
	for _, s := range p.Steps {
		for _, held := range s.Held {
			if len(held) > 0 {
				n++
			}
		}
	}
	return n
}

// Step is a registration, and what to press with it one after the other.
type Step struct {
	Draw []int
	Held [][]console.Held // none held: listen to the silence
	Most int              // valves that should sound at a time
	Loud bool             // a reed is drawn
}

// Unheard are mistakes of a class that are not heard, with one of them.
type Unheard struct {
	Class, Where string
	Count        int
}

// enough is how many tries are looked for in which a mistake is heard: of these
// the plan chooses.
const enough = 6

// turning is how many keys are pressed in the time in which knobs are moved.
// Common practice, no source.
const turning = 4

// proofs is how many mistakes are proven to change nothing, or shown to; each
// takes as long as a check of the relay.
const proofs = 2000

// Plan plans what to play, with up to so many stops of a division drawn at a time.
func (l *Listener) Plan(together int) Plan {
	plainly := newPool(l)
	plainly.plainly()
	p := newPool(l)
	p.bare()
	p.together(together)
	p.couplers()
	p.meetings()
	if !l.wiring {
		p.crowds()
	}
	plan := Plan{OneByOne: len(plainly.tries) - len(plainly.regs)}
	var sets [][]int32
	var missed []unshown
	for _, site := range l.sites() {
		for i := range site.Count {
			plan.Mistakes++
			x := l.m.patchOf(site.Edit(i))
			if heard := p.heardIn(x); len(heard) > 0 {
				sets = append(sets, heard)
			} else if l.m.inert(x) {
				plan.Silent = count(plan.Silent, site, i)
			} else {
				missed = append(missed, unshown{site, i, x})
			}
		}
	}
	plan.Heard = len(sets)
	for n, m := range missed {
		heard := p.heardIn(m.patch)
		verdict := proof.NotDecided
		if len(heard) == 0 && n < proofs {
			verdict = p.show(m)
			heard = p.heardIn(m.patch)
		}
		switch {
		case len(heard) > 0:
			plan.Heard++
			sets = append(sets, heard)
		case verdict == proof.Equal:
			plan.Silent = count(plan.Silent, m.site, m.way)
		default:
			plan.Undecided = count(plan.Undecided, m.site, m.way)
		}
	}
	plan.Steps = p.steps(cover(sets, p.reg, turning))
	return plan
}

// unshown is a mistake that no try has shown so far.
type unshown struct {
	site  fault.Site
	way   int
	patch patch
}

// show adds the smallest state in which a mistake shows, with wind in it.
func (p *pool) show(m unshown) proof.Verdict {
	r := proof.Prove(p.l.in, m.site.Way(m.way).Relay)
	if r.Counterexample != nil {
		s := r.Counterexample.State
		var draw, ventils []int
		for c, on := range s.Drawn {
			if on {
				draw = append(draw, c)
			}
		}
		for _, v := range p.l.in.Ventils {
			if len(v.Admits) > 0 && !slices.Contains(draw, v.Control) {
				ventils = append(ventils, v.Control)
			}
		}
		p.add(Try{draw, s.Held})
		if len(ventils) > 0 {
			draw = append(draw, ventils...)
			slices.Sort(draw)
			p.add(Try{draw, s.Held})
		}
	}
	return r.Verdict
}

func count(list []Unheard, site fault.Site, way int) []Unheard {
	i := slices.IndexFunc(list, func(u Unheard) bool { return u.Class == site.Class })
	if i < 0 {
		i = len(list)
		list = append(list, Unheard{Class: site.Class, Where: site.Named(way).Where})
	}
	list[i].Count++
	return list
}

// heardIn are tries in which a mistake is heard: enough of them.
func (p *pool) heardIn(x patch) []int32 {
	var heard []int32
	defer p.l.m.put(x)()
	var got []int32
	for t := range p.bearing(x) {
		got = p.l.windy(got[:0], p.l.m.run(p.tries[t]), p.regs[p.reg[t]].airless)
		if !slices.Equal(got, p.open[t]) {
			if heard = append(heard, t); len(heard) == enough {
				break
			}
		}
	}
	return heard
}

// steps are tries by registration, in the order of the pool.
func (p *pool) steps(tries []int32) []Step {
	slices.Sort(tries)
	at := map[int32]int{}
	var steps []Step
	for _, t := range tries {
		reg := p.reg[t]
		i, known := at[reg]
		if !known {
			i = len(steps)
			at[reg] = i
			steps = append(steps, Step{Draw: p.regs[reg].draw, Loud: slices.ContainsFunc(p.regs[reg].draw, p.l.loud)})
		}
		steps[i].Held = append(steps[i].Held, p.tries[t].Held)
		steps[i].Most = max(steps[i].Most, len(p.open[t]))
	}
	return steps
}
