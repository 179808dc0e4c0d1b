package circuit

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Worst is what a player can draw at most through one place.
type Worst struct {
	Keys  []console.Key // held, with the full registration drawn
	Amps  float64       // that they draw, each load at its nominal amps
	Bound float64       // what no keys and no registration exceed; Amps where that is proven
}

// Exact reports whether no chord can draw more than this one.
func (w Worst) Exact() bool { return w.Bound <= w.Amps*(1+slack)+slack }

// Search looks for the chords that draw the most.
type Search struct {
	c       *Circuit
	in      *console.Instrument
	hearing *hearing
	list    []console.Key
	limbs   []limbs
	nominal []float64   // by load
	always  []bool      // by load: on with the full registration, whatever is held
	ways    []ways      // by variant, that of the full registration first
	settled bool        // what couplers pick is known
	member  map[int]int // scratch: set to part
	fitful  []bool      // by load: a lamp that another registration may light
}

// ways are which keys turn loads on in a registration.
type ways struct {
	sets   []int     // by load: which set of keys turns it on, None for no key
	keysOf [][]int32 // by set
	picks  []pick
}

// NewSearch prepares a search for what one player can do.
//
// Which keys turn a load on is asked key by key, with all couplers on and none
// of them choosing among its keys: that turns on no less than any registration
// does, and there what a chord turns on is what its keys do one by one.
func NewSearch(c *Circuit, in *console.Instrument, p Player) *Search {
	s := &Search{c: c, in: in, hearing: newHearing(c, in), member: map[int]int{}}
	unpicked := unpicked(in)
	for m, keyboard := range unpicked.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			s.list = append(s.list, console.Key{Keyboard: m, Note: n})
		}
	}
	s.limbs = p.limbs(unpicked, s.list, len(in.Keyboards))
	for _, l := range c.Loads {
		s.nominal = append(s.nominal, c.Nominal(l))
	}
	more := newHearing(c, unpicked)
	s.always = c.each(more.on(holding(unpicked, nil)))
	var full [][]bool
	full, s.settled = variants(in)
	for _, drawn := range full {
		w := s.waysOf(more, registrations(in, drawn))
		w.picks = s.picks(more, drawn)
		s.ways = append(s.ways, w)
	}
	for i, l := range c.Loads {
		s.fitful = append(s.fitful, l.Item.Kind == wiring.LampKind && !c.moves(l) && !s.always[i])
	}
	return s
}

// apart is the same search, to be asked while others are.
func (s *Search) apart() *Search {
	own := *s
	own.hearing, own.member = newHearing(s.c, s.in), map[int]int{}
	return &own
}

// waysOf asks key by key.
func (s *Search) waysOf(h *hearing, registrations [][]bool) ways {
	of := make([][]int32, len(s.c.Loads))
	for k, key := range s.list {
		for _, drawn := range registrations {
			state := holding(h.in, []console.Key{key})
			state.Drawn = drawn
			for _, i := range h.on(state) {
				if last := len(of[i]) - 1; !s.always[i] && (last < 0 || of[i][last] != int32(k)) {
					of[i] = append(of[i], int32(k))
				}
			}
		}
	}
	var w ways
	known := map[string]int{}
	for _, keys := range of {
		if keys == nil {
			w.sets = append(w.sets, None)
			continue
		}
		name := make([]byte, 0, 2*len(keys))
		for _, k := range keys {
			name = append(name, byte(k), byte(k>>8))
		}
		at, met := known[string(name)]
		if !met {
			at = len(w.keysOf)
			known[string(name)] = at
			w.keysOf = append(w.keysOf, keys)
		}
		w.sets = append(w.sets, at)
	}
	return w
}

// registrations are one, and those that besides exchange keyboards with other
// keys than their own: there a hand reaches what it cannot else.
func registrations(in *console.Instrument, drawn []bool) [][]bool {
	list := [][]bool{drawn}
	for _, t := range in.Transfers {
		a, b := in.Keyboards[t.Keyboards[0]], in.Keyboards[t.Keyboards[1]]
		if a.Keys == b.Keys && a.Kind == b.Kind {
			continue
		}
		for _, drawn := range slices.Clone(list) {
			more := slices.Clone(drawn)
			more[t.Control] = true
			list = append(list, more)
		}
	}
	return list
}

