package desk

import (
	"fmt"
	"strings"

	"trundle/console"
)

// mostCounted is up to how many open valves their paths are counted.
const mostCounted = 2000

// soundingLines is the sum of what sounds, and a row for every open valve,
// after one for its rank, which is -1 less the rank. Where the pane is too
// narrow for the first of its paths beside it, a row for that follows: the
// valve's number counted on behind the ranks.
func (m *Model) soundingLines() (head []line, rows []int) {
	sounding := m.console.Machine().Sounding()
	count := sounding.OpenCount() <= mostCounted
	var sum sum
	for r := range m.in.Ranks {
		rank, headed := &m.in.Ranks[r], false
		for v := 1; v <= rank.Pipes; v++ {
			valve := rank.First + v - 1
			if !sounding.Open(valve) {
				continue
			}
			if !headed {
				headed = true
				rows = append(rows, -1-r)
			}
			rows = append(rows, valve)
			if m.narrow() {
				rows = append(rows, -1-len(m.in.Ranks)-valve)
			}
			paths := 0
			if count {
				paths = sounding.PathCount(valve)
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

// narrow reports a pane in which a pipe and a path to it do not fit side by
// side.
func (m *Model) narrow() bool { return m.frame().pane.w < 72 }

// soundingLine is a row of soundingLines as a line.
func (m *Model) soundingLine(row int) line {
	ranks := len(m.in.Ranks)
	switch {
	case row >= 0:
		return m.valveLine(row)
	case row >= -ranks:
		return line{text: m.signs.text(m.in.Ranks[-1-row].Name), ink: Title}
	}
	paths, _ := m.console.Machine().Sounding().Because(-1 - row - ranks)
	return line{text: "    " + m.firstPath(paths), ink: Dim}
}

// valveLine is an open valve as a line.
func (m *Model) valveLine(valve int) line {
	sounding, r := m.console.Machine().Sounding(), m.in.RankOf(valve)
	paths, total := sounding.Because(valve)
	text := m.valveText(r, valve-m.in.Ranks[r].First+1, total, sounding.Speaks(valve))
	if !m.narrow() {
		text += "  " + m.firstPath(paths)
	}
	return line{text: text, item: Item{PipeItem, valve, 0}}
}

func (m *Model) firstPath(paths []console.Path) string {
	if len(paths) == 0 {
		return ""
	}
	return untied(m.pathText(paths[0]))
}

// valveText is one open valve: its number, note and pitch.
func (m *Model) valveText(r, v, paths int, wind bool) string {
	rank := m.in.Ranks[r]
	var pitches []string
	for _, hz := range m.in.Hz(r, v) {
		pitches = append(pitches, fmt.Sprintf("%7.2f", hz))
	}
	text := fmt.Sprintf("%4d  %-3s %s Hz", v, m.signs.note(rank.Note(v)), strings.Join(pitches, " "))
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

func (s *sum) add(rank *console.Rank, v, paths int, wind bool) {
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
