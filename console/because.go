package console

import (
	"cmp"
	"slices"
)

// Path is one way from a held key to a valve.
type Path struct {
	Key      Key   // as it is held, before transfers and the transposer
	Couplers []int // in the order passed
	Stop     int
}

// shownPaths is how many paths Because returns at most.
const shownPaths = 16

// Because is the minimal paths that hold a valve open, those with the fewest
// couplers first, then in the order of the file; the first 16 of them, and
// how many there are. A path is minimal when no other from the same key to
// the same stop passes only some of its couplers; of those that pass the same
// ones in another order, one counts. A closed valve has none.
//
// Where couplers run in circles one key may have thousands of ways; then some
// are left out, those with most couplers, and PathsCut says so.
func (s *Sounding) Because(valve int) (paths []Path, total int) {
	s.eachWay(valve, func(t *trails, stop int, least []int32) {
		for _, i := range least {
			paths = append(paths, Path{t.key, t.couplers(i), stop})
		}
	})
	slices.SortFunc(paths, func(a, b Path) int {
		return cmp.Or(
			cmp.Compare(len(a.Couplers), len(b.Couplers)),
			cmp.Compare(a.Key.Keyboard, b.Key.Keyboard),
			cmp.Compare(a.Key.Note, b.Key.Note),
			slices.Compare(a.Couplers, b.Couplers),
			cmp.Compare(a.Stop, b.Stop))
	})
	return paths[:min(shownPaths, len(paths))], len(paths)
}

// PathCount is the total of Because, for much less.
func (s *Sounding) PathCount(valve int) (total int) {
	s.eachWay(valve, func(_ *trails, _ int, least []int32) { total += len(least) })
	return total
}

// PathsCut reports whether Because leaves paths out of its count as things
// stand.
func (s *Sounding) PathsCut() bool {
	if s.trails == nil {
		s.trails = s.findTrails()
	}
	return slices.ContainsFunc(s.trails, func(t trails) bool { return t.cut })
}

// findTrails follows every held key.
func (s *Sounding) findTrails() []trails {
	found := []trails{}
	for m, keys := range s.held[first] {
		for n := range keys.all {
			found = append(found, s.trailsFrom(Key{m, Note(n)}))
		}
	}
	return found
}

// taker is a stop that takes a valve for a note of its line.
type taker struct {
	stop int
	at   spot
}

// findTakers lists the takers of every valve, by stop.
func (s *Sounding) findTakers() [][]taker {
	takers := make([][]taker, s.in.Valves)
	for i, at := range s.stops {
		t := &s.takes[at.line]
		contact, d := at.line/len(s.divisions), at.line%len(s.divisions)
		for n := range noteCount {
			for _, v := range t.valves[n*t.width+at.from : n*t.width+at.to] {
				if v != None {
					takers[v] = append(takers[v], taker{i, spot{onLine, contact, d, n}})
				}
			}
		}
	}
	return takers
}

// eachWay hands on the minimal trails of each held key to each stop that is on
// and takes a valve.
func (s *Sounding) eachWay(valve int, hand func(t *trails, stop int, least []int32)) {
	if s.takers == nil {
		s.takers = s.findTakers()
	}
	if s.trails == nil {
		s.trails = s.findTrails()
	}
	var least []int32
	for takers := s.takers[valve]; len(takers) > 0; {
		stop, same := takers[0].stop, 1
		for same < len(takers) && takers[same].stop == stop {
			same++
		}
		of := takers[:same]
		if takers = takers[same:]; !s.on[s.in.Stops[stop].Control] {
			continue
		}
		for i := range s.trails {
			t := &s.trails[i]
			least = least[:0]
			for _, taker := range of {
				for _, i := range t.to[taker.at] {
					least = t.leave(least, i)
				}
			}
			hand(t, stop, least)
		}
	}
}
