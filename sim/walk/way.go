package walk

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// way is keys and controls by which the console reaches something.
type way struct {
	held  []console.Held
	drawn []int
}

func (w way) state(in *console.Instrument) console.State {
	s := console.State{Held: w.held, Drawn: make([]bool, len(in.Controls))}
	for _, c := range w.drawn {
		s.Drawn[c] = true
	}
	return s
}

// moves are the way as the organ is told of it: controls before keys.
func (w way) moves() (moves []Move) {
	for _, c := range w.drawn {
		moves = append(moves, on(wiring.ControlKind, c, 0))
	}
	for _, h := range w.held {
		moves = append(moves, on(wiring.KeyKind, h.Keyboard, int(h.Note)))
		if h.Deep {
			moves = append(moves, on(wiring.Key2Kind, h.Keyboard, int(h.Note)))
		}
	}
	return moves
}

func on(kind wiring.Kind, index, note int) Move {
	return Move{wiring.Item{Kind: kind, Index: index, Of: console.None, Note: note}, 1}
}

// play takes back what was played, and plays a way: the valves that it opens, until
// the next is played.
func (p *planner) play(w way) []int {
	var back, play []console.Change
	for _, h := range p.played.held {
		back = append(back, console.KeyUp(h.Key))
	}
	for _, c := range p.played.drawn {
		back = append(back, console.TurnOff(c))
	}
	p.sound.Apply(back...)
	for _, c := range w.drawn {
		play = append(play, console.TurnOn(c))
	}
	for _, h := range w.held {
		if h.Deep {
			play = append(play, console.KeyDeep(h.Key))
		} else {
			play = append(play, console.KeyDown(h.Key))
		}
	}
	p.played = w
	return p.sound.Apply(play...)
}

// toLine is a key, and the coupler it needs, by which a note comes on a
// division's line.
func (p *planner) toLine(division int, n console.Note, touch int) (way, bool) {
	if home := p.in.Divisions[division].Keyboard; home != console.None && p.in.Keyboards[home].Keys.Has(n) {
		return way{held: []console.Held{{Key: console.Key{Keyboard: home, Note: n}, Deep: touch == 2}}}, true
	}
	for _, c := range p.in.Couplers {
		if c.Division != division || c.Touch == 2 {
			continue
		}
		keyboard, k := c.Keyboard, n-console.Note(c.Shift)
		if keyboard == console.None { // an own coupler
			if keyboard = p.in.Divisions[division].Keyboard; keyboard == console.None {
				continue
			}
		}
		if p.in.Keyboards[keyboard].Keys.Cut(c.Keys).Has(k) {
			return way{[]console.Held{{Key: console.Key{Keyboard: keyboard, Note: k}, Deep: touch == 2}}, []int{c.Control}}, true
		}
	}
	return way{}, false
}

// toValve is the way to a valve that opens the fewest others.
func (p *planner) toValve(rank, number int) (best way, ok bool) {
	least := 0
	valve := p.in.Ranks[rank].Valve(number)
	for _, stop := range p.in.Stops {
		if !slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return t.Rank == rank }) {
			continue
		}
		for n := p.in.Divisions[stop.Division].Notes.From; n <= p.in.Divisions[stop.Division].Notes.To; n++ {
			if !p.takes(stop, n, valve) {
				continue
			}
			w, found := p.toLine(stop.Division, n, stop.Touch)
			if !found {
				continue
			}
			w.drawn = append(w.drawn, stop.Control)
			if open := p.play(w); slices.Contains(open, valve) && (!ok || len(open) < least) {
				best, least, ok = w, len(open), true
			}
		}
	}
	return best, ok
}

// takes reports whether a stop takes a valve for a note of its line.
func (p *planner) takes(stop console.Stop, n console.Note, valve int) bool {
	return stop.Notes.Has(n) && slices.ContainsFunc(stop.Takes, func(t console.Take) bool {
		return t.Notes.Has(n) && p.in.Wants(t, n) == valve
	})
}

// toAction is the stop that works an action alone, or with the fewest others.
func (p *planner) toAction(rank, division int) (way, bool) {
	best := -1
	for i, stop := range p.in.Stops {
		if division != console.None && stop.Division != division || !slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return t.Rank == rank }) {
			continue
		}
		if best < 0 || len(stop.Takes) < len(p.in.Stops[best].Takes) {
			best = i
		}
	}
	if best < 0 {
		return way{}, false
	}
	return way{drawn: []int{p.in.Stops[best].Control}}, true
}

// opens lists what hangs on pins and lets the valves speak that are open in the
// state of a way: magnets of unit chests, note lines and actions of others.
func (p *planner) opens(w way, division int) (items []wiring.Item) {
	for _, valve := range slices.Sorted(slices.Values(p.play(w))) {
		r := p.in.RankOf(valve)
		for _, item := range p.itemsOf(r, valve-p.in.Ranks[r].First+1, division) {
			if !slices.Contains(items, item) {
				items = append(items, item)
			}
		}
	}
	return items
}

// itemsOf is what hangs on pins for a valve.
func (p *planner) itemsOf(r, number, division int) []wiring.Item {
	rank := p.in.Ranks[r]
	for _, stand := range rank.Stands {
		if number < stand.From || number > stand.To {
			continue
		}
		chest := p.in.Chests[stand.Chest]
		if chest.HasNoteLines() {
			return []wiring.Item{
				{Kind: wiring.NoteKind, Index: stand.Chest, Of: wiring.NoteOf(chest, division), Note: int(rank.Note(number))},
				{Kind: wiring.ActionKind, Index: r, Of: wiring.ActionOf(p.in, r, division)},
			}
		}
	}
	return []wiring.Item{{Kind: wiring.ValveKind, Index: r, Of: console.None, Note: number}}
}
