package gen

import (
	"slices"

	"trundle/console"
)

// stops gives every rank a stop of its own, or a share in another's, and adds
// stops that borrow and extend ranks until there are enough.
func (m *maker) stops() {
	n := max(m.count(m.size.Stops), len(m.in.Ranks))
	further := max(n-len(m.in.Ranks), n/7, m.IntN(2))
	shared := m.shares(len(m.in.Ranks) - (n - further))
	for d := range m.in.Divisions {
		for r, rank := range m.in.Ranks {
			switch {
			case rank.Division != d:
			case shared[r]:
				last := &m.in.Stops[len(m.in.Stops)-1]
				last.Takes = append(last.Takes, m.take(r, 0))
				if !m.free(r) {
					last.Touch = 1 // its chest's other stops read the first contact
				}
			default:
				m.stop(console.Stop{Division: d, Takes: []console.Take{m.take(r, 0)}})
			}
		}
	}
	for len(m.in.Stops) < n {
		m.stop(m.furtherStop())
	}
}

// shares chooses ranks that share the stop of a rank before them in their
// division.
func (m *maker) shares(n int) map[int]bool {
	seen, shared := map[int]bool{}, map[int]bool{}
	var later []int
	for r, rank := range m.in.Ranks {
		if seen[rank.Division] {
			later = append(later, r)
		}
		seen[rank.Division] = true
	}
	m.Shuffle(len(later), func(i, j int) { later[i], later[j] = later[j], later[i] })
	for _, r := range later[:min(n, len(later))] {
		shared[r] = true
	}
	return shared
}

// take is what a stop draws from rank r, shift semitones above it; from a
// rank on unit chests it sometimes folds.
func (m *maker) take(r, shift int) console.Take {
	rank := m.in.Ranks[r]
	t := console.Take{Rank: r, Feet: rank.Feet, Shift: shift, Notes: console.AllNotes, Above: console.Silent, Below: console.Silent}
	if shift != 0 {
		t.Feet = feetAt(rank.Feet, shift)
	}
	if m.free(r) && m.oneIn(4) {
		t.Above = console.Fold
	}
	if m.free(r) && m.oneIn(6) {
		t.Below = console.Fold
	}
	return t
}

// free reports whether rank r stands on unit chests alone, where any note may
// open any valve.
func (m *maker) free(r int) bool {
	return !slices.ContainsFunc(m.in.Ranks[r].Stands, func(s console.Stand) bool { return m.in.Chests[s.Chest].HasNoteLines() })
}

// furtherStop is a stop on ranks that have one already: on a chest that two
// divisions play, for the other division; on unit chests at any pitch, for
// any division, for part of the compass, or a resultant. Failing all that it
// is the same stop again.
func (m *maker) furtherStop() console.Stop {
	shared, free := m.borrowable()
	if len(shared) > 0 && (len(free) == 0 || m.oneIn(4)) {
		r := pick(m, shared)
		plays := m.in.Chests[m.in.Ranks[r].Stands[0].Chest].Plays
		return console.Stop{Division: pick(m, plays[1:]), Takes: []console.Take{m.take(r, 0)}}
	}
	if len(free) == 0 {
		s := pick(m, m.in.Stops)
		return console.Stop{Division: s.Division, Takes: slices.Clone(s.Takes)}
	}
	r, octave := pick(m, free), m.size.Octave
	s := console.Stop{Division: m.in.Ranks[r].Division, Notes: console.AllNotes}
	notes := m.in.Divisions[s.Division].Notes
	split := notes.From + console.Note(min(octave, notes.Len()-1))
	switch m.IntN(5) {
	case 0: // borrowed
		s.Division = m.IntN(len(m.in.Divisions))
		s.Takes = []console.Take{m.take(r, pick(m, []int{0, octave}))}
	case 1: // a resultant
		low, fifth, high := m.take(r, 0), m.take(r, 7), m.take(r, -octave)
		low.Notes = console.Span{From: notes.From, To: split - 1}
		fifth.Notes = low.Notes
		high.Notes = console.Span{From: split, To: notes.To}
		s.Takes = []console.Take{low, fifth, high}
	case 2: // part of the compass
		s.Notes = console.Span{From: split, To: notes.To}
		s.Takes = []console.Take{m.take(r, octave)}
	default: // an extension
		s.Takes = []console.Take{m.take(r, pick(m, []int{octave, octave, 2 * octave, octave + 7, -octave}))}
	}
	return s
}

// borrowable lists the ranks on chests that two divisions play, and those on
// unit chests that have a footage.
func (m *maker) borrowable() (shared, free []int) {
	for r, rank := range m.in.Ranks {
		c := m.in.Chests[rank.Stands[0].Chest]
		switch {
		case m.free(r) && !rank.Feet.IsZero():
			free = append(free, r)
		case len(rank.Stands) == 1 && len(c.Plays) > 1:
			shared = append(shared, r)
		}
	}
	return shared, free
}

// stop adds a stop and names it after its first take.
func (m *maker) stop(s console.Stop) {
	rank := m.in.Ranks[s.Takes[0].Rank]
	if s.Notes == (console.Span{}) {
		s.Notes = console.AllNotes
	}
	s.Feet, s.Touch = s.Takes[0].Feet, 1
	home := m.in.Divisions[s.Division].Keyboard
	onUnits := !slices.ContainsFunc(s.Takes, func(t console.Take) bool { return !m.free(t.Rank) })
	if home != console.None && m.in.Keyboards[home].Touches == 2 && onUnits && m.oneIn(4) {
		s.Touch = 2
	}
	base := rankName(m.in.Divisions[s.Division].ID, rank)
	s.Name = title(rankName("", rank)[1:])
	if !s.Feet.IsZero() {
		base += "-" + s.Feet.String()
	}
	s.ID = m.id("control", base)
	m.in.Stops = append(m.in.Stops, s)
}
