package desk

import "trundle/console"

// demo shows what one control or piston does: the chord that is held without
// it, with it, and what that adds. The console follows, so that it is heard.
type demo struct {
	item  Item
	step  int    // into steps
	drawn []bool // controls, before it was shown
	tutti bool   // and the tutti

	of     int // the version of the console that the rest was worked out for
	fresh  bool
	states [2][]bool // open valves without and with
}

var steps = [...]string{"without it", "with it", "what it adds"}

// show begins to show what an item does.
func (m *Model) show(i Item) {
	if !m.canShow(i) {
		m.complain("put the cursor on a stop, a coupler or a piston to show what it does")
		return
	}
	if i.Kind == ButtonItem && m.setHeld {
		m.complain("set is held: a piston would capture; let set go first")
		return
	}
	m.endShow()
	m.demo = &demo{item: i, drawn: m.drawn(), tutti: m.console.Machine().Tutti()}
	m.toPane(ShowPane)
	m.demoStep(0)
}

func (m *Model) drawn() []bool {
	drawn := make([]bool, len(m.in.Controls))
	for c := range drawn {
		drawn[c] = m.console.Machine().Drawn(c)
	}
	return drawn
}

func (m *Model) canShow(i Item) bool {
	switch i.Kind {
	case ControlItem:
		return true
	case ButtonItem:
		switch m.buttonKind(i.Index) {
		case console.General, console.Divisional, console.Cancel, console.Reversible, console.TuttiKind:
			return true
		}
	}
	return false
}

// step goes on, or back, in what is shown; without that, in the script.
func (m *Model) step(by int) {
	switch {
	case m.demo != nil:
		m.demoStep(min(max(m.demo.step+by, 0), len(steps)-1))
	case m.script != nil && by > 0:
		m.stepPaused()
	case m.script != nil:
		m.complain("the script goes only forward")
	default:
		m.complain("nothing is shown: put the cursor on a stop, a coupler or a piston first")
	}
}

// demoStep goes to a step, and puts the console into its state.
func (m *Model) demoStep(to int) {
	d := m.demo
	was := d.step
	d.step = to
	m.paneTop = 0
	if d.item.Kind == ControlItem {
		e := console.Draw(d.item.Index)
		if to == 0 {
			e = console.Push(d.item.Index)
		}
		m.do(e)
		return
	}
	switch {
	case to == 0:
		m.redraw(d.drawn, d.tuttiBefore(m))
	case was == 0 && to > 0:
		m.do(console.Press(d.item.Index))
		m.do(console.Release(d.item.Index))
	}
}

// demoStepShown is the step that is shown, counted from 1.
func (m *Model) demoStepShown() int {
	if m.demo == nil {
		return 0
	}
	return m.demo.step + 1
}

// tuttiBefore reports whether the tutti is on without what is shown.
func (d *demo) tuttiBefore(m *Model) bool {
	return d.tutti && m.buttonKind(d.item.Index) != console.TuttiKind
}

// redraw puts every knob where it was, and the tutti.
func (m *Model) redraw(drawn []bool, tutti bool) {
	m.turnTutti(tutti)
	for c, was := range drawn {
		switch is := m.console.Machine().Drawn(c); {
		case was && !is:
			m.do(console.Draw(c))
		case !was && is:
			m.do(console.Push(c))
		}
	}
}

// endShow leaves what is shown, with the console as it was before.
func (m *Model) endShow() {
	d := m.demo
	if d == nil {
		return
	}
	if d.item.Kind == ControlItem {
		if d.drawn[d.item.Index] {
			m.do(console.Draw(d.item.Index))
		} else {
			m.do(console.Push(d.item.Index))
		}
	} else {
		m.redraw(d.drawn, d.tutti)
	}
	m.demo = nil
	if m.pane == ShowPane {
		m.toPane(SoundingPane)
	}
}

// open is what is open without and with what is shown, in the console's
// present state otherwise.
func (m *Model) open() (without, with []bool) {
	d := m.demo
	if d.fresh && d.of == m.version {
		return d.states[0], d.states[1]
	}
	_, state := m.console.Machine().Reference()
	on := [2][]bool{append([]bool(nil), state.Drawn...), append([]bool(nil), state.Drawn...)}
	if d.item.Kind == ControlItem {
		on[0][d.item.Index], on[1][d.item.Index] = false, true
	} else {
		on[0], on[1] = m.pressed()
	}
	for i := range on {
		state.Drawn = on[i]
		sounding := m.wouldSound(state)
		d.states[i] = make([]bool, m.in.Valves)
		for v := range d.states[i] {
			d.states[i][v] = sounding.Speaks(v)
		}
	}
	d.fresh, d.of = true, m.version
	return d.states[0], d.states[1]
}

// pressed is what is on before a piston is pressed, and after.
func (m *Model) pressed() (before, after []bool) {
	c := m.twin(m.demo.drawn, m.demo.tuttiBefore(m))
	before = m.standing(c).on
	c.Do(0, console.Press(m.demo.item.Index))
	return before, m.standing(c).on
}

// askWrite asks where to write what is shown.
func (m *Model) askWrite() {
	if m.demo == nil {
		m.complain("nothing is shown: put the cursor on a stop, a coupler or a piston first")
		return
	}
	id := ""
	if m.demo.item.Kind == ControlItem {
		id = m.in.Controls[m.demo.item.Index].ID
	} else {
		id = m.in.Combination.Buttons[m.demo.item.Index].ID
	}
	m.ask(askPath, id+".txt")
}
