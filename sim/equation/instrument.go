package equation

import (
	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// Notes is a node for every note, Nothing where none can be true.
type Notes [console.HighestNote + 1]logic.Node

// Nothing stands where a network has no node.
const Nothing logic.Node = -1

func noNotes() Notes {
	var n Notes
	for i := range n {
		n[i] = Nothing
	}
	return n
}

// Plane is what one contact under the keys leads to, by the names of the
// definition.
type Plane struct {
	Held, Moved []Notes // by keyboard: P and Q
	Own, Line   []Notes // by division: O and L
}

// Instrument puts an instrument into a network.
type Instrument struct {
	*console.Instrument
	Variables
	w      *logic.Network
	First  Plane
	Second *Plane       // nil when nothing reads the second contact
	Valves []logic.Node // by valve
}

// AddInstrument adds the nodes of an instrument, whose valves are open by the
// definition of what sounds.
func AddInstrument(w *logic.Network, v Variables) *Instrument {
	in := &Instrument{Instrument: v.in, Variables: v, w: w}
	first, second := in.contacts()
	in.First = in.plane(first)
	planes := []*Plane{&in.First}
	if in.readsSecond() {
		p := in.plane(second)
		in.Second = &p
		planes = append(planes, in.Second)
	}
	in.couple(planes)
	in.valves()
	return in
}

func (in *Instrument) readsSecond() bool {
	for _, c := range in.Couplers {
		if c.Touch == 2 {
			return true
		}
	}
	for _, s := range in.Stops {
		if s.Touch == 2 {
			return true
		}
	}
	return false
}

// or gives the node at one place of a set of notes one more term, making the
// node when it is the first.
func (in *Instrument) or(of *Notes, n console.Note, all, none []logic.Node) {
	if n < 0 || n > console.HighestNote {
		return
	}
	if of[n] == Nothing {
		of[n] = in.w.Add()
	}
	in.w.Or(of[n], all, none)
}

// contacts is P of both planes. A key pressed deep makes both its contacts.
// Each transfer exchanges two keyboards, one after the other.
func (in *Instrument) contacts() (first, second []Notes) {
	for m, keyboard := range in.Keyboards {
		p1, p2 := noNotes(), noNotes()
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			contact := wiring.Item{Kind: wiring.KeyKind, Index: m, Of: console.None, Note: int(n)}
			for _, variable := range in.Contact(contact) {
				in.or(&p1, n, []logic.Node{variable}, nil)
			}
			contact.Kind = wiring.Key2Kind
			for _, variable := range in.Contact(contact) {
				in.or(&p2, n, []logic.Node{variable}, nil)
			}
		}
		first, second = append(first, p1), append(second, p2)
	}
	for _, t := range in.Transfers {
		on := in.Control(t.Control)
		for _, p := range [][]Notes{first, second} {
			a, b := p[t.Keyboards[0]], p[t.Keyboards[1]]
			p[t.Keyboards[0]], p[t.Keyboards[1]] = in.either(on, b, a), in.either(on, a, b)
		}
	}
	return first, second
}

// either is one set of notes while a node is on, and another while it is not.
func (in *Instrument) either(on logic.Node, yes, no Notes) Notes {
	result := noNotes()
	for n := range console.HighestNote + 1 {
		if yes[n] != Nothing {
			in.or(&result, n, []logic.Node{on, yes[n]}, nil)
		}
		if no[n] != Nothing {
			in.or(&result, n, []logic.Node{no[n]}, []logic.Node{on})
		}
	}
	return result
}

// plane makes a plane's keys and lines; what is held moves itself, and no more
// leads anywhere yet.
func (in *Instrument) plane(held []Notes) Plane {
	p := Plane{Held: held}
	for m, keyboard := range in.Keyboards {
		q := noNotes()
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			q[n] = in.w.Add()
		}
		for n, node := range held[m] {
			if node != Nothing {
				in.or(&q, console.Note(n), []logic.Node{node}, nil)
			}
		}
		p.Moved = append(p.Moved, q)
	}
	for range in.Divisions {
		p.Own, p.Line = append(p.Own, noNotes()), append(p.Line, noNotes())
	}
	return p
}

// valves is steps 4 and 5.
func (in *Instrument) valves() {
	in.Valves = make([]logic.Node, in.Instrument.Valves)
	for v := range in.Valves {
		in.Valves[v] = in.w.Add()
	}
	for _, stop := range in.Stops {
		line := &in.First.Line[stop.Division]
		if stop.Touch == 2 {
			line = &in.Second.Line[stop.Division]
		}
		for _, take := range stop.Takes {
			notes := stop.Notes.Cut(take.Notes).Cut(in.Divisions[stop.Division].Notes)
			for n := notes.From; n <= notes.To; n++ {
				if v := in.Wants(take, n); v != console.None && line[n] != Nothing {
					in.w.Or(in.Valves[v], []logic.Node{in.Control(stop.Control), line[n]}, nil)
				}
			}
		}
	}
}
