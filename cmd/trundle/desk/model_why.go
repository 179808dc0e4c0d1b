package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// mostWhy is how many valves the pane gives the paths of.
const mostWhy = 100

// whyLines are the paths that pass through what the cursor is on: from a key,
// to a pipe, by way of a stop or coupler.
func (m *Model) whyLines() []line {
	lines := append([]line{{text: m.itemName(m.cursor), ink: Title}}, m.aboutLines()...)
	if m.cursor.Kind != KeyItem && m.cursor.Kind != PipeItem && m.cursor.Kind != ControlItem {
		return lines
	}
	sounding := m.console.Machine().Sounding()
	may := m.mayPass()
	shown := 0
	for r, rank := range m.in.Ranks {
		for v := 1; v <= rank.Pipes && shown < mostWhy; v++ {
			valve := rank.Valve(v)
			if !sounding.Open(valve) || !may(r, valve) {
				continue
			}
			paths, total := sounding.Because(valve)
			var ways []line
			for _, p := range paths {
				if m.passes(p) {
					ways = append(ways, line{text: "    " + m.pathText(p)})
				}
			}
			more := total - len(paths)
			if ways == nil && more == 0 {
				continue
			}
			shown++
			what := fmt.Sprintf("%s:%d  %s", rank.ID, v, strings.TrimSpace(m.valveText(r, v, 1, sounding.Speaks(valve))[4:]))
			lines = append(lines, line{text: what, ink: On, item: Item{PipeItem, valve, 0}})
			lines = append(lines, ways...)
			if !sounding.Speaks(valve) {
				lines = append(lines, line{text: "    no wind: " + m.windless(r), ink: Wrong})
			}
			if more > 0 {
				lines = append(lines, line{text: fmt.Sprintf("  and %d more paths to it", more), ink: Dim})
			}
		}
	}
	switch {
	case shown == mostWhy:
		lines = append(lines, line{text: "and more: put the cursor on one key or pipe", ink: Dim})
	case shown == 0:
		lines = append(lines, line{text: m.whyNot(), ink: Dim})
	}
	if m.cursor.Kind == KeyItem {
		lines = append(lines, m.nowhere()...)
	}
	return lines
}

// windless is which ventils keep the wind from a rank.
func (m *Model) windless(rank int) string {
	var why []string
	for _, v := range m.in.Ventils {
		switch on := m.console.Machine().On(v.Control); {
		case on && slices.Contains(v.Cuts, rank):
			why = append(why, m.controlName(v.Control)+" is on")
		case !on && slices.Contains(v.Admits, rank):
			why = append(why, m.controlName(v.Control)+" is off")
		}
	}
	return strings.Join(why, ", ")
}

// mayPass tells of a valve of a rank whether a path to it may have to do with
// what the cursor is on: it spares asking all of them why they are open.
func (m *Model) mayPass() func(rank, valve int) bool {
	switch m.cursor.Kind {
	case PipeItem:
		return func(_, valve int) bool { return valve == m.cursor.Index }
	case KeyItem:
		return m.mayPassKey(m.cursor.key())
	}
	c := m.in.Controls[m.cursor.Index]
	if c.Kind != console.StopControl {
		return func(int, int) bool { return true }
	}
	return m.takenBy(func(stop int) bool { return stop == c.Index })
}

// mayPassKey is mayPass of a key, held or played by couplers.
func (m *Model) mayPassKey(k console.Key) func(rank, valve int) bool {
	_, line := m.heardAtHome(k)
	switch {
	case m.console.Machine().Held(k):
		alone := m.alone()
		return func(_, valve int) bool { return alone.Open(valve) }
	case m.console.Machine().Sounding().Moved(k.Keyboard, k.Note):
		return func(int, int) bool { return true }
	case line: // it goes on to stops of its own divisions only
		return m.takenBy(func(stop int) bool { return m.in.Divisions[m.in.Stops[stop].Division].Keyboard == k.Keyboard })
	}
	return func(int, int) bool { return false }
}

// takenBy tells of a rank whether one of the stops meant takes of it.
func (m *Model) takenBy(means func(stop int) bool) func(rank, valve int) bool {
	taken := make([]bool, len(m.in.Ranks))
	for s, stop := range m.in.Stops {
		for _, take := range stop.Takes {
			taken[take.Rank] = taken[take.Rank] || means(s)
		}
	}
	return func(rank, _ int) bool { return taken[rank] }
}

// alone is what sounds with no key held but the one under the cursor.
func (m *Model) alone() *console.Sounding {
	_, state := m.console.Machine().Reference()
	state.Held = slices.DeleteFunc(state.Held, func(h console.Held) bool { return h.Key != m.cursor.key() })
	return m.wouldSound(state)
}

// wouldSound is what sounds in another state of the console, until it is asked
// of one more.
func (m *Model) wouldSound(s console.State) *console.Sounding {
	if m.beside == nil {
		in, _ := m.console.Machine().Reference()
		m.beside = console.NewSounding(in)
	}
	m.beside.Set(s)
	return m.beside
}

// passes reports a path that has to do with what the cursor is on.
func (m *Model) passes(p console.Path) bool {
	switch m.cursor.Kind {
	case KeyItem:
		return p.Key == m.cursor.key() || !m.console.Machine().Held(m.cursor.key()) && m.coupledTo(p, m.cursor.key())
	case ControlItem:
		if m.in.Stops[p.Stop].Control == m.cursor.Index {
			return true
		}
		for _, c := range p.Couplers {
			if m.in.Couplers[c].Control == m.cursor.Index {
				return true
			}
		}
		return false
	}
	return true
}

// coupledTo reports a path that a coupler leads to a key, or to its note on a
// division that is at home there.
func (m *Model) coupledTo(p console.Path, k console.Key) bool {
	note := p.Key.Note + console.Note(m.console.Machine().Transpose())
	for _, c := range p.Couplers {
		coupler := m.in.Couplers[c]
		note += console.Note(coupler.Shift)
		if m.in.Divisions[coupler.Division].Keyboard == k.Keyboard && note == k.Note {
			return true
		}
	}
	return false
}

// pathText is a path, a step after the other: key, couplers, stop.
func (m *Model) pathText(p console.Path) string {
	key := "pulse" // of a pizzicato coupler, on a keyboard of its own
	if p.Key.Keyboard < len(m.in.Keyboards) {
		key = m.keyboardName(p.Key.Keyboard)
	}
	steps := []string{tied(key + " " + m.signs.note(p.Key.Note))}
	for _, c := range p.Couplers {
		steps = append(steps, tied(m.controlName(m.in.Couplers[c].Control)))
	}
	steps = append(steps, tied(m.controlName(m.in.Stops[p.Stop].Control)))
	return strings.Join(steps, " "+m.signs.here+" ")
}

// whyNot is why nothing sounds by way of what the cursor is on.
func (m *Model) whyNot() string {
	machine := m.console.Machine()
	switch {
	case m.cursor.Kind == KeyItem && !machine.Held(m.cursor.key()):
		return "this key is not held, and nothing sounds by a coupler to it"
	case m.cursor.Kind == ControlItem && !machine.On(m.cursor.Index):
		return "this is off"
	case m.cursor.Kind == PipeItem:
		return "this pipe is silent"
	}
	return "nothing sounds by way of it: " + m.lacking()
}
