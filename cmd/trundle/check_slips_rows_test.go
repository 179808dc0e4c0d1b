package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// slip is a mistake that a hand makes in a row of a list of wiring, or in two.
type slip struct {
	kind  string
	rows  []int    // lines of the file, one of which a check should name
	lines []string // the file with the slip
	was   []string // and without
}

func (s slip) String() string {
	return fmt.Sprintf("%s in line %v: %s", s.kind, s.rows, s.lines[s.rows[0]-1])
}

// Cells of a row of the wiring.
const (
	boardCell = iota
	pinsCell
	kindCell
	itemCell
	notesCell
	cableCell
	wiresCell
)

// slipsOf are the slips in every row on which it depends which valves open.
func slipsOf(lines []string) (slips []slip) {
	heard := []string{"key", "stop", "coupler", "note", "action", "valve"}
	l := wiringList{lines, make([][]string, len(lines))}
	for i, line := range lines {
		if i > 0 && line != "" && line[0] != '#' {
			l.rows[i] = strings.Split(line, ",")
		}
	}
	for i, row := range l.rows {
		if row != nil && slices.Contains(heard, row[kindCell]) {
			slips = slices.Concat(slips, l.onOtherPins(i), l.offItsPlace(i), l.hangingOthers(i), l.leftOutOrTwice(i))
		}
	}
	for i := range slips {
		slips[i].was = lines
	}
	return slips
}

// wiringList is a list of wiring, its rows by line from 0; nil for what is no row.
type wiringList struct {
	lines []string
	rows  [][]string
}

// cell is a cell of a row that is to be written otherwise.
type cell struct {
	row, cell int
	text      string
}

// with is a slip of some cells; a check should name a row of rows.
func (l wiringList) with(kind string, rows []int, cells ...cell) slip {
	s := slip{kind: kind, lines: slices.Clone(l.lines)}
	changed := map[int][]string{}
	for _, c := range cells {
		if changed[c.row] == nil {
			changed[c.row] = slices.Clone(l.rows[c.row])
		}
		changed[c.row][c.cell] = c.text
		s.lines[c.row] = strings.Join(changed[c.row], ",")
	}
	for _, r := range rows {
		s.rows = append(s.rows, r+1)
	}
	return s
}

// onOtherPins shifts the pins of a row by one, where the next pin is spare, with
// and without the spare pins; and lets it begin a pin late or end a pin early.
func (l wiringList) onOtherPins(i int) (slips []slip) {
	row := l.rows[i]
	from, to, ok := ends(row[pinsCell])
	if !ok {
		return nil
	}
	spare := slices.IndexFunc(l.rows, func(other []string) bool {
		if other == nil || other[kindCell] != "spare" || other[boardCell] != row[boardCell] {
			return false
		}
		first, _, _ := ends(other[pinsCell])
		return first == to+1
	})
	if spare > 0 {
		rest := strconv.Itoa(from)
		if _, last, _ := ends(l.rows[spare][pinsCell]); last > to+1 {
			rest += " " + span(to+2, last)
		}
		shifted := cell{i, pinsCell, span(from+1, to+1)}
		slips = append(slips,
			l.with("a pin too high, and the spare pins so", []int{i}, shifted, cell{spare, pinsCell, rest}),
			l.with("a pin too high, onto a spare pin", []int{i}, shifted))
	}
	if to > from {
		slips = append(slips,
			l.with("begins a pin late", []int{i}, cell{i, pinsCell, span(from+1, to)}),
			l.with("ends a pin early", []int{i}, cell{i, pinsCell, span(from, to-1)}))
	}
	return slips
}

