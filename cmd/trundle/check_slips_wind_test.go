package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// windSlips exchange the pins of each row of a ventil or tremulant with those of
// the nearest row, up or down, on which it depends which valves open: in the plan
// what two rows hang, in the table the pins they read or drive.
func windSlips(lines []string, table bool) (slips []slip) {
	l := wiringList{lines, make([][]string, len(lines))}
	for i, line := range lines {
		if i > 0 && line != "" && line[0] != '#' {
			l.rows[i] = strings.Split(line, ",")
		}
	}
	sort, what, cells := kindCell, itemCell, []int{kindCell, itemCell}
	if table {
		sort, what, cells = 0, controlCell, []int{switchBoardCell, switchPinsCell}
	}
	wind := func(row []string) bool {
		return strings.Contains(row[what], "tremulant") || strings.Contains(row[what], "reeds")
	}
	alike := func(row, other []string) bool {
		if table {
			return row[sort] == other[sort] && other[lineCell] == ""
		}
		return row[boardCell][0] == other[boardCell][0] && slices.Contains([]string{"stop", "coupler", "action"}, other[sort])
	}
	for i, row := range l.rows {
		if row == nil || !wind(row) {
			continue
		}
		for _, step := range []int{1, -1} {
			for j := i + step; 0 < j && j < len(l.rows); j += step {
				other := l.rows[j]
				if other == nil || wind(other) || !alike(row, other) {
					continue
				}
				var changed []cell
				for _, at := range cells {
					changed = append(changed, cell{i, at, other[at]}, cell{j, at, row[at]})
				}
				s := l.with("exchanged with a ventil or tremulant", []int{i, j}, changed...)
				s.was = lines
				slips = append(slips, s)
				break
			}
		}
	}
	return slips
}

// No valve depends on a ventil or a tremulant. What has pins exchanged with one is
// not moved there alone: both rows are written as they were.
func TestPinsExchangedWithThoseOfAVentilOrTremulantAreBothPutBack(t *testing.T) {
	tried := 0
	for name, r := range rightRelays(t) {
		for _, s := range windSlips(r.read(t), false) {
			require.Empty(t, r.misses(t, s), "%s: %v", name, s)
			tried++
		}
	}
	for name, r := range rightTables(t) {
		for _, s := range windSlips(r.read(t), true) {
			require.Empty(t, r.missesInTable(t, s), "%s: %v", name, s)
			tried++
		}
	}
	require.Greater(t, tried, 12)
}

// One row of a table is wrong in a way that no cell alone shows.
func TestARowOfTheTableIsNamedForWhatTheOtherRowsSay(t *testing.T) {
	const own = "couple,great-down,C2..C7,choir-to-great-8,,,choir-own,C2..C7,"
	for name, x := range map[string]struct{ relay, was, is string }{
		"copied and not altered":                    {"new", "drive,pedal,C2..G4,pedal-bourdon-8,X6,13..44,,,", "drive,pedal,C2..G4,pedal-bourdon-16,X6,1..32,,,"},
		"copied, the last pin altered":              {"new", "drive,pedal,C2..G4,pedal-bourdon-8,X6,13..44,,,", "drive,pedal,C2..G4,pedal-bourdon-16,X6,1..44,,,"},
		"more pins than the board has":              {"new", "drive,pedal,C2..G4,pedal-bourdon-16,X6,1..32,,,", "drive,pedal,C2..G4,pedal-bourdon-16,X6,1..61,,,"},
		"left out, with only a silencing control":   {"new", "couple,swell-keys,C2..C7,!swell-unison-off,,,swell,C2..C7,", ""},
		"left out, what leads to a line of its own": {"demo", own, ""},
		"another line":                              {"demo", own, strings.Replace(own, "choir-own", "choir", 1)},
		"a line misspelt":                           {"demo", own, strings.Replace(own, "choir-own", "choir-on", 1)},
		"a control misspelt":                        {"demo", "couple,great-down,C2..B3,bass,,,pedal,C2..B3,lowest", "couple,great-down,C2..B3,bas,,,pedal,C2..B3,lowest"},
	} {
		r := rightTables(t)[x.relay]
		was := r.read(t)
		i := slices.Index(was, x.was)
		require.Positive(t, i, name)
		s := slip{kind: name, rows: []int{i + 1}, lines: slices.Clone(was), was: was}
		if s.lines[i] = x.is; x.is == "" {
			s.lines, s.rows = slices.Delete(s.lines, i, i+1), anyLine(was)
		}
		require.Empty(t, r.missesInTable(t, s), "%v", s)
	}
}

// What a plan hangs one pin too high, with the spare pins to suit, may be meant
// so; then the table follows. That takes less to write, and the other is said to
// be the less likely.
func TestAReadingThatTakesMoreToWriteIsSaidToBeLessLikely(t *testing.T) {
	r := rightRelays(t)["new"]
	text := strings.Join(r.read(t), "\n")
	text = strings.Replace(text, "X2,3,action", "X2,4,action", 1)
	text = strings.Replace(text, "X2,4..16,spare", "X2,3 5..16,spare", 1)
	list := errorsOf(r.check(t, strings.Split(text, "\n")))
	require.Len(t, list, 1)
	require.Len(t, list[0].Related, 1)
	require.Contains(t, list[0].Related[0].Message, "or here, less likely, as more is to be written: write X2,3,action,mixture,,CX2,3,")
}
