package console

import "slices"

// keyboardWays is where the keys of a keyboard lead.
type keyboardWays struct {
	plays     int // the keyboard that its contacts stand for: itself, unless transferred
	divisions []int
	movers    []mover
	foreign   []coupling
}

// divisionWays is what leads to a division's line from its own keys.
type divisionWays struct {
	home noteSet // home keys that reach the line
	own  []coupling
}

// mover is a foreign coupler that moves another keyboard's keys.
type mover struct {
	coupler  int
	keyboard int // whose keys it moves
	shift    int
	deep     bool    // from the second contact, for both
	keys     noteSet // those it moves another by
}

// coupling is a coupler that is on. A shift takes every note of line and own
// into the division.
type coupling struct {
	coupler  int
	division int
	shift    int
	deep     bool    // from the second contact, into both
	keys     noteSet // those it passes, or picks one of
	line     noteSet // those that reach the division's line
	own      noteSet // those that reach its own couplers
	picks    Picks
	picked   [contacts]int // the key it passes now, None without one; only where it picks
}

// connect works out the ways from what is on. No key may be held meanwhile:
// the counts must be zero.
func (s *Sounding) connect() {
	in := s.in
	for m := range s.keyboards {
		ways := &s.keyboards[m]
		ways.plays, ways.divisions, ways.movers, ways.foreign = m, ways.divisions[:0], ways.movers[:0], ways.foreign[:0]
	}
	for _, t := range in.Transfers {
		if s.on[t.Control] {
			for m := range s.keyboards {
				s.keyboards[m].plays = exchanged(s.keyboards[m].plays, t.Keyboards)
			}
		}
	}
	for d, division := range in.Divisions {
		ways := &s.divisions[d]
		ways.home, ways.own = noteSet{}, ways.own[:0]
		if division.Keyboard == None {
			continue
		}
		home := &s.keyboards[division.Keyboard]
		home.divisions = append(home.divisions, d)
		if !s.cut(d, CutsKeys, CutsLine, CutsAll) {
			below, _ := s.divided(division.Keyboard)
			ways.home = spanSet(division.Notes).and(below)
		}
	}
	for i, c := range in.Couplers {
		if s.on[c.Control] {
			s.couple(i)
		}
	}
}

// couple adds a coupler that is on to the ways.
func (s *Sounding) couple(coupler int) {
	c := s.in.Couplers[coupler]
	division := s.in.Divisions[c.Division]
	w := coupling{coupler: coupler, division: c.Division, shift: c.Shift, deep: c.Touch == 2,
		keys: spanSet(c.Keys), picks: c.Picks, picked: [contacts]int{None, None}}
	lands := landingIn(division.Notes, c.Shift)
	if c.Keyboard == None {
		if !s.cut(c.Division, CutsAll) {
			w.line = w.keys.and(spanSet(division.Notes)).and(lands)
			s.divisions[c.Division].own = append(s.divisions[c.Division].own, w)
		}
		return
	}
	from, home := &s.keyboards[c.Keyboard], division.Keyboard
	_, above := s.divided(c.Keyboard)
	w.keys = w.keys.and(above)
	if !s.cut(c.Division, CutsLine, CutsAll) {
		w.line = w.keys.and(lands)
	}
	if c.Carries == CarriesOwn || home == None {
		w.own = w.keys.and(lands)
	}
	from.foreign = append(from.foreign, w)
	if c.Carries == CarriesAll && home != None {
		from.movers = append(from.movers, mover{coupler: coupler, keyboard: home, shift: c.Shift, deep: w.deep,
			keys: w.keys.and(spanSet(s.in.Keyboards[c.Keyboard].Keys)).and(landingIn(s.in.Keyboards[home].Keys, c.Shift))})
	}
}

// divided is the keys of a keyboard that reach home lines and those that pass
// its foreign couplers: all of them both, but for the divides that are on.
func (s *Sounding) divided(m int) (home, foreign noteSet) {
	home, foreign = spanSet(AllNotes), spanSet(AllNotes)
	for _, d := range s.in.Divides {
		if d.Keyboard == m && s.on[d.Control] {
			below := spanSet(Span{LowestNote, d.Split - 1})
			home, foreign = home.and(below), foreign.without(below)
		}
	}
	return home, foreign
}

// cut reports whether a unison off of a division is on that cuts one of these.
func (s *Sounding) cut(d int, cuts ...Cuts) bool {
	for _, u := range s.in.UnisonOffs {
		if u.Division == d && s.on[u.Control] && slices.Contains(cuts, u.Cuts) {
			return true
		}
	}
	return false
}

func exchanged(m int, pair [2]int) int {
	switch m {
	case pair[0]:
		return pair[1]
	case pair[1]:
		return pair[0]
	}
	return m
}
