package listen

import (
	"maps"
	"slices"

	"trundle/console"
	"trundle/sim/equation"
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

// mostLooked is how many tries are looked into for those.
const mostLooked = 2000

// turning is how many keys are pressed in the time in which knobs are moved.
// Common practice, no source.
const turning = 4

// compared is how many valves are compared in all to prove that mistakes change
// nothing, or to find where they do.
const compared = 200_000

// Plan plans what to play, with up to so many stops of a division drawn at a time.
// First for pins that are open and rows that are missing, of which most else follows;
// then for all else that those do not show.
func (l *Listener) Plan(together int) Plan {
	plainly := newPool(l)
	plainly.plainly()
	p := &planning{pool: newPool(l), plays: []bool{}, full: map[int32]bool{}}
	p.plan.OneByOne = len(plainly.tries) - len(plainly.regs)
	p.bare()
	p.together(together)
	p.strays()
	p.couplers()
	p.meetings()
	var first, then, asking []fault.Site
	for _, site := range l.sites() {
		switch {
		case l.asks(site):
			asking = append(asking, site)
		case site.Class == "pin-open" || site.Class == "row-missing":
			first = append(first, site)
		default:
			then = append(then, site)
		}
	}
	p.hear(first)
	p.hear(then)
	p.hearAsking(asking)
	p.prove()
	p.plan.Steps = p.steps(p.chosen)
	return p.plan
}

// planning is a plan as it is made, of the tries in a pool.
type planning struct {
	*pool
	chosen []int32
	plays  []bool         // by try: it is chosen
	full   map[int32]bool // registrations that are crowds
	plan   Plan
	missed []unshown
}

// hear has played what shows some mistakes.
func (p *planning) hear(sites []fault.Site) {
	var sets [][]int32
	for _, site := range sites {
		for i := range site.Count {
			p.plan.Mistakes++
			x := p.l.m.patchOf(site.Edit(i))
			if len(p.heardIn(x, 1, p.plays)) > 0 {
				p.plan.Heard++
			} else if p.l.m.inert(x) {
				p.plan.Silent = count(p.plan.Silent, site, i)
			} else if heard := p.heardIn(x, enough, nil); len(heard) > 0 {
				p.plan.Heard++
				sets = append(sets, heard)
			} else {
				p.missed = append(p.missed, unshown{site, i, x})
			}
		}
	}
	p.play(sets)
}

// play has tries played so that each set has one of them.
func (p *planning) play(sets [][]int32) {
	begun := make([]bool, len(p.regs))
	for _, t := range p.chosen {
		begun[p.reg[t]] = true
	}
	p.chosen = append(p.chosen, cover(sets, p.reg, turning, begun)...)
	p.plays = make([]bool, len(p.tries))
	for _, t := range p.chosen {
		p.plays[t] = true
	}
}

// isPlayed reports whether a try is chosen.
func (p *planning) isPlayed(t int32) bool { return int(t) < len(p.plays) && p.plays[t] }

// prove looks into mistakes that no try has shown so far.
func (p *planning) prove() {
	var sets [][]int32
	left := compared / max(1, p.l.in.Valves)
	for _, m := range p.missed {
		heard, equal := p.heardIn(m.patch, enough, nil), false
		if len(heard) == 0 && left > 0 {
			left--
			equal = p.show(m)
			heard = p.heardIn(m.patch, enough, nil)
		}
		switch {
		case len(heard) > 0:
			p.plan.Heard++
			sets = append(sets, heard)
		case equal:
			p.plan.Silent = count(p.plan.Silent, m.site, m.way)
		default:
			p.plan.Undecided = count(p.plan.Undecided, m.site, m.way)
		}
	}
	p.play(sets)
}

// unshown is a mistake that no try has shown so far.
type unshown struct {
	site  fault.Site
	way   int
	patch patch
}

// show adds a state in which a mistake shows, as small as taking out one thing after
// the other makes it, with wind in it; or says that there is none.
func (p *pool) show(m unshown) (equal bool) {
	q := proof.Ask(p.l.in, m.site.Way(m.way).Relay)
	if len(q.Differing()) == 0 {
		return true
	}
	states := q.Witnesses()
	v := equation.NewVariables(p.l.in)
	for _, valve := range slices.Sorted(maps.Keys(states)) {
		s := v.State(states[valve])
		t := Try{Held: s.Held}
		for c, on := range s.Drawn {
			if on {
				t.Draw = append(t.Draw, c)
			}
		}
		for _, v := range p.l.in.Ventils {
			if len(v.Admits) > 0 && !slices.Contains(t.Draw, v.Control) {
				t.Draw = append(t.Draw, v.Control)
			}
		}
		slices.Sort(t.Draw)
		if p.shows(m.patch, t) {
			p.add(p.least(m.patch, t))
			return false
		}
	}
	return false
}

// shows reports whether a mistake is heard in a try.
func (p *pool) shows(x patch, t Try) bool {
	airless := airless(p.l.in, t.Draw)
	should := p.l.windy(nil, p.l.m.run(t), airless)
	defer p.l.m.put(x)()
	return !slices.Equal(should, p.l.windy(nil, p.l.m.run(t), airless))
}

// least is a try in which a mistake is heard, less what it is heard without.
func (p *pool) least(x patch, t Try) Try {
	for i := len(t.Held) - 1; i >= 0; i-- {
		if less := (Try{t.Draw, slices.Delete(slices.Clone(t.Held), i, i+1)}); p.shows(x, less) {
			t = less
		}
	}
	for i := len(t.Draw) - 1; i >= 0; i-- {
		if less := (Try{slices.Delete(slices.Clone(t.Draw), i, i+1), t.Held}); p.shows(x, less) {
			t = less
		}
	}
	return t
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

// heardIn are tries in which a mistake is heard, up to so many; only some, or any
// for nil.
func (p *pool) heardIn(x patch, most int, only []bool) []int32 {
	var heard []int32
	defer p.l.m.put(x)()
	var got []int32
	looked := 0
	for t := range p.bearing(x) {
		if only != nil && (int(t) >= len(only) || !only[t]) {
			continue
		}
		if looked++; looked > mostLooked {
			break
		}
		got = p.l.windy(got[:0], p.with(x, t), p.regs[p.reg[t]].airless)
		if !slices.Equal(got, p.open[t]) {
			if heard = append(heard, t); len(heard) == most {
				break
			}
		}
	}
	return heard
}

// with is the valves that open in a try with a mistake, which is put in.
func (p *pool) with(x patch, try int32) []int32 {
	if x.outputs {
		return p.l.m.sound(p.drove[try])
	}
	if x.labels {
		return p.l.m.runIn(p.tries[try], nil, x.row)
	}
	return p.l.m.runIn(p.tries[try], p.settled(p.reg[try]), x.row)
}

// settled is what is by a registration; nil where keys may change it.
func (p *pool) settled(reg int32) *drawn {
	if p.l.m.played {
		return nil
	}
	return p.regs[reg].drawn
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
