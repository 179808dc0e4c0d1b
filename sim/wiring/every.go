package wiring

import (
	"slices"
	"strings"

	"trundle/console"
)

// Every is every item of an instrument that a row may hang up: what decides
// which valves open first, then magnets of wind, knobs, lamps, buttons, stages,
// shoes and shades.
func Every(in *console.Instrument) []Item {
	items := Needed(in)
	for _, item := range items {
		if item.Kind == ActionKind {
			for _, kind := range []Kind{ActionOnKind, ActionOffKind} {
				item.Kind = kind
				items = append(items, item)
			}
		}
	}
	numbers := func(kind Kind, index, last int) {
		for n := 1; n <= last; n++ {
			items = append(items, Item{kind, index, console.None, n})
		}
	}
	for c, control := range in.Controls {
		if kind := Kind(control.Kind); kind == VentilKind || kind == TremulantKind {
			items = append(items, Item{kind, c, console.None, 0})
		}
		for _, kind := range []Kind{KnobOnKind, KnobOffKind, LampKind} {
			items = append(items, Item{kind, c, console.None, 0})
		}
	}
	if in.Combination != nil {
		for b := range in.Combination.Buttons {
			items = append(items, Item{ButtonKind, b, console.None, 0}, Item{LampKind, len(in.Controls) + b, console.None, 0})
		}
	}
	longest := 0
	for s, sequence := range in.Crescendo {
		numbers(StageKind, s, len(sequence.Stages))
		longest = max(longest, len(sequence.Stages))
	}
	numbers(StageKind, console.None, longest)
	for s := range in.Shoes {
		items = append(items, Item{ShoeKind, s, console.None, 0})
	}
	for b, box := range in.Boxes {
		numbers(ShadeKind, b, box.Magnets())
	}
	return items
}

// Called is the items that a text means: a control, button, shoe or rank with
// an action by its id; a key, note line, valve, stage or shade with its note or
// number behind a colon, like great:C4 and bourdon:26. noteless reports that
// things of the name are there, but need one of those to be told apart.
func Called(in *console.Instrument, text string) (items []Item, noteless bool) {
	name, note, noted := strings.Cut(text, ":")
	notes := []string{strings.TrimLeft(note, "0")}
	if n, err := console.ParseNote(note); err == nil { // 60 is valve 60, and key C4
		notes = append(notes, n.String())
	}
	for _, item := range Every(in) {
		_, itemName, itemNote := item.Words(in)
		switch {
		case itemName != name:
		case slices.Contains(notes, itemNote) && noted == (itemNote != ""):
			items = append(items, item)
		case !noted && itemNote != "":
			noteless = true
		}
	}
	return items, noteless
}
