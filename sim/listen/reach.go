package listen

import (
	"slices"
	"strings"

	"trundle/console"
)

// reach is a key, and the coupler it needs, by which a note comes on a division's
// line; ok is false where none does.
func (l *Listener) reach(division int, n console.Note, touch int) (h console.Held, coupler []int, ok bool) {
	in := l.in
	home := in.Divisions[division].Keyboard
	if home != console.None && in.Keyboards[home].Keys.Has(n) {
		return console.Held{Key: console.Key{Keyboard: home, Note: n}, Deep: touch == 2}, nil, true
	}
	for _, c := range in.Couplers {
		if c.Division != division || c.Picks != console.PicksAll || c.Keyboard == console.None && home == console.None {
			continue
		}
		keyboard, k := c.Keyboard, n-console.Note(c.Shift)
		if keyboard == console.None {
			keyboard = home
		}
		if in.Keyboards[keyboard].Keys.Cut(c.Keys).Has(k) {
			return console.Held{Key: console.Key{Keyboard: keyboard, Note: k}, Deep: touch == 2 || c.Touch == 2}, []int{c.Control}, true
		}
	}
	return console.Held{}, nil, false
}

// draws are controls with the ventils that give wind to what is drawn, ascending.
func (l *Listener) draws(controls ...int) []int {
	draw := slices.Clone(controls)
	for _, v := range l.in.Ventils {
		if slices.ContainsFunc(v.Admits, func(rank int) bool {
			return slices.ContainsFunc(controls, func(c int) bool {
				return l.in.Controls[c].Kind == console.StopControl && l.takes(l.in.Controls[c].Index, rank)
			})
		}) {
			draw = append(draw, v.Control)
		}
	}
	slices.Sort(draw)
	return slices.Compact(draw)
}

func (l *Listener) takes(stop, rank int) bool {
	return slices.ContainsFunc(l.in.Stops[stop].Takes, func(t console.Take) bool { return t.Rank == rank })
}

// loud reports a control that draws a reed. Common practice, no source.
func (l *Listener) loud(control int) bool {
	c := l.in.Controls[control]
	return c.Kind == console.StopControl && slices.ContainsFunc(l.in.Stops[c.Index].Takes, func(t console.Take) bool {
		return strings.Contains(l.in.Ranks[t.Rank].Family, "reed")
	})
}

// notes are the notes of its line for which a stop opens a valve.
func (l *Listener) notes(stop int) []console.Note {
	s := l.in.Stops[stop]
	var list []console.Note
	span := l.in.Divisions[s.Division].Notes.Cut(s.Notes)
	for n := span.From; n <= span.To; n++ {
		if slices.ContainsFunc(s.Takes, func(t console.Take) bool { return t.Notes.Has(n) && l.in.Wants(t, n) != console.None }) {
			list = append(list, n)
		}
	}
	return list
}

// witness is the stop by which a division is heard, or its second touch: the one
// that sounds for most notes, of equals one that is not loud; None without one.
func (l *Listener) witness(division, touch int) int {
	best, most := console.None, 0
	for s, stop := range l.in.Stops {
		if stop.Division != division || stop.Touch != touch {
			continue
		}
		notes := len(l.notes(s))
		quieter := notes == most && best != console.None && l.loud(l.in.Stops[best].Control) && !l.loud(stop.Control)
		if notes > most || quieter {
			best, most = s, notes
		}
	}
	return best
}

// from are the keyboards whose keys come on a division's line, or into a coupler.
func (l *Listener) from(c console.Coupler) []int {
	home := l.in.Divisions[c.Division].Keyboard
	switch {
	case c.Keyboard != console.None:
		return []int{c.Keyboard}
	case home != console.None:
		return []int{home}
	}
	var list []int // the division floats: by those that reach it
	for _, other := range l.in.Couplers {
		if other.Division == c.Division && other.Keyboard != console.None && !slices.Contains(list, other.Keyboard) {
			list = append(list, other.Keyboard)
		}
	}
	return list
}
