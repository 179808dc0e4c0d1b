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
	if s.takers == nil {
		s.takers = s.findTakers()
	}
	if s.trails == nil {
		s.trails = s.findTrails()
	}
	for _, t := range s.trails {
		paths = append(paths, s.pathsAlong(t, s.takers[valve])...)
	}
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

// pathsAlong is the minimal paths along a key's trails to takers, which stand
// by stop.
func (s *Sounding) pathsAlong(t trails, takers []taker) []Path {
	var paths []Path
	for len(takers) > 0 {
		stop, same := takers[0].stop, 0
		var least []int32 // trails
		for same < len(takers) && takers[same].stop == stop {
			for _, i := range t.to[takers[same].at] {
				least = t.leave(least, i)
			}
			same++
		}
		if takers = takers[same:]; !s.on[s.in.Stops[stop].Control] {
			continue
		}
		for _, i := range least {
			paths = append(paths, Path{t.key, t.couplers(i), stop})
		}
	}
	return paths
}
