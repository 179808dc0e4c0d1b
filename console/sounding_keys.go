package console

// contact makes (by 1) or breaks (by -1) a contact under key n of keyboard m,
// as the transfers and the transposer place it.
func (s *Sounding) contact(contact, m, n int, by int32) {
	m, n = s.keyboards[m].plays, n+s.transpose
	if n < 0 || n >= noteCount {
		return
	}
	for _, d := range s.keyboards[m].divisions {
		if s.divisions[d].home.has(n) {
			s.reachLine(contact, d, n, by)
		}
	}
	for _, key := range s.reach(contact, m, n) {
		was := s.moved[key]
		s.moved[key] = was + by
		if was == 0 || was+by == 0 {
			s.moveKey(int(key), by)
		}
	}
}

// reach is the keys that a held key moves, itself first, as indices of moved.
func (s *Sounding) reach(contact, m, n int) []int32 {
	s.queue = s.queue[:0]
	s.meet(contact, m, n)
	for i := 0; i < len(s.queue); i++ {
		row, n := int(s.queue[i])/noteCount, int(s.queue[i])%noteCount
		contact, m := row/len(s.keyboards), row%len(s.keyboards)
		for j := range s.keyboards[m].movers {
			by := &s.keyboards[m].movers[j]
			if !by.keys.has(n) || by.deep && contact == first {
				continue
			}
			s.meet(contact, by.keyboard, n+by.shift)
			if by.deep {
				s.meet(first, by.keyboard, n+by.shift)
			}
		}
	}
	for _, key := range s.queue {
		s.seen[key] = false
	}
	return s.queue
}

func (s *Sounding) meet(contact, m, n int) {
	if key := int32(s.keyboard(contact, m)*noteCount + n); !s.seen[key] {
		s.seen[key] = true
		s.queue = append(s.queue, key)
	}
}

// moveKey passes on that a key, by its index in moved, went down or came up.
func (s *Sounding) moveKey(key int, by int32) {
	row, n := key/noteCount, key%noteCount
	contact, m := row/len(s.keyboards), row%len(s.keyboards)
	s.movedSet[row].put(n, by > 0)
	ways := &s.keyboards[m]
	for _, d := range ways.divisions {
		s.reachOwn(contact, d, n, by)
	}
	for i := range ways.foreign {
		w := &ways.foreign[i]
		switch {
		case w.deep && contact == first:
		case w.picks == PicksAll:
			s.pass(w, contact, n, by)
		default:
			s.pick(w, contact, s.movedSet[row])
		}
	}
}

// pick passes the key that w chooses of those that are down.
func (s *Sounding) pick(w *coupling, contact int, down noteSet) {
	was, now := w.picked[contact], down.and(w.keys).lowest()
	if w.picks == PicksHighest {
		now = down.and(w.keys).highest()
	}
	if was == now {
		return
	}
	w.picked[contact] = now
	if was != None {
		s.pass(w, contact, was, -1)
	}
	if now != None {
		s.pass(w, contact, now, 1)
	}
}

// pass takes key n through a coupling.
func (s *Sounding) pass(w *coupling, contact, n int, by int32) {
	if w.line.has(n) {
		s.reachLine(contact, w.division, n+w.shift, by)
		if w.deep {
			s.reachLine(first, w.division, n+w.shift, by)
		}
	}
	if w.own.has(n) {
		s.reachOwn(contact, w.division, n+w.shift, by)
		if w.deep {
			s.reachOwn(first, w.division, n+w.shift, by)
		}
	}
}

// reachOwn counts a way to what the own couplers of a division read.
func (s *Sounding) reachOwn(contact, d, n int, by int32) {
	i := s.division(contact, d)*noteCount + n
	was := s.own[i]
	s.own[i] = was + by
	if was != 0 && was+by != 0 {
		return
	}
	for j := range s.divisions[d].own {
		if w := &s.divisions[d].own[j]; !w.deep || contact == second {
			s.pass(w, contact, n, by)
		}
	}
}

// reachLine counts a way to a note of a division's line.
func (s *Sounding) reachLine(contact, d, n int, by int32) {
	i := s.division(contact, d)*noteCount + n
	was := s.line[i]
	s.line[i] = was + by
	if was == 0 || was+by == 0 {
		s.lines.add(int32(i))
	}
}
