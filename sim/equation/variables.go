// Package equation puts instruments and relays into boolean networks, each as
// its definition reads: what sounds, and what
// the rows of a relay do.
package equation

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/logic"
)

// Variables numbers what a state consists of: the controls in file order, then
// the keys of every keyboard, then once more the keys of those with a second
// touch, for a key pressed down to it.
type Variables struct {
	in    *console.Instrument
	first []int // of each keyboard: variable of its lowest key
	deep  []int // of each keyboard: variable of its lowest key pressed deep, 0 without a second touch
	Count int   // of all variables
}

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

// key is the variable of a key, and of the key pressed deep where it can be.
func (v Variables) key(keyboard int, n console.Note) (held logic.Node, deep logic.Node, second, exists bool) {
	keys := v.in.Keyboards[keyboard].Keys
	if !keys.Has(n) {
		return 0, 0, false, false
	}
	at := int(n - keys.From)
	return logic.Node(v.first[keyboard] + at), logic.Node(v.deep[keyboard] + at), v.deep[keyboard] > 0, true
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
