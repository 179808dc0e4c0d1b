package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/proof"
)

// Cells of a row of the switching.
const (
	lineCell        = 1
	lineNotesCell   = 2
	controlCell     = 3
	switchBoardCell = 4
	switchPinsCell  = 5
	toLineCell      = 6
	toLineNotesCell = 7
)

// tableSlipsOf are the slips in every row of a switching table.
func tableSlipsOf(lines []string) (slips []slip) {
	l := wiringList{lines, make([][]string, len(lines))}
	for i, line := range lines {
		if i > 0 && line != "" && line[0] != '#' {
			l.rows[i] = strings.Split(line, ",")
		}
	}
	for i, row := range l.rows {
		if row == nil || strings.Contains(row[controlCell], "tremulant") || strings.Contains(row[controlCell], "reeds") {
			continue // wind is not compared
		}
		outOrTwice := l.leftOutOrTwice(i)
		outOrTwice[0].rows = anyLine(lines) // what is not there can be named nowhere
		slips = slices.Concat(slips, l.otherPins(i), l.otherNotes(i), l.tooShort(i), l.otherNames(i), l.forgotten(i), outOrTwice)
	}
	for i := range slips {
		slips[i].was = lines
	}
	return slips
}

func anyLine(lines []string) (all []int) {
	for i := range lines {
		all = append(all, i+1)
	}
	return all
}

// like is the next row, up or down, of the same kind with as many cells empty.
func (l wiringList) like(i, step int) int {
	for j := i + step; 0 < j && j < len(l.rows); j += step {
		other := l.rows[j]
		if other != nil && other[0] == l.rows[i][0] && other[lineCell] == "" == (l.rows[i][lineCell] == "") {
			return j
		}
	}
	return -1
}

// otherPins shifts the pins of a row up and down, turns them round, and lets the
// row have the pins or the board of the rows about it; and exchanges two rows' pins.
func (l wiringList) otherPins(i int) (slips []slip) {
	row := l.rows[i]
	from, to, ok := ends(row[switchPinsCell])
	if !ok {
		return nil
	}
	for _, by := range []int{1, -1} {
		if from+by > 0 {
			slips = append(slips, l.with("pins shifted by one", []int{i}, cell{i, switchPinsCell, span(from+by, to+by)}))
		}
	}
	if to > from {
		slips = append(slips, l.with("pins turned round", []int{i}, cell{i, switchPinsCell, fmt.Sprintf("%d..%d", to, from)}))
	}
	for _, step := range []int{1, -1} {
		j := l.like(i, step)
		if j < 0 {
			continue
		}
		other := l.rows[j]
		if other[switchPinsCell] != row[switchPinsCell] {
			slips = append(slips, l.with("pins of another row", []int{i}, cell{i, switchPinsCell, other[switchPinsCell]}))
		}
		if other[switchBoardCell] != row[switchBoardCell] {
			slips = append(slips, l.with("board of another row", []int{i}, cell{i, switchBoardCell, other[switchBoardCell]}))
		}
		if a, b, _ := ends(other[switchPinsCell]); step > 0 && b-a == to-from {
			slips = append(slips, l.with("two rows' pins exchanged", []int{i, j},
				cell{i, switchBoardCell, other[switchBoardCell]}, cell{i, switchPinsCell, other[switchPinsCell]},
				cell{j, switchBoardCell, row[switchBoardCell]}, cell{j, switchPinsCell, row[switchPinsCell]}))
		}
	}
	return slips
}