// Chord is the chord that draws the most through some loads, and the bound. It
// is looked for with a share of the usual effort.
func (s *Search) Chord(loads []int, share float64) Worst {
	cover, base := s.cover(loads, s.ways[0])
	keys, found, bound := cover.most(int(share*maxWork), 0)
	for _, ways := range s.ways[1:] {
		other, _ := s.cover(loads, ways)
		_, _, most := other.most(int(share*maxWork)/len(s.ways), found)
		bound = max(bound, most)
	}
	w := Worst{Bound: base + bound}
	w.Keys = s.needed(cover, keys, found)
	return s.weighed(w, loads)
}

// needed are the keys that a player holds of some, without those that add
// nothing, in the order of the keyboards.
func (s *Search) needed(cover *cover, keys []int, found float64) []console.Key {
	for i := len(keys) - 1; i >= 0; i-- {
		if rest := cover.settle(slices.Delete(slices.Clone(keys), i, i+1)); cover.amps(rest) >= found*(1-slack) {
			keys = rest
		}
	}
	slices.Sort(keys)
	var held []console.Key
	for _, k := range keys {
		if s.list[k].Keyboard < len(s.in.Keyboards) {
			held = append(held, s.list[k])
		}
	}
	return held
}

// drawn is what loads draw while keys are held, as the instrument really plays.
func (s *Search) drawn(keys []console.Key, loads []int) float64 {
	on := s.On(keys)
	sum := 0.0
	for _, i := range loads {
		if on[i] {
			sum += s.nominal[i]
		}
	}
	return sum
}

// cover is the question for some loads, and what is drawn without any key.
func (s *Search) cover(loads []int, ways ways) (*cover, float64) {
	clear(s.member)
	base := 0.0
	var weights []float64
	parts := make([][]int32, len(s.list))
	for _, i := range loads {
		switch set := ways.sets[i]; {
		case s.always[i]:
			base += s.nominal[i]
		case set != None:
			part, met := s.member[set]
			if !met {
				part = len(weights)
				s.member[set] = part
				weights = append(weights, 0)
				for _, k := range ways.keysOf[set] {
					parts[k] = append(parts[k], int32(part))
				}
			}
			weights[part] += s.nominal[i]
		}
	}
	cover := newCover(s.list, s.limbs, weights, parts)
	cover.picks, cover.keyboards, cover.settled = ways.picks, len(s.in.Keyboards), s.settled
	return cover, base
}

// palms is how many neighbouring keys a cluster of two palms or forearms has.
const palms = 20

// Cluster is the cluster of twenty neighbouring keys of one manual that draws
// the most through some loads. There are few, and each is tried.
func (s *Search) Cluster(loads []int) Worst {
	cover, base := s.cover(loads, s.ways[0])
	var best []int
	most := 0.0
	for _, keys := range s.limbs[0].keyboards {
		for at := range keys {
			if at > 0 && at+palms > len(keys) {
				break
			}
			some := keys[at:min(at+palms, len(keys))]
			if amps := cover.amps(cover.settle(some)); amps > most {
				best, most = some, amps
			}
		}
	}
	w := Worst{Bound: base + most}
	if len(s.ways) > 1 || !s.settled {
		w.Bound += cover.picked()
	}
	for _, k := range best {
		w.Keys = append(w.Keys, s.list[k])
	}
	return s.weighed(w, loads)
}

// weighed says what a chord draws, and adds to its bound the lamps that another
// registration may light; no chord draws more than everything does.
func (s *Search) weighed(w Worst, loads []int) Worst {
	w.Amps = s.drawn(w.Keys, loads)
	for _, i := range loads {
		if s.fitful[i] {
			w.Bound += s.nominal[i]
		}
	}
	w.Bound = max(w.Amps, min(w.Bound, s.Everything(loads)))
	return w
}

// Everything is what loads draw when all that can be on together is on.
func (s *Search) Everything(loads []int) float64 {
	sum := 0.0
	for _, i := range loads {
		if !s.c.moves(s.c.Loads[i]) {
			sum += s.nominal[i]
		}
	}
	return sum
}

// On is which loads are on while keys are held with the full registration.
func (s *Search) On(keys []console.Key) []bool { return s.OnIn(holding(s.in, keys)) }

// OnIn is which loads are on in a state.
func (s *Search) OnIn(state console.State) []bool { return s.c.each(s.LoadsIn(state)) }

// LoadsIn are the loads that are on in a state, ascending.
func (s *Search) LoadsIn(state console.State) []int { return s.hearing.on(state) }

// State is the state in which keys are held with the full registration.
func (s *Search) State(keys []console.Key) console.State { return holding(s.in, keys) }
