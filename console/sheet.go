package console

import "slices"

// Sheet is the stop list of an instrument, added up.
type Sheet struct {
	Divisions []DivisionSheet // by division
	Totals                    // of all, with ranks that no division has
}

// DivisionSheet is the stops of a division and the sum of what stands in it.
type DivisionSheet struct {
	Stops       []StopSheet
	Percussions []StopSheet // stops that play no pipes
	Totals
}

// Totals counts stops, percussions apart, and what stands somewhere: every
// rank once, however many stops take it. A compound rank counts for as many
// ranks as it has rows where it has most.
type Totals struct {
	Stops, Ranks, Pipes int
	Percussions         int // stops
}

// StopSheet is what a stop plays.
type StopSheet struct {
	Stop     int
	Takes    []int    // ranks, each once
	Families []string // of those ranks, each once
	Ranks    Rows
	Valves   int // that its notes open
	Pipes    int // on those valves
	Adds     int // pipes of the ranks that stand in its division and that no stop of it takes before
	Repeats  []Repeat
}

// Rows is how many pipes a stop plays on one key, where they are fewest and
// where they are most.
type Rows struct{ Least, Most int }

// Repeat is where a take that folds sounds an octave again.
type Repeat struct {
	Rank  int
	Note  Note // the first note that does, counted from the middle of the keyboard outwards
	Above bool // from Note up; otherwise from Note down
}

// NewSheet adds up an instrument.
func NewSheet(in *Instrument) Sheet {
	sheet := Sheet{Divisions: make([]DivisionSheet, len(in.Divisions))}
	taken := make([]bool, len(in.Ranks))
	for i, stop := range in.Stops {
		s, d := in.stopSheet(i), &sheet.Divisions[stop.Division]
		for _, r := range s.Takes {
			if !taken[r] && in.standsIn(r) == stop.Division {
				s.Adds += in.Ranks[r].pipes()
				taken[r] = true
			}
		}
		if slices.ContainsFunc(s.Takes, func(r int) bool { return in.Ranks[r].IsPipes() }) {
			d.Stops = append(d.Stops, s)
		} else {
			d.Percussions = append(d.Percussions, s)
		}
	}
	for r, rank := range in.Ranks {
		t := Totals{Ranks: rank.mostRows(), Pipes: rank.pipes()}
		if d := in.standsIn(r); d != None {
			sheet.Divisions[d].add(t)
		} else {
			sheet.add(t)
		}
	}
	for i := range sheet.Divisions {
		d := &sheet.Divisions[i]
		d.Totals.Stops, d.Totals.Percussions = len(d.Stops), len(d.Percussions)
		sheet.add(d.Totals)
	}
	return sheet
}

func (t *Totals) add(u Totals) {
	t.Stops += u.Stops
	t.Ranks += u.Ranks
	t.Pipes += u.Pipes
	t.Percussions += u.Percussions
}

// stopSheet is what stop i plays, but for what it adds.
func (in *Instrument) stopSheet(i int) StopSheet {
	stop := in.Stops[i]
	notes := in.Divisions[stop.Division].Notes.Cut(stop.Notes)
	s := StopSheet{Stop: i}
	for _, take := range stop.Takes {
		if !slices.Contains(s.Takes, take.Rank) {
			s.Takes = append(s.Takes, take.Rank)
		}
		if family := in.Ranks[take.Rank].Family; !slices.Contains(s.Families, family) {
			s.Families = append(s.Families, family)
		}
		s.Repeats = append(s.Repeats, in.repeats(take, notes.Cut(take.Notes))...)
	}
	opened := map[int]bool{}
	var played []int // pipes, by key
	for n := notes.From; n <= notes.To; n++ {
		var valves []int
		pipes := 0
		for _, take := range stop.Takes {
			valve := in.Wants(take, n)
			if !take.Notes.Has(n) || valve == None || slices.Contains(valves, valve) {
				continue
			}
			valves = append(valves, valve)
			on := in.Ranks[take.Rank].PipesOn(valve - in.Ranks[take.Rank].First + 1)
			pipes += on
			if !opened[valve] {
				opened[valve] = true
				s.Pipes += on
			}
		}
		if len(valves) > 0 {
			played = append(played, pipes)
		}
	}
	if len(played) > 0 {
		s.Ranks = Rows{slices.Min(played), slices.Max(played)}
	}
	s.Valves = len(opened)
	return s
}

// repeats is where a take folds among notes.
func (in *Instrument) repeats(take Take, notes Span) []Repeat {
	rank := in.Ranks[take.Rank]
	low := rank.From - Note(take.Shift) // the note that wants valve 1
	high := low + Note(rank.Pipes-1)
	var repeats []Repeat
	for n := min(notes.To, low-1); n >= notes.From; n-- {
		if in.Wants(take, n) != None {
			repeats = append(repeats, Repeat{take.Rank, n, false})
			break
		}
	}
	for n := max(notes.From, high+1); n <= notes.To; n++ {
		if in.Wants(take, n) != None {
			repeats = append(repeats, Repeat{take.Rank, n, true})
			break
		}
	}
	return repeats
}

// pipes is how many pipes a rank has.
func (r Rank) pipes() int {
	pipes := 0
	for v := 1; v <= r.Pipes; v++ {
		pipes += r.PipesOn(v)
	}
	return pipes
}

// mostRows is how many pipes stand on one valve of a rank where they are most.
func (r Rank) mostRows() int {
	rows := 0
	for v := 1; v <= r.Pipes; v++ {
		rows = max(rows, r.PipesOn(v))
	}
	return rows
}

// standsIn is the division that a rank counts in: its own, or else the first
// that its chest plays, or else that of the first stop that takes it.
func (in *Instrument) standsIn(rank int) int {
	r := in.Ranks[rank]
	if r.Division != None {
		return r.Division
	}
	for _, stand := range r.Stands {
		if plays := in.Chests[stand.Chest].Plays; len(plays) > 0 {
			return plays[0]
		}
	}
	for _, stop := range in.Stops {
		if slices.ContainsFunc(stop.Takes, func(t Take) bool { return t.Rank == rank }) {
			return stop.Division
		}
	}
	return None
}