// otherNotes shifts the notes of a row by one, turns them round, and lets a row
// that shifts notes do so the other way, or an octave off.
func (l wiringList) otherNotes(i int) (slips []slip) {
	row := l.rows[i]
	if row[lineCell] == "" {
		return nil
	}
	for _, by := range []int{1, -1} {
		slips = append(slips, l.with("notes shifted by one", []int{i}, cell{i, lineNotesCell, notesMoved(row[lineNotesCell], by)}))
	}
	first, last, _ := strings.Cut(row[lineNotesCell], "..")
	slips = append(slips, l.with("notes turned round", []int{i}, cell{i, lineNotesCell, last + ".." + first}))
	if row[0] == "couple" {
		for _, by := range []int{12, -12} {
			slips = append(slips, l.with("an octave off", []int{i}, cell{i, toLineNotesCell, notesMoved(row[toLineNotesCell], by)}))
		}
		from, _, _ := strings.Cut(row[lineNotesCell], "..")
		to, _, _ := strings.Cut(row[toLineNotesCell], "..")
		if by := noteNumber(from) - noteNumber(to); by != 0 {
			slips = append(slips, l.with("shifts the other way", []int{i}, cell{i, toLineNotesCell, notesMoved(row[lineNotesCell], by)}))
		}
	}
	return slips
}

// tooShort lets a row begin a note late, or end one early, and all its ranges.
func (l wiringList) tooShort(i int) (slips []slip) {
	row := l.rows[i]
	for _, late := range []bool{true, false} {
		cells := []cell{{i, lineNotesCell, shorter(row[lineNotesCell], late)}}
		if row[0] == "couple" {
			cells = append(cells, cell{i, toLineNotesCell, shorter(row[toLineNotesCell], late)})
		} else if from, to, _ := ends(row[switchPinsCell]); late {
			cells = append(cells, cell{i, switchPinsCell, span(from+1, to)})
		} else {
			cells = append(cells, cell{i, switchPinsCell, span(from, to-1)})
		}
		if row[lineCell] != "" {
			slips = append(slips, l.with("a note short", []int{i}, cells...))
		}
	}
	return slips
}

// shorter is a run of notes without its first, or its last.
func shorter(run string, first bool) string {
	from, to, _ := strings.Cut(run, "..")
	if first {
		return console.Note(noteNumber(from)+1).String() + ".." + to
	}
	return from + ".." + console.Note(noteNumber(to)-1).String()
}

// forgotten leaves out the row that reads a control with all that ask for it, and
// lets rows that it silences not ask.
func (l wiringList) forgotten(i int) []slip {
	label := l.rows[i][controlCell]
	if l.rows[i][0] != "read" || label == "" {
		return nil
	}
	s := slip{kind: "a control forgotten", rows: anyLine(l.lines)}
	for j, line := range l.lines {
		if row := l.rows[j]; row != nil {
			literals := strings.Split(row[controlCell], "&")
			if slices.Contains(literals, label) {
				continue
			}
			row = slices.Clone(row)
			row[controlCell] = strings.Join(slices.DeleteFunc(literals, func(word string) bool { return word == "!"+label }), "&")
			line = strings.Join(row, ",")
		}
		s.lines = append(s.lines, line)
	}
	return []slip{s}
}

func noteNumber(text string) int {
	n, _ := console.ParseNote(text)
	return int(n)
}

// notesMoved is a run of notes so many semitones higher.
func notesMoved(run string, by int) string {
	first, last, _ := strings.Cut(run, "..")
	return console.Note(noteNumber(first)+by).String() + ".." + console.Note(noteNumber(last)+by).String()
}

// otherNames lets a row say the names of the rows about it, and misspells them.
func (l wiringList) otherNames(i int) (slips []slip) {
	row := l.rows[i]
	for _, at := range []int{lineCell, controlCell, toLineCell} {
		if row[at] == "" {
			continue
		}
		slips = append(slips, l.with("a name misspelt", []int{i}, cell{i, at, row[at][:len(row[at])-2] + row[at][len(row[at])-1:]}))
		for _, step := range []int{1, -1} {
			for j := l.like(i, step); j > 0; j = l.like(j, step) {
				if name := l.rows[j][at]; name != "" && name != row[at] && name != row[lineCell] && name != row[toLineCell] {
					slips = append(slips, l.with("a name of another row", []int{i}, cell{i, at, name}))
					break
				}
			}
		}
	}
	return slips
}

