package desk

import (
	"fmt"
	"strings"

	"trundle/console"
)

// showLines is the step that is shown.
func (m *Model) showLines() []line {
	if m.demo == nil {
		return nil
	}
	lines := []line{
		{text: m.itemName(m.demo.item), ink: Title},
		{text: "held: " + m.heldText()},
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
	switch {
	case len(text)+len(taken) == 2:
		text = []string{"nothing: no pipe of this chord begins or ends with it"}
	case len(taken) > 1:
		text = append(text, taken...)
	}
	return append(text, m.runOff()...)
}

// runOff lists the keys held that the coupler that is shown leads nowhere.
func (m *Model) runOff() []string {
	if m.demo.item.Kind != ControlItem || m.in.Controls[m.demo.item.Index].Kind != console.CouplerControl {
		return nil
	}
	c := m.in.Couplers[m.in.Controls[m.demo.item.Index].Index]
	from := m.playedOn(c)
	if from == console.None || !m.straight() {
		return nil
	}
	var text []string
	keys := m.in.Keyboards[from].Keys
	for n := keys.From; n <= keys.To; n++ {
		if !m.console.Machine().Held(console.Key{Keyboard: from, Note: n}) {
			continue
		}
		if to, why := m.coupled(c, n); to == console.None {
			text = append(text, m.keyboardName(from)+" "+m.signs.note(n)+": "+why)
		}
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
