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

// Because is why a valve is open in a state: see Sounding.Because.
func Because(in *Instrument, s State, valve int) (paths []Path, total int) {
	sounding := NewSounding(in)
	sounding.Set(s)
	return sounding.Because(valve)
}

// Because is the minimal paths that hold a valve open, those with the fewest
// couplers first, then in the order of the file; the first 16 of them, and
// how many there are. A path is minimal when no other from the same key to
// the same stop passes only some of its couplers; of those that pass the same
// ones in another order, one counts. A closed valve has none.
func (s *Sounding) Because(valve int) (paths []Path, total int) {
	wants := s.wanting(valve)
	for m, keys := range s.held[first] {
		for n := range keys.all {
			key := Key{m, Note(n)}
			trails := s.trailsFrom(key)
			for stop, spots := range wants {
				for _, spot := range spots {
					for _, couplers := range trails.to[spot] {
						paths = append(paths, Path{key, couplers, stop})
					}
				}
			}
		}
	}
	paths = minimal(paths)
	return paths[:min(shownPaths, len(paths))], len(paths)
}

// minimal sorts paths and leaves those that are minimal.
func minimal(paths []Path) []Path {
	slices.SortFunc(paths, func(a, b Path) int {
		return cmp.Or(
			cmp.Compare(len(a.Couplers), len(b.Couplers)),
			cmp.Compare(a.Key.Keyboard, b.Key.Keyboard),
			cmp.Compare(a.Key.Note, b.Key.Note),
			slices.Compare(a.Couplers, b.Couplers),
			cmp.Compare(a.Stop, b.Stop))
	})
	var kept []Path
	for i, p := range paths {
		spare := false
		for j, q := range paths {
			if p.Key == q.Key && p.Stop == q.Stop && within(q.Couplers, p.Couplers) {
				spare = spare || j < i || !within(p.Couplers, q.Couplers)
			}
		}
		if !spare {
			kept = append(kept, p)
		}
	}
	return kept
}

// within reports whether every coupler of a is one of b.
func within(a, b []int) bool {
	for _, c := range a {
		if !slices.Contains(b, c) {
			return false
		}
	}
	return true
}

// wanting is, by stop that is on, the notes of lines for which it takes a valve.
func (s *Sounding) wanting(valve int) map[int][]spot {
	wants := map[int][]spot{}
	for i, stop := range s.in.Stops {
		if !s.on[stop.Control] {
			continue
		}
		at := s.stops[i]
		t := &s.takes[at.line]
		for n := range noteCount {
			if slices.Contains(t.valves[n*t.width+at.from:n*t.width+at.to], int32(valve)) {
				contact, d := at.line/len(s.divisions), at.line%len(s.divisions)
				wants[i] = append(wants[i], spot{onLine, contact, d, n})
			}
		}
	}
	return wants
}
