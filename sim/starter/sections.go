package starter

import (
	"fmt"

	"trundle/console"
	"trundle/sim/wiring"
)

// section is what shares boards of its own.
type section struct {
	about     string // one line
	letter    string // that its boards begin with
	direction wiring.Direction
	items     []wiring.Item
}

// sections are what an instrument's relay reads and drives, from the console
// to the chambers; none is empty.
func sections(in *console.Instrument) []section {
	var all []section
	add := func(letter string, direction wiring.Direction, items []wiring.Item, about string, args ...any) {
		if len(items) > 0 {
			all = append(all, section{fmt.Sprintf(about, args...), letter, direction, items})
		}
	}
	items := map[wiring.Kind]map[int][]wiring.Item{} // by kind and index
	for _, item := range wiring.Every(in) {
		if items[item.Kind] == nil {
			items[item.Kind] = map[int][]wiring.Item{}
		}
		items[item.Kind][item.Index] = append(items[item.Kind][item.Index], item)
	}
	// of is the items of some kinds of one thing, each kind in its order.
	of := func(index int, kinds ...wiring.Kind) (list []wiring.Item) {
		for _, kind := range kinds {
			list = append(list, items[kind][index]...)
		}
		return list
	}
	// each is the items of some kinds of the things that are chosen.
	each := func(length int, chosen func(int) bool, kinds ...wiring.Kind) (list []wiring.Item) {
		for i := range length {
			if chosen(i) {
				list = append(list, of(i, kinds...)...)
			}
		}
		return list
	}
	every := func(int) bool { return true }
	styled := func(style console.Style) func(int) bool {
		return func(c int) bool { return in.Controls[c].Style == style }
	}

	for k, keyboard := range in.Keyboards {
		add("K", wiring.Input, of(k, wiring.KeyKind, wiring.Key2Kind), "keys of %s, lowest first", keyboard.ID)
	}
	add("S", wiring.Input, each(len(in.Controls), every, wiring.ControlKind), "contacts of knobs and tablets")
	if in.Combination != nil {
		add("B", wiring.Input, each(len(in.Combination.Buttons), every, wiring.ButtonKind), "pistons and toe studs")
	}
	add("A", wiring.Input, append(of(console.None, wiring.StageKind), each(len(in.Shoes), func(s int) bool { return !in.Shoes[s].Crescendo }, wiring.ShoeKind)...), "stages of the crescendo, and shoes")
	add("N", wiring.Output, each(len(in.Controls), styled(console.Moving), wiring.KnobOnKind), "coils that draw")
	add("N", wiring.Output, each(len(in.Controls), styled(console.Moving), wiring.KnobOffKind), "coils that push in")
	add("L", wiring.Output, each(len(in.Controls), styled(console.Lit), wiring.LampKind), "lamps")
	for c, chest := range in.Chests {
		add("X", wiring.Output, of(c, wiring.NoteKind), "note lines of %s", chest.ID)
		add("X", wiring.Output, each(len(in.Ranks), func(r int) bool { return actsFrom(in, in.Ranks[r], c) }, wiring.ActionKind), "stop actions of %s", chest.ID)
	}
	for r, rank := range in.Ranks {
		add("X", wiring.Output, of(r, wiring.ValveKind), "valves of %s", rank.ID)
	}
	add("X", wiring.Output, each(len(in.Controls), every, wiring.VentilKind, wiring.TremulantKind), "ventils and tremulants")
	add("X", wiring.Output, each(len(in.Boxes), every, wiring.ShadeKind), "shades")
	return all
}

// actsFrom reports whether a chest is the first with note lines that a rank
// stands on, which is where its actions are listed.
func actsFrom(in *console.Instrument, rank console.Rank, chest int) bool {
	for _, stand := range rank.Stands {
		if in.Chests[stand.Chest].HasNoteLines() {
			return stand.Chest == chest
		}
	}
	return false
}
