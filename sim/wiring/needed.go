package wiring

import (
	"slices"
	"strings"

	"trundle/console"
)

// Needed is every item that decides which valves open: the contacts of keys
// and controls, then note lines, actions and valves, in the order of the
// instrument. An action stands for the pair that turns it on and off too.
func Needed(in *console.Instrument) []Item {
	var items []Item
	notes := func(item Item, from, to int) {
		for item.Note = from; item.Note <= to; item.Note++ {
			items = append(items, item)
		}
	}
	for k, keyboard := range in.Keyboards {
		for _, kind := range []Kind{KeyKind, Key2Kind}[:max(1, keyboard.Touches)] {
			notes(Item{kind, k, console.None, 0}, int(keyboard.Keys.From), int(keyboard.Keys.To))
		}
	}
	for c := range in.Controls {
		items = append(items, Item{ControlKind, c, console.None, 0})
	}
	for c, chest := range in.Chests {
		for _, d := range chest.Plays {
			if span := chest.Notes.Cut(in.Divisions[d].Notes); chest.HasNoteLines() {
				notes(Item{NoteKind, c, NoteOf(chest, d), 0}, int(span.From), int(span.To))
			}
		}
	}
	for r, rank := range in.Ranks {
		for _, of := range actionsOf(in, r) {
			items = append(items, Item{ActionKind, r, of, 0})
		}
		for _, stand := range rank.Stands {
			if !in.Chests[stand.Chest].HasNoteLines() {
				notes(Item{ValveKind, r, console.None, 0}, stand.From, stand.To)
			}
		}
	}
	return items
}

// Describe names items that differ in their notes only, in the words of a
// wiring row: valve bourdon 14..25.
func Describe(in *console.Instrument, items []Item) string {
	kind, name, _ := items[0].Words(in)
	words := []string{string(kind), name, formatItems(items)}
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " ")
}

// Given reports whether the console gives the item and the relay reads it.
func (i Item) Given() bool { return i.Kind.given() }

// WithHung is the relay with its soldered wiring and further items, each on a
// pin of its own that a board gets beyond its end: for asking what would be if
// they hung right. An item for which there is no board of its direction stays
// away.
func (r *Relay) WithHung(items []Item) *Relay {
	more := *r
	more.Boards = slices.Clone(r.Boards)
	rows := Without(r.Soldered(), func(row, at int) bool { return r.off(r.Soldered()[row].Pins[at]) })
	more.Joins = nil
	for _, j := range r.Joins {
		from, to := j.From[:0:0], j.To[:0:0]
		for i := range min(len(j.From), len(j.To)) {
			if !r.off(j.From[i]) && !r.off(j.To[i]) {
				from, to = append(from, j.From[i]), append(to, j.To[i])
			}
		}
		j.From, j.To = from, to
		more.Joins = append(more.Joins, j)
	}
	for _, s := range r.Switch { // no row may name the new pins by mistake
		for _, t := range s.Pins {
			more.Boards[t.On].Pins = max(more.Boards[t.On].Pins, t.Pin)
		}
	}
	for _, item := range items {
		direction := Output
		if item.Given() {
			direction = Input
		}
		on := slices.IndexFunc(more.Boards, func(b Board) bool { return b.Direction == direction })
		if on < 0 {
			continue
		}
		more.Boards[on].Pins++
		rows = append(rows, Row{At: r.At.Wiring, Kind: item.Kind, Pins: []Terminal{{on, more.Boards[on].Pins}}, Items: []Item{item}})
	}
	if more.Wired = rows; r.Wired == nil {
		more.Plan, more.Wired = rows, nil
	}
	return &more
}

// off reports whether there is no such terminal.
func (r *Relay) off(t Terminal) bool { return t.Pin > r.pins(t.On) }

// Without takes items off pins: rows without what hangs where off reports
// true. The rows keep their places.
func Without(rows []Row, off func(row, at int) bool) []Row {
	left := make([]Row, 0, len(rows))
	for i, row := range rows {
		pins, items := row.Pins[:0:0], row.Items[:0:0]
		for at := range min(len(row.Pins), len(row.Items)) {
			if !off(i, at) {
				pins, items = append(pins, row.Pins[at]), append(items, row.Items[at])
			}
		}
		row.Pins, row.Items = pins, items
		left = append(left, row)
	}
	return left
}
