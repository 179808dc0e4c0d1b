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
