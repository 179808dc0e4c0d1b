package console

import "slices"

// spot is a place on the way from a key to a line.
type spot struct {
	kind    spotKind
	contact int
	of      int // keyboard or division
	note    int
}

type spotKind uint8

const (
	movedKey spotKind = iota // a key that is down
	ownKey                   // a note that own couplers of a division read
	onLine                   // a note of a division's line
)

// trails is how one held key comes to every spot it reaches: lists of
// couplers in the order passed, none of which passes all that another does.
type trails struct {
	to    map[spot][][]int
	queue []trail
}

type trail struct {
	at       spot
	couplers []int
}

// trailsFrom follows a held key along every way that is open now.
func (s *Sounding) trailsFrom(key Key) trails {
	t := trails{to: map[spot][][]int{}}
	m, n := s.keyboards[key.Keyboard].plays, int(key.Note)+s.transpose
	if n < 0 || n >= noteCount {
		return t
	}
	for contact := range contacts {
		if !s.held[contact][key.Keyboard].has(int(key.Note)) {
			continue
		}
		for _, d := range s.keyboards[m].divisions {
			if s.divisions[d].home.has(n) {
				t.arrive(spot{onLine, contact, d, n}, nil)
			}
		}
		t.arrive(spot{movedKey, contact, m, n}, nil)
	}
	for len(t.queue) > 0 {
		next := t.queue[0]
		t.queue = t.queue[1:]
		switch next.at.kind {
		case movedKey:
			s.leaveKey(&t, next)
		case ownKey:
			for i := range s.divisions[next.at.of].own {
				t.pass(&s.divisions[next.at.of].own[i], next)
			}
		}
	}
	return t
}

// leaveKey follows a trail on from a key that is down.
func (s *Sounding) leaveKey(t *trails, from trail) {
	at := from.at
	ways := &s.keyboards[at.of]
	for i := range ways.movers {
		by := &ways.movers[i]
		if by.keys.has(at.note) {
			t.through(by.coupler, by.deep, from, spot{movedKey, at.contact, by.keyboard, at.note + by.shift})
		}
	}
	for _, d := range ways.divisions {
		t.arrive(spot{ownKey, at.contact, d, at.note}, from.couplers)
	}
	for i := range ways.foreign {
		w := &ways.foreign[i]
		if w.picks == PicksAll || w.picked[at.contact] == at.note {
			t.pass(w, from)
		}
	}
}

// pass takes a trail through a coupling.
func (t *trails) pass(w *coupling, from trail) {
	at := from.at
	if w.line.has(at.note) {
		t.through(w.coupler, w.deep, from, spot{onLine, at.contact, w.division, at.note + w.shift})
	}
	if w.own.has(at.note) {
		t.through(w.coupler, w.deep, from, spot{ownKey, at.contact, w.division, at.note + w.shift})
	}
}

// through passes a coupler to a spot; where it is deep, from the second
// contact's to both.
func (t *trails) through(coupler int, deep bool, from trail, to spot) {
	if deep && from.at.contact == first {
		return
	}
	couplers := append(slices.Clone(from.couplers), coupler)
	t.arrive(to, couplers)
	if deep {
		to.contact = first
		t.arrive(to, couplers)
	}
}

// arrive ends a trail at a spot, unless one that came there passes no other
// couplers; of those there it ends the ones that pass all of its own.
func (t *trails) arrive(at spot, couplers []int) {
	known := t.to[at]
	if slices.ContainsFunc(known, func(k []int) bool { return within(k, couplers) }) {
		return
	}
	known = slices.DeleteFunc(known, func(k []int) bool { return within(couplers, k) })
	t.to[at] = append(known, couplers)
	t.queue = append(t.queue, trail{at, couplers})
}