// rightTables are the relays with slips made in their table.
func rightTables(t testing.TB) map[string]rightRelay {
	relays := rightRelays(t)
	for name, r := range relays {
		r.wiring = filepath.Join(filepath.Dir(r.wiring), "switching.csv")
		relays[name] = r
	}
	return relays
}

// missesInTable is what a check of a slip in the table lacks. Where the relay
// plays all the same, nothing need be said but by a rule of the row.
func (r rightRelay) missesInTable(t testing.TB, s slip) string {
	miss := r.misses(t, s)
	if miss == "" || s.kind == "there twice" {
		return miss
	}
	c := r.check(t, s.lines)
	list := errorsOf(c)
	here := func(f finding.Finding) bool { return slices.Contains(s.rows, f.Line) }
	if c.proof.Verdict == proof.Equal && (len(list) == 0 || len(list) == 1 && here(list[0])) {
		return ""
	}
	return miss
}

// A slip in one row of the switching, or two rows that have each other's pins,
// is one finding; it names the row, and what it says to write makes the relay
// right. This takes some slips; BenchmarkSwitchingSlips takes them all.
func TestASlipInARowOfTheTableIsNamedThereAndMended(t *testing.T) {
	every := map[string]int{"new": 12, "demo": 97}
	for name, r := range rightTables(t) {
		t.Run(name, func(t *testing.T) {
			for i, s := range tableSlipsOf(r.read(t)) {
				if i%every[name] == 0 {
					require.Empty(t, r.missesInTable(t, s), "%v", s)
				}
			}
		})
	}
}

// A control whose rows are all left out, as where a stop is new, is named with
// the pin that no row reads, and its rows are written out.
func TestAControlThatTheTableForgetsIsNamedWithItsRows(t *testing.T) {
	every := map[string]int{"new": 3, "demo": 11}
	for name, r := range rightTables(t) {
		i := 0
		for _, s := range tableSlipsOf(r.read(t)) {
			if s.kind != "a control forgotten" {
				continue
			}
			if i++; i%every[name] == 0 {
				require.Empty(t, r.missesInTable(t, s), "%s: %v", name, s)
				require.Contains(t, errorsOf(r.check(t, s.lines))[0].Message, "the table has no row that reads S")
			}
		}
		require.Greater(t, i, 10)
	}
}

// A stop that is new in the instrument and on no pin: that says which valves are
// silent, and nothing is left that no mistake accounts for.
func TestWhatIsOnNoPinSaysWhichValvesAreWrongBecauseOfIt(t *testing.T) {
	r := rightTables(t)["new"]
	organ, err := os.ReadFile(r.organ)
	require.NoError(t, err)
	text := strings.Replace(string(organ), "  viola: {", "  horn: {division: swell, family: flute, feet: 8, pipes: 73}\n  viola: {", 1)
	text = strings.Replace(text, "  swell-viola-8: {", "  swell-horn-8: {division: swell, feet: 8, rank: horn}\n  swell-viola-8: {", 1)
	require.NoError(t, os.WriteFile(r.organ, []byte(text), 0o600))
	var because []string
	for _, f := range errorsOf(r.check(t, r.read(t))) {
		require.Equal(t, "item-not-wired", f.Rule, f.Message)
		if strings.Contains(f.Message, "because of it") {
			because = append(because, f.Message)
		}
	}
	require.Equal(t, []string{
		"stop swell-horn-8 is on no pin; 73 valves open otherwise than they should because of it",
		"valve horn 1..73 are on no pin; 73 valves open otherwise than they should because of it",
	}, because)
}

// BenchmarkSwitchingSlips prints how all slips are named and mended, by what slipped:
//
//	go test ./cmd/trundle -run '^$' -bench SwitchingSlips -benchtime 1x
func BenchmarkSwitchingSlips(b *testing.B) {
	benchSlips(b, rightTables(b), tableSlipsOf, rightRelay.missesInTable)
}
