package desk

import (
	"fmt"
	"strings"

	"trundle/combination"
	"trundle/console"
)

// demo shows what one control or piston does: the chord that is held without
// it, with it, and what that adds. The console follows, so that it is heard.
type demo struct {
	item  Item
	step  int    // into steps
	drawn []bool // controls, before it was shown

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
	m.endShow()
	m.demo = &demo{item: i, drawn: m.drawn()}
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
		m.redraw(d.drawn)
		if m.buttonKind(d.item.Index) == console.TuttiKind && m.console.Machine().Tutti() {
			m.do(console.Event{Kind: console.TuttiEvent})
		}
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

// redraw puts every knob where it was.
func (m *Model) redraw(drawn []bool) {
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
		m.demoStep(0)
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
	reference, state := m.console.Machine().Reference()
	on := [2][]bool{append([]bool(nil), state.Drawn...), append([]bool(nil), state.Drawn...)}
	if d.item.Kind == ControlItem {
		on[0][d.item.Index], on[1][d.item.Index] = false, true
	} else {
		on[0], on[1] = m.pressed()
	}
	for i := range on {
		state.Drawn = on[i]
		sounding := console.NewSounding(reference)
		sounding.Set(state)
		d.states[i] = make([]bool, m.in.Valves)
		for v := range d.states[i] {
			d.states[i][v] = sounding.Speaks(v)
		}
	}
	d.fresh, d.of = true, m.version
	return d.states[0], d.states[1]
}

// pressed is what is on before a piston is pressed, and after, found on a
// console of its own.
func (m *Model) pressed() (before, after []bool) {
	machine := m.console.Machine()
	c := combination.New(m.in, m.console.Memories())
	sequence, stage := machine.Crescendo()
	c.Do(0, console.Event{Kind: console.ObeyEvent, Value: 1})
	c.Do(0, console.Event{Kind: console.MemoryEvent, Value: m.console.Memory()})
	if len(m.in.Crescendo) > 0 {
		c.Do(0, console.Event{Kind: console.SequenceEvent, Index: sequence})
		c.Do(0, console.Event{Kind: console.StageEvent, Value: stage})
	}
	for control, drawn := range m.demo.drawn {
		if drawn {
			c.Do(0, console.Draw(control))
		}
	}
	on := func() []bool {
		list := make([]bool, len(m.in.Controls))
		for control := range list {
			list[control] = c.Machine().On(control)
		}
		return list
	}
	before = on()
	c.Do(0, console.Press(m.demo.item.Index))
	return before, on()
}

// showLines is the step that is shown.
func (m *Model) showLines() []line {
	if m.demo == nil {
		return nil
	}
	lines := []line{
		{text: m.itemName(m.demo.item), ink: Title},
		{text: fmt.Sprintf("step %d of %d: %s", m.demo.step+1, len(steps), steps[m.demo.step]), ink: Blind},
	}
	for _, text := range m.stepText(m.demo.step) {
		lines = append(lines, line{text: text})
	}
	return lines
}

// stepText is what sounds in a step, by rank.
func (m *Model) stepText(step int) []string {
	without, with := m.open()
	switch step {
	case 0:
		return m.byRank("sounds", func(v int) bool { return without[v] })
	case 1:
		return m.byRank("sounds", func(v int) bool { return with[v] })
	}
	text := m.byRank("added", func(v int) bool { return with[v] && !without[v] })
	taken := m.byRank("taken away", func(v int) bool { return without[v] && !with[v] })
	if len(taken) > 1 {
		text = append(text, taken...)
	}
	return text
}

// byRank lists valves by rank, with their notes and how many pipes they are.
func (m *Model) byRank(what string, has func(valve int) bool) []string {
	var text []string
	pipes := 0
	for _, rank := range m.in.Ranks {
		var notes []string
		for v := 1; v <= rank.Pipes; v++ {
			if has(rank.Valve(v)) {
				notes = append(notes, m.signs.note(rank.Note(v)))
				pipes += rank.PipesOn(v)
			}
		}
		if notes != nil {
			text = append(text, "  "+m.signs.text(rank.Name)+": "+strings.Join(notes, " "))
		}
	}
	return append([]string{what + ": " + count(pipes, "pipe")}, text...)
}

// showText is all that is shown, as a text to keep.
func (m *Model) showText() string {
	if m.demo == nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\nheld: %s\n", m.signs.text(m.in.Name), m.itemName(m.demo.item), m.heldText())
	for i, name := range steps {
		fmt.Fprintf(&b, "\n%s\n", name)
		for _, text := range m.stepText(i) {
			fmt.Fprintf(&b, "  %s\n", text)
		}
	}
	return b.String()
}

// heldText lists the keys that are held.
func (m *Model) heldText() string {
	var boards []string
	for k, keyboard := range m.in.Keyboards {
		var keys []string
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if m.console.Machine().Held(console.Key{Keyboard: k, Note: n}) {
				keys = append(keys, m.signs.note(n))
			}
		}
		if keys != nil {
			boards = append(boards, m.keyboardName(k)+" "+strings.Join(keys, " "))
		}
	}
	if boards == nil {
		return "no key"
	}
	return strings.Join(boards, ", ")
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
