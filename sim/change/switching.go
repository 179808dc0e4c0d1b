package change

import (
	"fmt"

	"trundle/console"
	"trundle/sim/wiring"
)

// Entry is a row of the relay's own table to take out, as it stands there, a row
// to add, or one to write in the place of the row that stands at At, of which it
// is what remains.
type Entry struct {
	Do Do // Remove, Write or Add
	wiring.Switch
}

// Switching is what a relay's own table needs to play the new instrument once
// its wiring is as Iron lists: what Derive makes of both instruments, as far as
// that differs. Lines and controls go by the names that the table has for them,
// others by those of Derive. A relay that derives its table needs nothing; of
// what Iron has no pin for, nothing is said.
func Switching(old, new *console.Instrument, r *wiring.Relay) []Entry {
	if r.Derived {
		return nil
	}
	next := *r
	next.Plan = work(old, new, r).plan()
	before, after, now := wiring.Derive(r, old), wiring.Derive(&next, new), unitsOf(r.Switch)
	n := namesOf(before, r.Switch)
	n.give(before)
	n.give(after)
	was, is := unitsOf(before), unitsOf(after)
	entries := []Entry{}
	for _, row := range r.Switch { // what another made of it stays
		switch left := only(row, func(unit string) bool { return is[unit] || !was[unit] }); left.Len() {
		case row.Len():
		case 0:
			entries = append(entries, Entry{Remove, row})
		default:
			entries = append(entries, Entry{Write, left})
		}
	}
	for _, row := range after {
		if part := only(row, func(unit string) bool { return !was[unit] && !now[unit] }); part.Len() > 0 {
			entries = append(entries, Entry{Add, part})
		}
	}
	return entries
}

// plan is the wiring as planned, done as the list says, with the items of the
// new instrument.
func (l *list) plan() []wiring.Row {
	var rows []wiring.Row
	for _, row := range l.relay.Plan {
		next := wiring.Row{At: row.At, Kind: row.Kind}
		for at := range min(len(row.Pins), len(row.Items)) {
			if t, named := l.thing(row.Items[at]); named && l.stays(t) {
				next.Pins, next.Items = append(next.Pins, row.Pins[at]), append(next.Items, l.is[t])
			}
		}
		rows = append(rows, next)
	}
	for _, h := range l.added {
		rows = append(rows, wiring.Row{Kind: h.kind, Pins: []wiring.Terminal{h.pin}, Items: []wiring.Item{l.is[h.thing]}})
	}
	return rows
}

// units are what a row does, note by note and pin by pin; a row that picks a
// note does one thing with all of them.
func units(s wiring.Switch) []string {
	list := make([]string, s.Len())
	for i := range list {
		one := part(s, i, i+1)
		if s.Picks != console.PicksAll {
			one = s
		}
		list[i] = fmt.Sprint(one.Kind, "|", one.Line, one.Notes, wiring.FormatControl(one.Control), one.Pins, "|", one.To, one.ToNotes, one.Picks)
	}
	return list
}

func unitsOf(rows []wiring.Switch) map[string]bool {
	set := map[string]bool{}
	for _, s := range rows {
		for _, u := range units(s) {
			set[u] = true
		}
	}
	return set
}

// only is a row without what is not wanted.
func only(s wiring.Switch, wanted func(unit string) bool) wiring.Switch {
	left := part(s, 0, 0)
	for i, u := range units(s) {
		if wanted(u) {
			p := part(s, i, i+1)
			left.Notes, left.Pins, left.ToNotes = append(left.Notes, p.Notes...), append(left.Pins, p.Pins...), append(left.ToNotes, p.ToNotes...)
		}
	}
	return left
}

// part is a row from its note or pin at an index up to another.
func part(s wiring.Switch, from, to int) wiring.Switch {
	s.Notes, s.Pins, s.ToNotes = cut(s.Notes, from, to), cut(s.Pins, from, to), cut(s.ToNotes, from, to)
	return s
}

func cut[T any](list []T, from, to int) []T {
	return append([]T(nil), list[min(from, len(list)):min(to, len(list))]...)
}
