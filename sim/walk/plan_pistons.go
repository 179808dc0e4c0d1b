package walk

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// pistons has every piston set with a knob of its own, and only then each pressed:
// that knob must come and no other, so that pistons that share a memory show, and
// studs that do another's work. Those that repeat another come after it, and those
// that change the memory last. Common practice, no source.
func (p *planner) pistons() {
	if p.in.Combination == nil {
		return
	}
	var order []int
	for b := range p.in.Combination.Buttons {
		if p.wired(item(wiring.ButtonKind, b, 0)) {
			order = append(order, b)
		}
	}
	rank := func(b int) int {
		button := p.in.Combination.Buttons[b]
		switch {
		case button.Kind == console.MemoryUp || button.Kind == console.MemoryDown:
			return 2
		case button.Repeats != console.None:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank(a) - rank(b) })
	for _, b := range order {
		button := p.in.Combination.Buttons[b]
		if comes := p.brings(b); comes != nil && !button.Fixed && button.Repeats == console.None {
			p.setting(b, comes[0])
		}
	}
	for _, b := range order {
		p.piston(b)
	}
}

func (p *planner) piston(b int) {
	buttons := p.in.Combination.Buttons
	button, worker := buttons[b], b
	if button.Repeats != console.None {
		worker = button.Repeats
	}
	does := buttons[worker]
	of := item(wiring.ButtonKind, b, 0)
	s := Step{ID: "piston " + button.ID, Phase: Pistons, Group: "pistons", Do: "press " + button.ID, Items: []wiring.Item{of}, Moves: []Move{{of, 1}}, Ask: true}
	press := func(kind console.ButtonKind) []Move {
		if i := slices.IndexFunc(buttons, func(b console.Button) bool { return b.Kind == kind }); i >= 0 {
			other := item(wiring.ButtonKind, i, 0)
			return []Move{{other, 1}, {other, 0}}
		}
		return nil
	}
	switch does.Kind {
	case console.General, console.Divisional:
		comes := p.brings(worker)
		s.Expect = "nothing moves"
		for _, c := range comes {
			s.Comes = append(s.Comes, p.stands(c, 1))
			s.Undo = append(s.Undo, p.back(c)...)
		}
		if len(comes) > 0 {
			s.Expect = "it brings " + p.ids(comes) + ", and nothing else"
		}
		s.Comes = append(s.Comes, Move{item(wiring.LampKind, len(p.in.Controls)+worker, 0), 1})
	case console.Reversible:
		s.Expect = "it brings " + p.in.Controls[does.Control].ID
		s.Comes, s.Undo = []Move{p.stands(does.Control, 1)}, p.back(does.Control)
	case console.Cancel:
		knob, ok := p.knobFor(worker)
		if !ok {
			return
		}
		s.First, s.Expect = "draw "+p.in.Controls[knob].ID, "it takes "+p.in.Controls[knob].ID+" back"
		s.Moves = []Move{on(wiring.ControlKind, knob, 0), {of, 1}}
		s.Comes = []Move{p.stands(knob, 0)}
	case console.TuttiKind:
		s.Expect = "its lamp lights, and goes out when it is pressed again"
		s.Comes, s.Undo = []Move{{item(wiring.LampKind, len(p.in.Controls)+worker, 0), 1}}, []Move{{of, 1}, {of, 0}}
	case console.Next:
		s.Expect, s.Undo = "the next general comes", p.backFromGenerals()
	case console.Previous:
		s.Expect, s.Undo = "the general before comes", p.backFromGenerals()
	case console.MemoryUp:
		s.Expect, s.Undo = "the next memory is shown, and no knob moves; then back to the first", press(console.MemoryDown)
	case console.MemoryDown:
		s.Expect, s.Undo = "the memory before is shown, and no knob moves; then back to the first", press(console.MemoryUp)
	case console.CrescendoKind:
		s.Expect = "the next sequence of the crescendo is shown"
		for range len(p.in.Crescendo) - 1 { // round, to the one that it was
			s.Undo = append(s.Undo, Move{of, 1}, Move{of, 0})
		}
	default:
		s.Expect = "it does what a " + string(does.Kind) + " does, and no knob moves"
	}
	p.add(s)
}

// setting puts a knob on a piston: what it held before is lost.
func (p *planner) setting(b, knob int) {
	button, of := p.in.Combination.Buttons[b], item(wiring.ButtonKind, b, 0)
	s := Step{ID: "set " + button.ID, Phase: Pistons, Group: "pistons", Do: "set " + p.in.Controls[knob].ID + " on " + button.ID + "; what it held is lost", Expect: "no knob moves",
		First: "draw " + p.in.Controls[knob].ID + ", and nothing else", Items: []wiring.Item{of}, Undo: p.back(knob), Ask: true}
	if set := slices.IndexFunc(p.in.Combination.Buttons, func(b console.Button) bool { return b.Kind == console.Set }); set >= 0 {
		s.Moves = []Move{on(wiring.ControlKind, knob, 0), on(wiring.ButtonKind, set, 0), {of, 1}}
	}
	p.add(s)
}

// knobFor is a knob that a piston may move, for neighbours another.
func (p *planner) knobFor(b int) (int, bool) {
	button := p.in.Combination.Buttons[b]
	takes := p.in.Takes(button)
	if button.Kind == console.Cancel {
		takes = p.in.Takes(console.Button{Kind: console.General, Leaves: button.Leaves})
		if button.Division != console.None {
			takes = p.in.Takes(console.Button{Kind: console.Divisional, Division: button.Division, Scope: console.ScopeOwn, Leaves: button.Leaves})
		}
	}
	takes = slices.DeleteFunc(takes, func(c int) bool { return p.in.Controls[c].Style == console.Fixed })
	if len(takes) == 0 {
		return 0, false
	}
	return takes[b%len(takes)], true
}

// brings are the controls that a general or divisional brings once it is set.
func (p *planner) brings(b int) []int {
	button := p.in.Combination.Buttons[b]
	if button.Kind != console.General && button.Kind != console.Divisional {
		return nil
	}
	if button.Fixed {
		return button.Sets
	}
	if knob, ok := p.knobFor(b); ok {
		return []int{knob}
	}
	return nil
}

// backFromGenerals takes back whatever a general may have brought.
func (p *planner) backFromGenerals() (moves []Move) {
	for b, button := range p.in.Combination.Buttons {
		if button.Kind != console.General {
			continue
		}
		for _, c := range p.brings(b) {
			moves = append(moves, p.back(c)...)
		}
	}
	return moves
}

// stands is how a control is seen to stand: by its contact, or by its lamp.
func (p *planner) stands(control, value int) Move {
	if p.in.Controls[control].Style == console.Moving {
		return Move{item(wiring.ControlKind, control, 0), value}
	}
	return Move{item(wiring.LampKind, control, 0), value}
}

// back takes a control back that a piston has brought.
func (p *planner) back(control int) (moves []Move) {
	if p.in.Controls[control].Style == console.Moving {
		moves = append(moves, Move{item(wiring.KnobOffKind, control, 0), 0})
	}
	return append(moves, Move{item(wiring.ControlKind, control, 0), 0})
}

// ids are the names of controls, as far as they say more than their number.
func (p *planner) ids(controls []int) (text string) {
	for i, c := range controls {
		if i == mostNamed {
			return text + ", ..."
		}
		if i > 0 {
			text += ", "
		}
		text += p.in.Controls[c].ID
	}
	return text
}

const mostNamed = 8
