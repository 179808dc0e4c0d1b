package probe

import (
	"cmp"
	"math/bits"
	"slices"

	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// mostCompared is of how many mistakes that account for much in the first exam it
// is seen what they account for in all.
const mostCompared = 64

// candidate is a way of a site, and what it is worth: what it accounts for less
// what it would make wrong; at first, the most that it may be.
type candidate struct {
	site  *fault.Site
	way   int
	worth int
}

func worthier(a, b candidate) int { return cmp.Compare(b.worth, a.worth) }

// most is the mistake that accounts for most of what is wrong, and of several the
// likeliest; false where all would make more wrong than right.
func (d *diagnosis) most(sites []fault.Site, weight int) (f fault.Fault, found bool) {
	for _, e := range d.exams {
		e.amiss = slices.Clone(d.space.run(d.base, e.contacts))
		for v := range e.amiss {
			e.amiss[v] = (e.amiss[v] ^ e.got[v]) & e.mask()
		}
	}
	var all, best []candidate
	hope := d.hope()
	for s := range sites {
		for i := range sites[s].Count {
			if worth := hope(sites[s].Items(i)); worth > 0 {
				all = append(all, candidate{&sites[s], i, worth})
			}
		}
	}
	slices.SortStableFunc(all, worthier)
	gains := map[int]gains{}
	for _, c := range all {
		if len(best) == mostCompared && c.worth <= best[mostCompared-1].worth {
			break
		}
		if c.worth = d.first(c, gains, weight); c.worth > 0 {
			at, _ := slices.BinarySearchFunc(best, c, func(a, b candidate) int { return cmp.Or(worthier(a, b), -1) })
			best = slices.Insert(best, at, c)
			best = best[:min(len(best), mostCompared)]
		}
	}
	for i, c := range best {
		x := d.base.with(c.site.Edit(c.way))
		best[i].worth = 0
		for _, e := range d.exams {
			best[i].worth += e.worth(d.space.run(x, e.contacts), weight, e.mask())
		}
	}
	slices.SortStableFunc(best, func(a, b candidate) int {
		return cmp.Or(worthier(a, b), likelier(a.site.Named(a.way), b.site.Named(b.way)))
	})
	if len(best) == 0 || best[0].worth <= 0 {
		return f, false
	}
	return best[0].site.Way(best[0].way), true
}

// hope finds the most that mistakes may be worth in the first exam, by what hangs
// on their pins: of outputs what is wrong with their valves, of contacts what is
// wrong while one of them is made, and of a mistake in lines and controls all.
func (d *diagnosis) hope() func(items []wiring.Item) int {
	first := d.exams[0]
	byOutput, byChord, all := make([]int, len(d.base.outputs)+1), [64]int{}, 0
	for v, amiss := range first.amiss {
		n := bits.OnesCount64(amiss)
		all += n
		for ; amiss != 0; amiss &= amiss - 1 {
			byChord[bits.TrailingZeros64(amiss)]++
		}
		if n > 0 && len(d.base.loop) == 0 {
			o := d.base.valves[v]
			byOutput[o.own] += n
			for _, p := range o.pairs {
				for _, output := range []int{p.line, p.action, p.on, p.off} {
					byOutput[output] += n
				}
			}
		}
	}
	return func(items []wiring.Item) (most int) {
		made, outputs, others := word(0), false, len(items) == 0 || len(d.base.loop) > 0
		for _, item := range items {
			if c := d.base.contacts[item]; c > 0 {
				made |= d.contacts[c]
			} else if o := d.base.outputs[item]; o > 0 {
				most, outputs = most+byOutput[o], true
			}
		}
		if others || !outputs && made == 0 {
			return all
		}
		for ; made != 0; made &= made - 1 {
			most += byChord[bits.TrailingZeros64(made)]
		}
		return min(most, all)
	}
}

// worth is what a relay accounts for of what is wrong in some chords, less what it
// makes wrong, so many times.
func (e *exam) worth(run []word, weight int, chords word) (worth int) {
	for v, open := range run {
		if now := (open ^ e.got[v]) & chords; now != e.amiss[v]&chords {
			worth += bits.OnesCount64(e.amiss[v]&chords&^now) - weight*bits.OnesCount64(now&^e.amiss[v])
		}
	}
	return worth
}

// gains are by chord of the first exam what it is worth that a row lets nothing
// through, and all.
type gains struct{ shut, open [64]int }

// first is what a mistake is worth in the first exam. Of a row that only asks
// other controls both that it may do is run once, as in lets.
func (d *diagnosis) first(c candidate, known map[int]gains, weight int) (worth int) {
	first, edit := d.exams[0], c.site.Edit(c.way)
	control, is := d.gating(edit)
	if !is {
		return first.worth(d.space.run(d.base.with(edit), first.contacts), weight, first.mask())
	}
	g, is := known[edit.Row]
	if !is {
		x := *d.base
		x.rows = slices.Clone(x.rows)
		by := func(control []literal) (list [64]int) {
			x.rows[edit.Row].control = control
			run := d.space.run(&x, first.contacts)
			for i := range first.chords {
				list[i] = first.worth(run, weight, 1<<i)
			}
			return list
		}
		g = gains{by([]literal{{}}), by(nil)}
		known[edit.Row] = g
	}
	holds := asked(control, first.labels)
	for i := range first.chords {
		if holds>>i&1 == 1 {
			worth += g.open[i]
		} else {
			worth += g.shut[i]
		}
	}
	return worth
}
