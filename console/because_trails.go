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

// mostTrails bounds the trails of one key. An organ of 60 couplers, all of
// them on, needs some hundred; only couplers that move each other's keys round
// and round the compass need more.
const mostTrails = 4096

// trails is how one held key comes to every spot it reaches, by trails none
// of which passes all the couplers of another. Beyond mostTrails it follows
// only those to spots that have none yet.
type trails struct {
	key     Key
	all     []trail
	to      map[spot][]int32 // of all
	kept    int              // in to
	cut     bool             // some that should be in to are not
	fresh   []int32          // those to follow on, with fewest couplers first
	further []int32          // those that pass one coupler more
	words   int              // of the bits of a trail's couplers
}

// trail is one way to a spot.
type trail struct {
	at      spot
	passes  []uint64 // couplers, a bit each
	from    int32    // the trail that it follows on from, None at a held key
	coupler int      // that it passed last, None where it passed none
}

// trailsFrom follows a held key along every way that is open now.
func (s *Sounding) trailsFrom(key Key) trails {
	t := trails{key: key, to: map[spot][]int32{}, words: (len(s.in.Couplers) + 63) / 64}
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
				t.arrive(None, None, spot{onLine, contact, d, n})
			}
		}
		t.arrive(None, None, spot{movedKey, contact, m, n})
	}
	for len(t.fresh)+len(t.further) > 0 {
		if len(t.fresh) == 0 {
			t.fresh, t.further = t.further, t.fresh
		}
		i := t.fresh[0]
		t.fresh = t.fresh[1:]
		if !t.settle(i) {
			continue
		}
		switch at := t.all[i].at; at.kind {
		case movedKey:
			s.leaveKey(&t, i)
		case ownKey:
			for j := range s.divisions[at.of].own {
				t.pass(i, &s.divisions[at.of].own[j])
			}
		}
	}
	return t
}

// leaveKey follows trail i on from a key that is down.
func (s *Sounding) leaveKey(t *trails, i int32) {
	at := t.all[i].at
	ways := &s.keyboards[at.of]
	for j := range ways.movers {
		if by := &ways.movers[j]; by.keys.has(at.note) {
			t.through(i, by.coupler, by.deep, spot{movedKey, at.contact, by.keyboard, at.note + by.shift})
		}
	}
	for _, d := range ways.divisions {
		t.arrive(i, None, spot{ownKey, at.contact, d, at.note})
	}
	for j := range ways.foreign {
		w := &ways.foreign[j]
		if w.picks == PicksAll || w.picked[at.contact] == at.note {
			t.pass(i, w)
		}
	}
}

// pass takes trail i through a coupling.
func (t *trails) pass(i int32, w *coupling) {
	at := t.all[i].at
	if w.line.has(at.note) {
		t.through(i, w.coupler, w.deep, spot{onLine, at.contact, w.division, at.note + w.shift})
	}
	if w.own.has(at.note) {
		t.through(i, w.coupler, w.deep, spot{ownKey, at.contact, w.division, at.note + w.shift})
	}
}

// through takes trail i through a coupler to a spot; where it is deep, from
// the second contact's to both.
func (t *trails) through(i int32, coupler int, deep bool, to spot) {
	if deep && to.contact == first {
		return
	}
	t.arrive(i, coupler, to)
	if deep {
		to.contact = first
		t.arrive(i, coupler, to)
	}
}

// arrive adds a trail that follows on from another to a spot.
func (t *trails) arrive(from int32, coupler int, at spot) {
	next := trail{at: at, from: from, coupler: coupler}
	switch {
	case from == None:
		next.passes = make([]uint64, t.words)
	case coupler == None || t.all[from].passes[coupler/64]>>(coupler%64)&1 == 1:
		next.passes = t.all[from].passes
	default:
		next.passes = slices.Clone(t.all[from].passes)
		next.passes[coupler/64] |= 1 << (coupler % 64)
		t.further = append(t.further, int32(len(t.all)))
		t.all = append(t.all, next)
		return
	}
	t.fresh = append(t.fresh, int32(len(t.all)))
	t.all = append(t.all, next)
}

// settle keeps a trail at its spot, unless one there passes no other couplers.
func (t *trails) settle(i int32) bool {
	at := t.all[i].at
	for _, j := range t.to[at] {
		if within(t.all[j].passes, t.all[i].passes) {
			return false
		}
	}
	if t.kept >= mostTrails && len(t.to[at]) > 0 {
		t.cut = true
		return false
	}
	t.kept++
	t.to[at] = append(t.to[at], i)
	return true
}

// within reports whether every coupler of a is one of b.
func within(a, b []uint64) bool {
	for i := range a {
		if a[i]&^b[i] != 0 {
			return false
		}
	}
	return true
}

// leave adds trail i to least, in which no trail passes all couplers of
// another.
func (t *trails) leave(least []int32, i int32) []int32 {
	for _, j := range least {
		if within(t.all[j].passes, t.all[i].passes) {
			return least
		}
	}
	least = slices.DeleteFunc(least, func(j int32) bool { return within(t.all[i].passes, t.all[j].passes) })
	return append(least, i)
}

// couplers is the couplers that trail i passes, in order.
func (t *trails) couplers(i int32) []int {
	var couplers []int
	for ; i != None; i = t.all[i].from {
		if c := t.all[i].coupler; c != None {
			couplers = append(couplers, c)
		}
	}
	slices.Reverse(couplers)
	return couplers
}
