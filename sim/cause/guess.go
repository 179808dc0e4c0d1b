package cause

import (
	"math/bits"
	"slices"

	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// guess is one mistake that may have been made, and what is left wrong when it
// is mended.
type guess struct {
	rule string
	cure change
	left []word // by what is wrong: the states in which it still is
	gone int    // states and valves that are wrong no more
	more int    // and those that are wrong only now

	row  int      // the switching row it is about, -1 for none
	size int      // how many things are not as they should be
	odds int      // of how many of its kind it is one
	is   *suspect // that it was before
	says string   // what is wrong, of a slip in one row
}

// guesser makes guesses at a relay. What it has found helps in a trial; whether
// it cures is for a proof to say.
type guesser struct {
	in      *console.Instrument
	r       *wiring.Relay
	trial   *trial
	things  *things
	w       *wired
	rows    []*step
	names   map[string]int // of lines
	now     *run
	anew    run       // of the guess that is made, from the contacts on
	passed  run       // and from what now's rows read
	drivers [][]*step // by net: rows that drive it
	wrong   []int     // valves
	labels  []string
	want    wanted
	inTable []bool        // by net: some row reads or drives it; set by openPins
	idle    bool          // the row that is looked at had better not be there
	planned map[hang]bool // where things should hang; nil where only what sounds tells

	guesses  []guess
	slipped  []guess                // slips in rows of the table that mend something and spoil nothing, but do not mend all
	untold   [][]guess              // sets of rows of which the table has none
	refuting []map[int][]logic.Node // states in which guesses were wrong that did well in the trial
}

// newGuesser looks at a relay in states in which it goes wrong, and in those
// that have refuted guesses before.
func newGuesser(in *console.Instrument, r *wiring.Relay, refuting ...map[int][]logic.Node) *guesser {
	t := newTrials(in, 1, append(refuting, proof.Ask(in, r).Witnesses())...)[0]
	g := &guesser{in: in, r: r, trial: t, things: t.things, w: t.things.wire(r), names: map[string]int{}}
	g.rows = steps(r.Switch, g.w.nets, g.names)
	g.now = t.run(g.w, len(g.names), g.rows)
	for v, w := range g.now.wrong {
		if w != 0 {
			g.wrong = append(g.wrong, v)
		}
	}
	g.drivers = make([][]*step, g.w.nets.Len())
	for _, s := range g.rows {
		for _, net := range s.nets {
			if s.kind == wiring.Drive && net >= 0 {
				g.drivers[net] = append(g.drivers[net], s)
			}
		}
	}
	for _, s := range r.Switch {
		for _, l := range s.Control {
			if !slices.Contains(g.labels, l.Label) {
				g.labels = append(g.labels, l.Label)
			}
		}
	}
	return g
}

// outcome is what is wrong after a change: of what was wrong before, what is
// left; and how much more.
type outcome struct {
	left  []word
	gone  int
	fresh int
	moved int // what hangs elsewhere, where a plan says what is wrong
}

// judge compares what is wrong now with what was.
func (g *guesser) judge(now []word) outcome {
	o := outcome{left: make([]word, len(g.wrong))}
	for i, v := range g.wrong {
		o.left[i] = now[v] & g.now.wrong[v]
		o.gone += bits.OnesCount64(g.now.wrong[v] &^ now[v])
	}
	for v, w := range now {
		o.fresh += bits.OnesCount64(w &^ g.now.wrong[v])
	}
	return o
}

// helps reports whether more has become right than wrong.
func (o outcome) helps() bool { return o.gone > o.fresh }

// acting is the outcome when some things act otherwise.
func (g *guesser) acting(acts map[int]word) outcome {
	o := outcome{left: make([]word, len(g.wrong))}
	for i, v := range g.wrong {
		o.left[i] = g.now.wrong[v]
	}
	for thing, on := range acts {
		acts[thing], g.now.acts[thing] = g.now.acts[thing], on
	}
	seen := map[int]bool{}
	for thing := range acts {
		for _, v := range g.things.opens[thing] {
			if seen[v] {
				continue
			}
			seen[v] = true
			was, now := g.now.wrong[v], g.things.open(v, g.now.acts)^g.trial.want[v]
			if was != 0 {
				i, _ := slices.BinarySearch(g.wrong, v)
				o.left[i] = now & was
			}
			o.gone += bits.OnesCount64(was &^ now)
			o.fresh += bits.OnesCount64(now &^ was)
		}
	}
	for thing, on := range acts {
		g.now.acts[thing] = on
	}
	return o
}

// switched is the outcome of putting rows in the place of one.
func (g *guesser) switched(at int, by ...wiring.Switch) outcome {
	fresh := steps(by, g.w.nets, g.names)
	switch g.rows[at].kind {
	case wiring.Drive:
		return g.driving(g.rows[at], fresh)
	case wiring.Couple:
		return g.coupling(g.rows[at], fresh)
	}
	list := slices.Clone(g.rows)
	list[at] = &step{}
	return g.again(append(list, fresh...))
}

// again is the outcome of running other rows from the contacts on.
func (g *guesser) again(rows []*step) outcome {
	g.anew.begin(g.trial, g.w, len(g.names), rows)
	return g.judge(g.anew.wrong)
}

// added is the outcome of a row more, which couples or drives.
func (g *guesser) added(row wiring.Switch) outcome {
	fresh := steps([]wiring.Switch{row}, g.w.nets, g.names)
	if row.Kind == wiring.Drive {
		return g.driving(&step{}, fresh)
	}
	return g.coupling(&step{}, fresh)
}

// coupling is the outcome of putting rows that couple in the place of one.
func (g *guesser) coupling(old *step, by []*step) outcome {
	list := make([]*step, 0, len(g.rows)+len(by))
	for _, s := range g.rows {
		if s != old {
			list = append(list, s)
		}
	}
	g.passed.labels, g.passed.first = g.now.labels, g.now.first
	g.passed.finish(g.trial, g.w, append(list, by...))
	return g.judge(g.passed.wrong)
}

// driving is the outcome of putting rows that drive in the place of one.
func (g *guesser) driving(old *step, by []*step) outcome {
	driven := map[int]word{}
	for _, net := range old.nets {
		if net < 0 {
			continue
		}
		driven[net] = 0
		for _, s := range g.drivers[net] {
			if s != old {
				g.now.drive(s, func(n int, on word) {
					if n == net {
						driven[net] |= on
					}
				})
			}
		}
	}
	for _, s := range by {
		g.now.drive(s, func(net int, on word) {
			if _, known := driven[net]; !known {
				driven[net] = g.now.driven[net]
			}
			driven[net] |= on
		})
	}
	acts := map[int]word{}
	for net := range driven {
		for _, h := range g.w.on[net] {
			thing, on := g.w.hangs[h].thing, word(0)
			for _, place := range g.w.of[thing] {
				if now, changed := driven[g.w.hangs[place].net]; changed {
					on |= now
				} else {
					on |= g.now.driven[g.w.hangs[place].net]
				}
			}
			acts[thing] = on
		}
	}
	return g.acting(acts)
}

// hanging is the outcome of hanging things on other nets: by places in hangs.
func (g *guesser) hanging(onto map[int]int) outcome {
	if g.planned != nil {
		return g.asPlanned(onto)
	}
	exchange := func() {
		for place, net := range onto {
			onto[place], g.w.hangs[place].net = g.w.hangs[place].net, net
		}
	}
	exchange()
	defer exchange()
	acts := map[int]word{}
	for place := range onto {
		thing := g.w.hangs[place].thing
		if thing < 0 {
			continue
		}
		if g.things.made[thing] != 0 {
			return g.again(g.rows)
		}
		acts[thing] = 0
	}
	for thing := range acts {
		for _, place := range g.w.of[thing] {
			if net := g.w.hangs[place].net; net >= 0 {
				acts[thing] |= g.now.driven[net]
			}
		}
	}
	return g.acting(acts)
}

// changed is the outcome of any change.
func (g *guesser) changed(c change) outcome {
	return g.judge(g.trial.after(with(g.r, c)))
}

// keep keeps a guess that helps.
func (g *guesser) keep(x guess, o outcome) {
	if o.helps() {
		x.left, x.gone, x.more = o.left, o.gone, o.fresh
		if g.planned != nil {
			x.size = o.moved
		}
		g.guesses = append(g.guesses, x)
	}
}

// whole reports whether a guess leaves nothing wrong.
func (g guess) whole() bool {
	return g.more == 0 && !slices.ContainsFunc(g.left, func(w word) bool { return w != 0 })
}
