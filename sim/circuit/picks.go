package circuit

import (
	"slices"

	"trundle/console"
)

// pick is a coupler that takes one key of its keyboard, in a registration: it
// takes the lowest or the highest of those that the keys held bring down there.
type pick struct {
	lowest bool
	takes  []int // by key: the one taken if it is held alone, as a key of the coupler's own keyboard; None for none
}

// before reports whether of two taken keys the first is taken.
func (p pick) before(a, b int) bool { return p.lowest == (a < b) && a != b }

// taken is the key that is taken while some are held, None for none.
func (p pick) taken(keys []int) int {
	taken := None
	for _, k := range keys {
		if at := p.takes[k]; at != None && (taken == None || p.before(at, taken)) {
			taken = at
		}
	}
	return taken
}

// settle gives the couplers that pick a key the one that they really take.
func (c *cover) settle(keys []int) []int {
	if c.picks == nil {
		return keys
	}
	var held []int
	for _, k := range keys {
		if c.list[k].Keyboard < c.keyboards {
			held = append(held, k)
		}
	}
	n := len(held)
	for _, p := range c.picks {
		if taken := p.taken(held[:n]); taken != None {
			held = append(held, taken)
		}
	}
	return held
}

// branches parts a node by whether a key is held. A key that a coupler takes is
// taken because of one that is held, and then none is held that it would take
// rather: so there is a branch for each of those that may bring that about.
func (c *cover) branches(n node, key int) []node {
	with := func(forced []int, banned []int) node {
		return node{slices.Concat(n.forced, forced), slices.Concat(n.banned, banned), slices.Clone(n.multipliers), n.bound}
	}
	list := []node{with(nil, []int{key})}
	at := c.list[key].Keyboard - c.keyboards
	if at < 0 || !c.settled {
		return append(list, with([]int{key}, nil))
	}
	var banned, bring []int
	for k, taken := range c.picks[at].takes {
		switch {
		case taken == key:
			bring = append(bring, k)
		case taken != None && c.picks[at].before(taken, key):
			banned = append(banned, k)
		}
	}
	for _, k := range bring {
		list = append(list, with([]int{key, k}, banned))
		banned = append(slices.Clone(banned), k)
	}
	return list
}

// maxMovers is how many couplers that pull down keys of a picking coupler's
// keyboard are tried on and off.
const maxMovers = 2

// variants are the registrations to ask for, the full one first: what a coupler
// picks depends on which keys are pulled down, and so on the couplers that do
// that, all of which are tried on and off. Everything else only adds. Without
// picking couplers the full one is enough. settled is false where there is too
// much to try, or where two contacts under a key, transfers and divides come in:
// then the bound lets couplers pick any key.
func variants(in *console.Instrument) (list [][]bool, settled bool) {
	list = [][]bool{full(in)}
	picked := map[int]bool{}
	for _, c := range in.Couplers {
		if c.Picks != console.PicksAll {
			picked[c.Keyboard] = true
		}
	}
	if len(picked) == 0 {
		return list, true
	}
	deep := slices.ContainsFunc(in.Keyboards, func(k console.Keyboard) bool { return k.Touches > 1 })
	if deep || len(in.Transfers) > 0 {
		return list, false
	}
	movers := 0
	for _, c := range in.Couplers {
		if c.Carries != console.CarriesAll || c.Keyboard == console.None {
			continue
		}
		if movers++; movers > maxMovers || len(in.Divides) > 0 {
			return list[:1], false
		}
		for _, drawn := range slices.Clone(list) {
			less := slices.Clone(drawn)
			less[c.Control] = false
			list = append(list, less)
		}
	}
	return list, true
}

// picks are the picking couplers of an instrument in a registration that a
// hearing without picks can be set to.
func (s *Search) picks(h *hearing, drawn []bool) []pick {
	var list []pick
	var couplers []console.Coupler
	for _, c := range s.in.Couplers {
		if c.Picks != console.PicksAll {
			couplers = append(couplers, c)
			list = append(list, pick{lowest: c.Picks == console.PicksLowest, takes: make([]int, len(s.list))})
		}
	}
	if list == nil {
		return nil
	}
	for k, key := range s.list {
		own := key.Keyboard < len(s.in.Keyboards)
		if own {
			state := holding(h.in, []console.Key{key})
			state.Drawn = drawn
			h.set(state)
		}
		for i, c := range couplers {
			if list[i].takes[k] = None; own {
				list[i].takes[k] = s.takes(h, c, len(s.in.Keyboards)+i)
			}
		}
	}
	return list
}

// takes is the key that a coupler takes in the state of a hearing, as one of
// the coupler's own keyboard; None for none.
func (s *Search) takes(h *hearing, c console.Coupler, keyboard int) int {
	taken := None
	for k, key := range s.list {
		if key.Keyboard == keyboard && c.Keys.Has(key.Note) && h.sounds.Moved(c.Keyboard, key.Note) {
			if taken == None || c.Picks == console.PicksHighest {
				taken = k
			}
		}
	}
	return taken
}
