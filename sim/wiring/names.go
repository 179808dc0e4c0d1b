package wiring

import (
	"trundle/console"
	"trundle/console/finding"
)

// names are the things of one kind that cells may name.
type names struct {
	what         string // for messages: "rank"
	ofInstrument bool
	index        map[string]int
	list         []string
	fixes        map[string]string // what to do about unknown names, as asked before
}

func newNames(what string) *names {
	return &names{what: what, index: map[string]int{}, fixes: map[string]string{}}
}

// namesOf names things of an instrument by their ids; a name is the thing's
// index.
func namesOf[T any](what string, things []T, id func(T) string) *names {
	n := newNames(what)
	n.ofInstrument = true
	for i, t := range things {
		n.add(id(t), i)
	}
	return n
}

// add gives a name to an index, unless the name is taken.
func (n *names) add(name string, index int) {
	if _, taken := n.index[name]; !taken && name != "" {
		n.index[name] = index
		n.list = append(n.list, name)
	}
}

// fix is what to do about a name that nothing carries.
func (n *names) fix(name string) string {
	fix, asked := n.fixes[name]
	if !asked {
		fix = finding.DidYouMean(name, n.list)
		n.fixes[name] = fix
	}
	return fix
}

// instrumentNames are the names that wiring rows may use.
type instrumentNames struct {
	keyboards, controls, buttons, lamps, sequences, shoes, chests, divisions, ranks, boxes *names
}

func nameInstrument(in *console.Instrument) instrumentNames {
	var buttons []console.Button
	if in.Combination != nil {
		buttons = in.Combination.Buttons
	}
	n := instrumentNames{
		keyboards: namesOf("keyboard", in.Keyboards, func(k console.Keyboard) string { return k.ID }),
		controls:  namesOf("control", in.Controls, func(c console.Control) string { return c.ID }),
		buttons:   namesOf("button", buttons, func(b console.Button) string { return b.ID }),
		lamps:     namesOf("control or button", in.Controls, func(c console.Control) string { return c.ID }),
		sequences: namesOf("crescendo", in.Crescendo, func(s console.Sequence) string { return s.Name }),
		shoes:     namesOf("shoe", in.Shoes, func(s console.Shoe) string { return s.ID }),
		chests:    namesOf("chest", in.Chests, func(c console.Chest) string { return c.ID }),
		divisions: namesOf("division", in.Divisions, func(d console.Division) string { return d.ID }),
		ranks:     namesOf("rank", in.Ranks, func(r console.Rank) string { return r.ID }),
		boxes:     namesOf("box", in.Boxes, func(b console.Box) string { return b.ID }),
	}
	for i, b := range buttons {
		n.lamps.add(b.ID, len(in.Controls)+i)
	}
	if len(in.Crescendo) > 0 { // any sequence: by its shoe, or simply by what it is
		n.sequences.add("crescendo", console.None)
		for _, s := range in.Shoes {
			if s.Crescendo {
				n.sequences.add(s.ID, console.None)
			}
		}
	}
	return n
}
