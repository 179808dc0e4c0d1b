package circuit

import (
	"math"
	"slices"

	"trundle/console"
)

// cover asks which keys draw the most: each part of the load is drawn when any
// of its keys is held, once. (The weighted maximum coverage problem, under what
// a player can hold.)
type cover struct {
	list      []console.Key
	limbs     []limbs
	weights   []float64 // by part, amps
	parts     [][]int32 // by key: parts
	taken     []int32   // by part: how many of the keys at hand draw it
	keyboards int       // that there are; the keys of others are those that couplers pick
	picks     []pick    // of those others, in order
	settled   bool      // no registration picks otherwise
	room      []reach
	unit      float64 // amps that every weight is a whole number of; 0 when there is none
}

func newCover(list []console.Key, limbs []limbs, weights []float64, parts [][]int32) *cover {
	return &cover{list: list, limbs: limbs, weights: weights, parts: parts, taken: make([]int32, len(weights)), unit: unitOf(weights)}
}

// unitOf is the largest number that all weights are whole multiples of, if that
// is the least of them or a small part of it: magnets of few classes have one.
func unitOf(weights []float64) float64 {
	if len(weights) == 0 {
		return 0
	}
	const parts = 20
	for part := 1.0; part <= parts; part++ {
		unit := slices.Min(weights) / part
		if unit > 0 && !slices.ContainsFunc(weights, func(w float64) bool { return math.Abs(w/unit-math.Round(w/unit)) > 1e-7 }) {
			return unit
		}
	}
	return 0
}

// down is a bound without what no whole units come to.
func (c *cover) down(bound float64) float64 {
	if c.unit == 0 {
		return bound
	}
	return c.unit * math.Floor(bound/c.unit+1e-6)
}

func (c *cover) note(k int) console.Note { return c.list[k].Note }

// amps is what a set of keys draws.
func (c *cover) amps(keys []int) float64 {
	sum := 0.0
	for _, k := range keys {
		sum += c.take(k)
	}
	for _, k := range keys {
		c.leave(k)
	}
	return sum
}

// take holds a key, and is what that draws in addition.
func (c *cover) take(k int) float64 {
	sum := 0.0
	for _, p := range c.parts[k] {
		if c.taken[p]++; c.taken[p] == 1 {
			sum += c.weights[p]
		}
	}
	return sum
}

func (c *cover) leave(k int) {
	for _, p := range c.parts[k] {
		c.taken[p]--
	}
}

// best is the keys of the highest sum of scores.
func (c *cover) best(scores []float64) []int {
	var keys []int
	for _, l := range c.limbs {
		keys = append(keys, l.best(scores, c.note, &c.room)...)
	}
	return keys
}

// scores are the sums of the weights of each key's parts, each weighed down.
func (c *cover) scores(multipliers []float64) []float64 {
	scores := make([]float64, len(c.parts))
	for k, parts := range c.parts {
		for _, p := range parts {
			if multipliers == nil {
				scores[k] += c.weights[p]
			} else {
				scores[k] += c.weights[p] * (1 - multipliers[p])
			}
		}
	}
	return scores
}

// better is some keys as a player would have them, and what they draw, after
// exchanges that draw more.
func (c *cover) better(keys []int) ([]int, float64) {
	keys = c.settle(keys)
	improved := c.improve(keys)
	if before, after := c.amps(keys), c.amps(improved); after < before {
		return keys, before
	}
	return improved, c.amps(improved)
}

// picked is the most that keys add which couplers pick, whichever they are.
func (c *cover) picked() float64 {
	scores := c.scores(nil)
	for k, key := range c.list {
		if key.Keyboard < c.keyboards {
			scores[k] = 0
		}
	}
	return total(c.best(scores), scores)
}

// improve exchanges keys for others, one at a time, as long as that draws more.
func (c *cover) improve(keys []int) []int {
	keys = slices.Clone(keys)
	for pass := 0; pass < 4; pass++ {
		better := false
		for i := range keys {
			rest := slices.Delete(slices.Clone(keys), i, i+1)
			before := c.amps(keys)
			for _, k := range rest {
				c.take(k)
			}
			scores := make([]float64, len(c.parts))
			for k, parts := range c.parts {
				for _, p := range parts {
					if c.taken[p] == 0 {
						scores[k] += c.weights[p]
					}
				}
			}
			for _, k := range rest {
				c.leave(k)
				scores[k] += 1 + 2*before
			}
			if next := c.settle(c.best(scores)); c.amps(next) > before*(1+slack) {
				keys, better = next, true
				break
			}
		}
		if !better {
			return keys
		}
	}
	return keys
}
