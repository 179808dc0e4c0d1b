package certificate

import (
	"maps"
	"slices"

	"trundle/console"
)

// notes is a literal for every note that can be on a keyboard or a line; a
// note without one never is.
type notes map[console.Note]lit

// each lists the notes of a set in ascending order.
func (n notes) each() []console.Note { return slices.Sorted(maps.Keys(n)) }

// of is the literal of a note.
func (n notes) of(note console.Note) lit {
	if l, possible := n[note]; possible {
		return l
	}
	return no
}

// inputs are the free variables: a control is on, the first contact under a
// key is made, the second one is.
type inputs struct {
	controls      []lit
	first, second []notes // by keyboard; second is empty where there is none
}

func newInputs(c *circuit, in *console.Instrument) inputs {
	var i inputs
	for range in.Controls {
		i.controls = append(i.controls, c.input())
	}
	contact := func(k console.Keyboard, exists bool) notes {
		made := notes{}
		for n := k.Keys.From; exists && n <= k.Keys.To; n++ {
			made[n] = c.input()
		}
		return made
	}
	for _, k := range in.Keyboards {
		i.first = append(i.first, contact(k, true))
		i.second = append(i.second, contact(k, k.Touches == 2))
	}
	return i
}

// deep are the clauses that a second contact is made below the first only.
func (i inputs) deep() [][]lit {
	var clauses [][]lit
	for k, second := range i.second {
		for _, n := range second.each() {
			clauses = append(clauses, []lit{-second[n], i.first[k][n]})
		}
	}
	return clauses
}

// on is the inputs that are true in a state.
func (i inputs) on(in *console.Instrument, s console.State) map[lit]bool {
	on := map[lit]bool{}
	for c, drawn := range in.On(s) {
		if drawn {
			on[i.controls[c]] = true
		}
	}
	for _, h := range s.Held {
		on[i.first[h.Keyboard].of(h.Note)] = true
		if h.Deep && len(i.second[h.Keyboard]) > 0 {
			on[i.second[h.Keyboard].of(h.Note)] = true
		}
	}
	delete(on, no)
	return on
}
