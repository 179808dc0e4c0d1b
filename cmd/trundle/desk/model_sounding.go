package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// mostCounted is up to how many open valves their paths are counted.
const mostCounted = 2000

// soundingLines is the sum of what sounds, and a row for every open valve,
// after one for its rank.
func (m *Model) soundingLines() (head []line, rows []int) {
	sounding := m.console.Machine().Sounding()
	count := sounding.OpenCount() <= mostCounted
	var sum sum
	for r, rank := range m.in.Ranks {
		headed := false
		for v := 1; v <= rank.Pipes; v++ {
			valve := rank.Valve(v)
			if !sounding.Open(valve) {
				continue
			}
			if !headed {
				headed = true
				rows = append(rows, -1-r)
			}
			rows = append(rows, valve)
			paths := 0
			if count {
				_, paths = sounding.Because(valve)
			}
			sum.add(rank, v, paths, sounding.Speaks(valve))
		}
	}
	if rows == nil {
		return []line{{text: "nothing sounds: " + m.lacking(), ink: Title}}, nil
	}
	head = []line{{text: sum.text(), ink: Title}}
	if robbed := sum.robbed(); robbed != "" {
		head = append(head, line{text: robbed, ink: Blind})
	}
	return head, rows
}

// soundingLine is a row of soundingLines as a line.
func (m *Model) soundingLine(row int) line {
	if row < 0 {
		return line{text: m.signs.text(m.in.Ranks[-1-row].Name), ink: Title}
	}
	sounding, r := m.console.Machine().Sounding(), m.in.RankOf(row)
	_, paths := sounding.Because(row)
	return line{m.valveText(r, row-m.in.Ranks[r].First+1, paths, sounding.Speaks(row)), Plain, Item{PipeItem, row, 0}}
}

// valveText is one open valve: its number, note and pitch.
func (m *Model) valveText(r, v, paths int, wind bool) string {
	rank := m.in.Ranks[r]
	var pitches []string
	for _, hz := range m.in.Hz(r, v) {
		pitches = append(pitches, fmt.Sprintf("%.2f", hz))
	}
	text := fmt.Sprintf("%4d  %-4s %s Hz", v, m.signs.note(rank.Note(v)), strings.Join(pitches, " "))
	if paths > 1 {
		text += fmt.Sprintf("  %d paths", paths)
	}
	if !wind {
		text += "  no wind"
	}
	return text
}

// sum counts what sounds.
type sum struct{ paths, valves, pipes, shared, others, windless int }

func (s *sum) add(rank console.Rank, v, paths int, wind bool) {
	s.paths += paths
	s.valves++
	if paths > 1 {
		s.shared++
	}
	switch {
	case !wind:
		s.windless++
	case rank.IsPipes():
		s.pipes += rank.PipesOn(v)
	default:
		s.others++
	}
}

// text is the sum in words: 8 paths, 4 pipes.
func (s *sum) text() string {
	text := count(s.pipes, "pipe")
	if s.valves <= mostCounted {
		text = count(s.paths, "path") + ", " + text
	}
	if s.others > 0 {
		text += fmt.Sprintf(", %d struck", s.others)
	}
	if s.windless > 0 {
		text += fmt.Sprintf(", %d without wind", s.windless)
	}
	return text
}

// robbed says where stops rob each other of a valve.
func (s *sum) robbed() string {
	if s.shared == 0 {
		return ""
	}
	return fmt.Sprint(s.shared, verb(s.shared, " valve is", " valves are"), " wanted more than once")
}

// lacking is why nothing sounds.
func (m *Model) lacking() string {
	held, on := len(m.held) > 0, false
	for c := range m.in.Controls {
		on = on || m.console.Machine().On(c)
	}
	switch {
	case !held:
		return "no key is held"
	case !on:
		return "nothing is drawn"
	}
	return "no stop hears these keys"
}

// count is a number with its noun: 1 pipe, 2 pipes.
func count(n int, noun string) string { return fmt.Sprint(n, " ", verb(n, noun, noun+"s")) }

