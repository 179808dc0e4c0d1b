package circuit

import (
	"math"
	"slices"
)

// Effort of the search.
const (
	rounds   = 60    // steps of the multipliers at the root
	deeper   = 12    // and at every other node
	maxNodes = 2000  // nodes looked at
	maxWork  = 8e6   // looks at a part of a key, about
	allWork  = 100e6 // and for all places together
	lookCost = 20    // of a key, beside its parts
	slack    = 1e-9  // rounding, as a share
)

// most is the best keys found, what they draw, and what no keys exceed. The
// two amounts are equal, within rounding, where the search came to its end
// before it had done so much work, unless enough is more: it looks for no keys
// that draw less.
func (c *cover) most(work int, enough float64) (keys []int, found, bound float64) {
	keys, found = c.better(c.best(c.scores(nil)))
	found = max(found, enough)
	root := node{multipliers: make([]float64, len(c.weights))}
	open := []node{root}
	edges := 1
	for _, parts := range c.parts {
		edges += len(parts)
	}
	limit := min(maxNodes, 1+work/(deeper*(edges+lookCost*len(c.list))))
	for looked := 0; len(open) > 0 && looked < limit; looked++ {
		at := widest(open)
		n := open[at]
		open = slices.Delete(open, at, at+1)
		if looked > 0 && c.down(n.bound) <= found*(1+slack) {
			continue
		}
		steps := deeper
		if looked == 0 {
			steps = rounds
		}
		branch := None
		keys, found, branch = c.look(&n, steps, keys, found)
		if c.down(n.bound) <= found*(1+slack) || branch == None {
			continue
		}
		open = append(open, c.branches(n, branch)...)
	}
	bound = found
	for _, n := range open {
		bound = max(bound, c.down(n.bound))
	}
	return keys, found, bound
}

// node is a part of the search: the sets of keys that have some keys and have
// not some others.
type node struct {
	forced, banned []int
	multipliers    []float64
	bound          float64
}

func widest(open []node) int {
	at := 0
	for i, n := range open {
		if n.bound > open[at].bound {
			at = i
		}
	}
	return at
}

// look lowers the bound of a node, and betters the keys found on its way.
//
// A part that n of the keys held would draw counts once: min(1, n) is at most
// m + (1-m)n for every m from 0 to 1. So with a multiplier for every part, no
// set of keys draws more than the sum of the multiplied weights and the highest
// sum of the scores of what is left, which is easy to find. Multipliers that
// make this small are found by steps along its slope (Lagrangian relaxation).
func (c *cover) look(n *node, steps int, keys []int, found float64) ([]int, float64, int) {
	drawn := make([]bool, len(c.weights)) // by the keys that are forced
	for _, k := range n.forced {
		for _, p := range c.parts[k] {
			drawn[p], n.multipliers[p] = true, 1
		}
	}
	branch := None
	bound, best := math.Inf(1), slices.Clone(n.multipliers)
	var near []int // the keys at the bound
	stride := 1.0
	for range steps {
		held, scores, possible := c.relaxed(n)
		if !possible {
			n.bound = 0
			return keys, found, None
		}
		value := total(held, scores)
		for p, w := range c.weights {
			value += w * n.multipliers[p]
		}
		if amps := c.amps(c.settle(held)); amps > found {
			keys, found = c.better(held)
		}
		if value < bound {
			bound, near = value, held
			copy(best, n.multipliers)
			branch = c.undecided(held, scores, n.forced)
		}
		if c.down(bound) <= found*(1+slack) {
			break
		}
		stride = c.step(n.multipliers, held, drawn, value-found, stride)
	}
	if len(c.picks) > 0 && c.down(bound) > found*(1+slack) { // what is picked may hide that they are near better ones
		if other, amps := c.better(near); amps > found {
			keys, found = other, amps
		}
	}
	n.multipliers = best
	if looked := n.bound; looked == 0 || bound < looked {
		n.bound = bound
	}
	return keys, found, branch
}

// relaxed is the keys of the highest sum of scores under the multipliers of a
// node, and the scores; possible is false where nobody can hold all that are
// forced.
func (c *cover) relaxed(n *node) (held []int, scores []float64, possible bool) {
	all := 1.0 // outweighs everything
	for _, w := range c.weights {
		all += w
	}
	scores = c.scores(n.multipliers)
	weighed := slices.Clone(scores)
	for _, k := range n.forced {
		weighed[k] += all
	}
	for _, k := range n.banned {
		weighed[k] = -1
	}
	held = c.best(weighed)
	for _, k := range n.forced {
		if !slices.Contains(held, k) {
			return nil, nil, false
		}
	}
	return held, scores, true
}

// step moves the multipliers of parts that are drawn more than once up, and of
// those that are not drawn down.
func (c *cover) step(m []float64, held []int, drawn []bool, gap, stride float64) float64 {
	for _, k := range held {
		c.take(k)
	}
	length := 0.0
	for p, w := range c.weights {
		if slope := w * float64(1-c.taken[p]); !drawn[p] {
			length += slope * slope
		}
	}
	if length > 0 {
		for p, w := range c.weights {
			if !drawn[p] {
				m[p] = min(1, max(0, m[p]-stride*gap/length*w*float64(1-c.taken[p])))
			}
		}
	}
	for _, k := range held {
		c.leave(k)
	}
	return stride * 0.95
}

// undecided is the key held with the highest score that is not forced, first
// among those that couplers pick; None without one.
func (c *cover) undecided(held []int, scores []float64, forced []int) int {
	best := None
	for _, k := range held {
		if slices.Contains(forced, k) {
			continue
		}
		picked := c.list[k].Keyboard >= c.keyboards
		if best == None || picked && c.list[best].Keyboard < c.keyboards || picked == (c.list[best].Keyboard >= c.keyboards) && scores[k] > scores[best] {
			best = k
		}
	}
	return best
}
