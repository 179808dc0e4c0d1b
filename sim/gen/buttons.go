package gen

import (
	"fmt"
	"slices"

	"trundle/console"
)

// shoes gives every box a shoe, two boxes one at times, and the crescendo its own.
func (m *maker) shoes() {
	for b := 0; b < len(m.in.Boxes); b++ {
		s := console.Shoe{ID: m.in.Boxes[b].ID, Name: m.in.Boxes[b].Name, Boxes: []int{b}}
		if b+1 < len(m.in.Boxes) && m.oneIn(4) {
			b++
			s.Boxes = append(s.Boxes, b)
		}
		m.in.Shoes = append(m.in.Shoes, s)
	}
	m.in.Shoes = append(m.in.Shoes, console.Shoe{ID: "crescendo", Name: "Crescendo", Crescendo: true})
}

// blinds makes the crescendo, from few stops to many, and the tutti, of all
// that a crescendo may add: no celeste, no tremulant, no unison off.
func (m *maker) blinds() {
	var may []int
	for _, s := range m.in.Stops {
		if !slices.ContainsFunc(s.Takes, func(t console.Take) bool { return m.in.Ranks[t.Rank].Cents != 0 }) {
			may = append(may, s.Control)
		}
	}
	for _, c := range m.in.Couplers {
		may = append(may, c.Control)
	}
	for i := range 1 + m.IntN(2) {
		m.Shuffle(len(may), func(i, j int) { may[i], may[j] = may[j], may[i] })
		stages := make([]console.Stage, min(len(may), 1+m.IntN(m.size.Stages)))
		for i, c := range may {
			s := &stages[i*len(stages)/len(may)]
			s.Adds = append(s.Adds, c)
		}
		if last := &stages[len(stages)-1]; len(stages) > 1 && m.oneIn(3) {
			last.Drops = stages[0].Adds[:1]
		}
		m.in.Crescendo = append(m.in.Crescendo, console.Sequence{Name: fmt.Sprint("sequence-", i+1), Stages: stages})
	}
	if len(m.in.Crescendo) == 1 {
		m.in.Crescendo[0].Name = ""
	}
	slices.Sort(may)
	m.in.Tutti.Adds = may
	if len(m.in.Tremulants) > 0 {
		m.in.Tutti.Drops = []int{m.in.Tremulants[0].Control}
	}
}

// buttons makes the combination action.
func (m *maker) buttons() {
	m.in.Combination = &console.Combination{Memories: pick(m, []int{1, 10, 100})}
	m.button("set", console.Set)
	m.button("cancel", console.Cancel)
	for i := range m.size.Buttons {
		b := m.button(fmt.Sprint("general-", i+1), console.General)
		if m.oneIn(4) {
			b.Leaves = m.some(len(m.in.Controls), 2)
		}
		if m.oneIn(2) {
			general := len(m.in.Combination.Buttons) - 1
			stud := m.button(fmt.Sprint("general-", i+1, "-toe"), console.General)
			stud.Toe, stud.Repeats, stud.Leaves = true, general, m.in.Combination.Buttons[general].Leaves
		}
	}
	for i := range m.size.Buttons {
		d := i % len(m.in.Divisions)
		division := m.in.Divisions[d]
		b := m.button(fmt.Sprint(division.ID, "-", 1+i/len(m.in.Divisions)), console.Divisional)
		b.Division, b.Keyboard, b.Scope = d, division.Keyboard, pick(m, []console.Scope{console.ScopeOwn, console.ScopePlayed, console.ScopeList})
		if b.Scope == console.ScopeList {
			b.List = m.some(len(m.in.Stops), 4)
		}
	}
	b := m.button("reverse", console.Reversible)
	b.Control = m.in.Couplers[m.IntN(len(m.in.Couplers))].Control
	m.button("tutti", console.TuttiKind)
	for _, kind := range []console.ButtonKind{console.Next, console.Previous, console.MemoryUp, console.MemoryDown} {
		m.button(string(kind), kind)
	}
}

func (m *maker) button(id string, kind console.ButtonKind) *console.Button {
	id = m.id("control", id)
	c := m.in.Combination
	c.Buttons = append(c.Buttons, console.Button{ID: id, Name: title(id), Kind: kind,
		Keyboard: console.None, Division: console.None, Control: console.None, Repeats: console.None})
	return &c.Buttons[len(c.Buttons)-1]
}