// verb is one of two forms of a word, for one or for many.
func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// mostWhy is how many valves the pane gives the paths of.
const mostWhy = 100

// whyLines are the paths that pass through what the cursor is on: from a key,
// to a pipe, by way of a stop or coupler.
func (m *Model) whyLines() []line {
	lines := []line{{text: m.itemName(m.cursor), ink: Title}}
	if m.cursor.Kind != KeyItem && m.cursor.Kind != PipeItem && m.cursor.Kind != ControlItem {
		return append(lines, line{text: "put the cursor on a key, a stop, a coupler, or a pipe of pane 1", ink: Dim})
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
					ways = append(ways, m.pathLines(p)...)
				}
			}
			if ways == nil {
				continue
			}
			shown++
			lines = append(lines, line{fmt.Sprintf("%s:%d  %s", rank.ID, v, strings.TrimSpace(m.valveText(r, v, 1, sounding.Speaks(valve))[4:])), On, Item{PipeItem, valve, 0}})
			lines = append(lines, ways...)
			if more := total - len(paths); more > 0 {
				lines = append(lines, line{text: fmt.Sprintf("  and %d more", more), ink: Dim})
			}
		}
	}
	switch {
	case shown == mostWhy:
		lines = append(lines, line{text: "and more: put the cursor on one key or pipe", ink: Dim})
	case shown == 0:
		lines = append(lines, line{text: m.whyNot(), ink: Dim})
	}
	return lines
}

// mayPass tells of a valve of a rank whether a path to it may have to do with
// what the cursor is on: it spares asking all of them why they are open.
func (m *Model) mayPass() func(rank, valve int) bool {
	switch m.cursor.Kind {
	case PipeItem:
		return func(_, valve int) bool { return valve == m.cursor.Index }
	case KeyItem:
		in, state := m.console.Machine().Reference()
		state.Held = slices.DeleteFunc(state.Held, func(h console.Held) bool { return h.Key != m.cursor.key() })
		alone := console.NewSounding(in)
		alone.Set(state)
		return func(_, valve int) bool { return alone.Open(valve) }
	}
	c := m.in.Controls[m.cursor.Index]
	if c.Kind != console.StopControl {
		return func(int, int) bool { return true }
	}
	taken := make([]bool, len(m.in.Ranks))
	for _, take := range m.in.Stops[c.Index].Takes {
		taken[take.Rank] = true
	}
	return func(rank, _ int) bool { return taken[rank] }
}

// passes reports a path that has to do with what the cursor is on.
func (m *Model) passes(p console.Path) bool {
	switch m.cursor.Kind {
	case KeyItem:
		return p.Key == m.cursor.key()
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

// pathLines is a path, a step after the other: key, couplers, stop.
func (m *Model) pathLines(p console.Path) []line {
	key := "pulse" // of a pizzicato coupler, on a keyboard of its own
	if p.Key.Keyboard < len(m.in.Keyboards) {
		key = m.keyboardName(p.Key.Keyboard)
	}
	steps := []string{key + " " + m.signs.note(p.Key.Note)}
	for _, c := range p.Couplers {
		steps = append(steps, withFeet(m.signs, m.in.Couplers[c].Name, couplerPitch(m.signs, m.in.Couplers[c])))
	}
	stop := m.in.Stops[p.Stop]
	steps = append(steps, withFeet(m.signs, stop.Name, m.signs.feet(stop.Feet)))
	return []line{{text: "    " + strings.Join(steps, " "+m.signs.here+" ")}}
}

// whyNot is why nothing sounds by way of what the cursor is on.
func (m *Model) whyNot() string {
	machine := m.console.Machine()
	switch {
	case m.cursor.Kind == KeyItem && !machine.Held(m.cursor.key()):
		return "this key is not held"
	case m.cursor.Kind == ControlItem && !machine.On(m.cursor.Index):
		return "this is off"
	case m.cursor.Kind == PipeItem:
		return "this pipe is silent"
	}
	return "nothing sounds by way of it: " + m.lacking()
}
