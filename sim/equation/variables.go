// Package equation puts instruments and relays into boolean networks, each as
// its definition reads: what sounds, and what the rows of a relay do.
//
// NewVariables numbers what a state consists of, AddInstrument and AddRelay add
// the nodes of either over these, and the Valves of both can be compared. It
// decides nothing: package logic does, and package proof asks.
package equation

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Variables numbers what a state consists of: the controls in file order, then
// the keys of every keyboard, then once more the keys of those with a second
// touch, for a key pressed down to it.
type Variables struct {
	in    *console.Instrument
	first []int // of each keyboard: variable of its lowest key
	deep  []int // of each keyboard: variable of its lowest key pressed deep, 0 without a second touch
	Count int   // of all variables
	Apart bool  // a key's two contacts are variables of their own; otherwise the deeper one makes both
}

// NewVariables numbers the keys and controls of an instrument.
func NewVariables(in *console.Instrument) Variables {
	v := Variables{in: in, Count: len(in.Controls)}
	for _, k := range in.Keyboards {
		v.first = append(v.first, v.Count)
		v.Count += k.Keys.Len()
	}
	for _, k := range in.Keyboards {
		if k.Touches < 2 {
			v.deep = append(v.deep, 0)
			continue
		}
		v.deep = append(v.deep, v.Count)
		v.Count += k.Keys.Len()
	}
	return v
}

// Control is the variable of a control.
func (v Variables) Control(c int) logic.Node { return logic.Node(c) }

// Contact is the variables each of which makes a contact that a wiring names;
// none for what no proof looks at: buttons, stages, shoes.
func (v Variables) Contact(item wiring.Item) []logic.Node {
	if item.Kind == wiring.ControlKind {
		return []logic.Node{v.Control(item.Index)}
	}
	if item.Kind != wiring.KeyKind && item.Kind != wiring.Key2Kind || !v.in.Keyboards[item.Index].Keys.Has(console.Note(item.Note)) {
		return nil
	}
	at := item.Note - int(v.in.Keyboards[item.Index].Keys.From)
	held, deep := logic.Node(v.first[item.Index]+at), logic.Node(v.deep[item.Index]+at)
	switch second := v.deep[item.Index] > 0; {
	case item.Kind == wiring.Key2Kind && second:
		return []logic.Node{deep}
	case item.Kind == wiring.Key2Kind:
		return nil
	case second && !v.Apart:
		return []logic.Node{held, deep}
	}
	return []logic.Node{held}
}

// Item is the contact that a variable stands for.
func (v Variables) Item(n logic.Node) wiring.Item {
	if int(n) < len(v.in.Controls) {
		return wiring.Item{Kind: wiring.ControlKind, Index: int(n), Of: console.None}
	}
	key, deep := v.keyOf(int(n))
	item := wiring.Item{Kind: wiring.KeyKind, Index: key.Keyboard, Of: console.None, Note: int(key.Note)}
	if deep {
		item.Kind = wiring.Key2Kind
	}
	return item
}

// State is the state of the instrument in which just these variables are true.
func (v Variables) State(on []logic.Node) console.State {
	s := console.State{Drawn: make([]bool, len(v.in.Controls))}
	held := map[console.Key]int{}
	for _, n := range on {
		if int(n) < len(v.in.Controls) {
			s.Drawn[n] = true
			continue
		}
		key, deep := v.keyOf(int(n))
		i, known := held[key]
		if !known {
			i = len(s.Held)
			held[key] = i
			s.Held = append(s.Held, console.Held{Key: key})
		}
		s.Held[i].Deep = s.Held[i].Deep || deep
	}
	slices.SortFunc(s.Held, func(a, b console.Held) int {
		return cmp.Or(a.Keyboard-b.Keyboard, int(a.Note-b.Note))
	})
	return s
}

// keyOf is the key of a variable beyond those of the controls.
func (v Variables) keyOf(n int) (key console.Key, deep bool) {
	for m, keyboard := range v.in.Keyboards {
		if at := n - v.first[m]; 0 <= at && at < keyboard.Keys.Len() {
			return console.Key{Keyboard: m, Note: keyboard.Keys.From + console.Note(at)}, false
		}
		if at := n - v.deep[m]; v.deep[m] > 0 && 0 <= at && at < keyboard.Keys.Len() {
			return console.Key{Keyboard: m, Note: keyboard.Keys.From + console.Note(at)}, true
		}
	}
	panic("no such variable")
}
