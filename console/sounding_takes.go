package console

import "slices"

// lineTakes is what the stops of a division that read one contact take.
type lineTakes struct {
	width  int
	valves []int32 // width valves a note of the division, None where a take wants none
	on     []int32 // the slots of the stops that are on, 0 to width-1
}

// stopSlots is where a stop's takes stand.
type stopSlots struct{ line, from, to int }

// compileTakes gives every take a slot on its stop's line, and every slot the
// valve that each note wants.
func (s *Sounding) compileTakes() {
	s.stops = make([]stopSlots, len(s.in.Stops))
	s.takes = make([]lineTakes, len(s.lineSet))
	for i, stop := range s.in.Stops {
		contact := first
		if stop.Touch == 2 {
			contact = second
		}
		line := s.division(contact, stop.Division)
		from := s.takes[line].width
		s.takes[line].width += len(stop.Takes)
		s.stops[i] = stopSlots{line, from, from + len(stop.Takes)}
	}
	for i := range s.takes {
		t := &s.takes[i]
		t.valves = slices.Repeat([]int32{None}, t.width*noteCount)
		t.on = make([]int32, 0, t.width)
	}
	for i, stop := range s.in.Stops {
		at := s.stops[i]
		t := &s.takes[at.line]
		for j, take := range stop.Takes {
			notes := spanSet(s.in.Divisions[stop.Division].Notes.Cut(stop.Notes).Cut(take.Notes))
			for n := range notes.all {
				t.valves[n*t.width+at.from+j] = int32(s.in.Wants(take, Note(n)))
			}
		}
	}
}

// Wants is the valve, among all of the instrument, that a take wants for a
// note of its division's line; None past an end of the rank.
func (in *Instrument) Wants(take Take, n Note) int {
	rank := in.Ranks[take.Rank]
	v := int(n-rank.From) + take.Shift + 1
	if over := v - rank.Pipes; over > 0 && take.Above == Fold {
		v -= 12 * ((over + 11) / 12)
	}
	if v < 1 && take.Below == Fold {
		v += 12 * ((12 - v) / 12)
	}
	if v < 1 || v > rank.Pipes {
		return None
	}
	return rank.Valve(v)
}

// turnStop lets a stop take what is on its line, or no more.
func (s *Sounding) turnStop(stop int, on bool) {
	at := s.stops[stop]
	t := &s.takes[at.line]
	by := int32(-1)
	if on {
		by = 1
	}
	for slot := at.from; slot < at.to; slot++ {
		if on {
			t.on = append(t.on, int32(slot))
		} else {
			i, last := slices.Index(t.on, int32(slot)), len(t.on)-1
			t.on[i] = t.on[last]
			t.on = t.on[:last]
		}
		for n := range s.lineSet[at.line].all {
			s.reachValve(t.valves[n*t.width+slot], by)
		}
	}
}

// followLines passes on which notes of the lines came and went.
func (s *Sounding) followLines() {
	for _, i := range s.lines.list {
		s.lines.listed[i] = false
		line, n := int(i)/noteCount, int(i)%noteCount
		now := s.line[i] != 0
		if now == s.lineSet[line].has(n) {
			continue
		}
		s.lineSet[line].put(n, now)
		by := int32(-1)
		if now {
			by = 1
		}
		t := &s.takes[line]
		valves := t.valves[n*t.width : (n+1)*t.width]
		for _, slot := range t.on {
			s.reachValve(valves[slot], by)
		}
	}
	s.lines.list = s.lines.list[:0]
}

// reachValve counts a way to a valve.
func (s *Sounding) reachValve(v, by int32) {
	if v == None {
		return
	}
	was := s.paths[v]
	s.paths[v] = was + by
	if was == 0 || was+by == 0 {
		s.valves.add(v)
	}
}

// turnVentil lets a ventil give or take the wind of its ranks.
func (s *Sounding) turnVentil(v Ventil, on bool) {
	by := int32(-1)
	if on {
		by = 1
	}
	s.block(v.Cuts, by)
	s.block(v.Admits, -by)
}

// block counts a ventil that keeps the wind from ranks.
func (s *Sounding) block(ranks []int, by int32) {
	for _, r := range ranks {
		s.airless[r] += by
		for v := range s.in.Ranks[r].Pipes {
			s.valves.add(int32(s.in.Ranks[r].First + v))
		}
	}
}

// followValves lists the valves whose state differs from the last time.
func (s *Sounding) followValves() []int {
	s.changed = s.changed[:0]
	for _, v := range s.valves.list {
		s.valves.listed[v] = false
		was, now := s.states[v], shut
		if s.paths[v] != 0 {
			now = speaking
			if s.airless[s.rankOf[v]] != 0 {
				now = windless
			}
		}
		if was == now {
			continue
		}
		s.states[v] = now
		if was == shut {
			s.open++
		} else if now == shut {
			s.open--
		}
		s.changed = append(s.changed, int(v))
	}
	s.valves.list = s.valves.list[:0]
	return s.changed
}