// offItsPlace puts a row on the pins of the connectors before and after its own,
// but for its cable; past the end of its own; lists its pins, or its things, odd
// ones first; and cuts it short, with spare pins for the rest.
func (l wiringList) offItsPlace(i int) (slips []slip) {
	row := l.rows[i]
	from, to, ok := ends(row[pinsCell])
	if !ok {
		return nil
	}
	for _, step := range []int{1, -1} {
		if j := l.onOther(i, step); j >= 0 {
			slips = append(slips, l.with("on another connector", []int{i}, cell{i, boardCell, l.rows[j][boardCell]}))
		}
	}
	const long = 8
	if to-from < long {
		return slips
	}
	last := 0
	for _, other := range l.rows {
		if other != nil && other[boardCell] == row[boardCell] {
			_, end, _ := ends(other[pinsCell])
			last = max(last, end)
		}
	}
	by := last - to + 1
	odd := fmt.Sprintf("%d..%d/2 %d..%d/2", from, to-(to-from)%2, from+1, to-(to-from+1)%2)
	slips = append(slips,
		l.with("past the end of the connector", []int{i}, cell{i, pinsCell, span(from+by, to+by)}),
		l.with("odd pins first", []int{i}, cell{i, pinsCell, odd}))
	if row[kindCell] == "valve" && row[notesCell] == row[pinsCell] {
		half := from + (to-from)/2
		short := l.with("cut short, the rest spare", []int{i}, cell{i, pinsCell, span(from, half)}, cell{i, notesCell, span(from, half)}, cell{i, wiresCell, span(from, half)})
		short.lines = slices.Insert(short.lines, i+1, row[boardCell]+","+span(half+1, to)+",spare,,,,,")
		slips = append(slips, l.with("odd ones first", []int{i}, cell{i, notesCell, odd}), short)
	}
	return slips
}

// onOther is the nearest row of the same kind, up or down, on another connector.
func (l wiringList) onOther(i, step int) int {
	for j := i + step; 0 < j && j < len(l.rows); j += step {
		if other := l.rows[j]; other != nil && other[kindCell] == l.rows[i][kindCell] && other[boardCell] != l.rows[i][boardCell] {
			return j
		}
	}
	return -1
}

// hangingOthers lets a row say what the rows of its kind before and after it
// say, exchanges it with the next, and turns its notes round.
func (l wiringList) hangingOthers(i int) (slips []slip) {
	row := l.rows[i]
	for _, step := range []int{1, -1} {
		j := l.alike(i, step)
		if j < 0 {
			continue
		}
		other := l.rows[j]
		slips = append(slips, l.with("says what another says", []int{i}, cell{i, itemCell, other[itemCell]}))
		if step > 0 && pinsIn(row) == pinsIn(other) {
			slips = append(slips, l.with("exchanged with another", []int{i, j},
				cell{i, itemCell, other[itemCell]}, cell{i, notesCell, other[notesCell]},
				cell{j, itemCell, row[itemCell]}, cell{j, notesCell, row[notesCell]}))
		}
	}
	if first, last, run := strings.Cut(row[notesCell], ".."); run {
		slips = append(slips, l.with("notes turned round", []int{i}, cell{i, notesCell, last + ".." + first}))
	}
	return slips
}

// alike is the nearest row of the same kind, up or down, that hangs another thing.
func (l wiringList) alike(i, step int) int {
	for j := i + step; 0 < j && j < len(l.rows); j += step {
		if other := l.rows[j]; other != nil && other[kindCell] == l.rows[i][kindCell] && other[itemCell] != l.rows[i][itemCell] {
			return j
		}
	}
	return -1
}

// leftOutOrTwice leaves a row out, where a row beside it should be named; or
// lets it stand there twice.
func (l wiringList) leftOutOrTwice(i int) []slip {
	out := slip{kind: "left out", lines: slices.Delete(slices.Clone(l.lines), i, i+1)}
	for j := i - 1; j > 0; j-- {
		if l.rows[j] != nil {
			out.rows = append(out.rows, j+1)
			break
		}
	}
	for j := i + 1; j < len(l.rows); j++ {
		if l.rows[j] != nil {
			out.rows = append(out.rows, j) // a line higher than it was
			break
		}
	}
	return []slip{out, {kind: "there twice", rows: []int{i + 1, i + 2}, lines: slices.Insert(slices.Clone(l.lines), i, l.lines[i])}}
}

// ends are the ends of one run of pins; false for several.
func ends(text string) (from, to int, one bool) {
	first, last, run := strings.Cut(text, "..")
	if !run {
		last = first
	}
	from, errFrom := strconv.Atoi(first)
	to, errTo := strconv.Atoi(last)
	return from, to, errFrom == nil && errTo == nil
}

func pinsIn(row []string) int {
	from, to, _ := ends(row[pinsCell])
	return to - from
}

func span(from, to int) string {
	if from == to {
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d..%d", from, to)
}
