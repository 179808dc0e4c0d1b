package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

// Cells of a join.
const (
	fromCell     = 0
	fromPinsCell = 1
	toCell       = 2
	toPinsCell   = 3
	joinWires    = 5
)

// joinSlipsOf are the slips in every join; boards and strips are what it may be led
// to by mistake.
func joinSlipsOf(boards, strips []string) func(lines []string) []slip {
	return func(lines []string) (slips []slip) {
		l := wiringList{lines, make([][]string, len(lines))}
		for i, line := range lines {
			if i > 0 && line != "" && line[0] != '#' {
				l.rows[i] = strings.Split(line, ",")
			}
		}
		for i, row := range l.rows {
			if row == nil {
				continue
			}
			outOrTwice := l.leftOutOrTwice(i)
			outOrTwice[0].rows = append(anyLine(lines), 0) // what is not there can be named nowhere
			slips = slices.Concat(slips, l.ledElsewhere(i, boards, strips), l.joinedOnOtherPins(i), l.joinsExchanged(i), outOrTwice)
		}
		for i := range slips {
			slips[i].was = lines
		}
		return slips
	}
}

// ledElsewhere lets a join begin at another board or end at another strip, and adds
// one that leads a pin in use to its first terminal.
func (l wiringList) ledElsewhere(i int, boards, strips []string) (slips []slip) {
	row := l.rows[i]
	for _, other := range []struct {
		kind string
		cell int
		ids  []string
	}{{"from another board", fromCell, boards}, {"to another strip", toCell, strips}} {
		for _, id := range other.ids {
			if id != row[other.cell] {
				slips = append(slips, l.with(other.kind, []int{i}, cell{i, other.cell, id}))
			}
		}
	}
	first, _, _ := ends(row[toPinsCell])
	stray := fmt.Sprintf("%s,1,%s,%d,,", boards[len(boards)-1], row[toCell], first)
	return append(slips, slip{kind: "one pin joined twice", rows: []int{i + 2}, lines: slices.Insert(slices.Clone(l.lines), i+1, stray)})
}

// joinedOnOtherPins shifts either end by a pin, turns it round, ends it early or
// lets it begin late, and takes one of its pins for the next; and both ends.
func (l wiringList) joinedOnOtherPins(i int) (slips []slip) {
	row := l.rows[i]
	fromFirst, fromLast, _ := ends(row[fromPinsCell])
	toFirst, toLast, _ := ends(row[toPinsCell])
	wireFirst, wireLast, _ := ends(row[joinWires])
	for _, end := range []struct {
		name            string
		cell, from, to_ int
	}{{"board", fromPinsCell, fromFirst, fromLast}, {"strip", toPinsCell, toFirst, toLast}} {
		add := func(kind, pins string) {
			slips = append(slips, l.with(kind+" at the "+end.name, []int{i}, cell{i, end.cell, pins}))
		}
		from, to := end.from, end.to_
		add("a pin too high", span(from+1, to+1))
		if from > 1 {
			add("a pin too low", span(from-1, to-1))
		}
		add("turned round", fmt.Sprintf("%d..%d", to, from))
		add("begins a pin late", span(from+1, to))
		add("ends a pin early", span(from, to-1))
		add("last pin one too high", span(from, to-1)+" "+strconv.Itoa(to+1))
		add("a pin skipped", span(from, from+9)+" "+span(from+11, to+1))
		add("two pins exchanged", fmt.Sprintf("%s %d..%d %s", span(from, from+9), from+11, from+10, span(from+12, to)))
		add("two octaves exchanged", fmt.Sprintf("%s %s %s", span(from+12, from+23), span(from, from+11), span(from+24, to)))
	}
	both := func(kind string, late, early int) {
		slips = append(slips, l.with(kind, []int{i}, cell{i, fromPinsCell, span(fromFirst+late, fromLast-early)},
			cell{i, toPinsCell, span(toFirst+late, toLast-early)}, cell{i, joinWires, span(wireFirst+late, wireLast-early)}))
	}
	both("begins a pin late at both ends", 1, 0)
	both("ends a pin early at both ends", 0, 1)
	both("ends an octave early at both ends", 0, 12)
	return slips
}

// joinsExchanged gives a join and the next each other's board, or strip, or strip
// with its pins.
func (l wiringList) joinsExchanged(i int) (slips []slip) {
	for j := i + 1; j < len(l.rows); j++ {
		a, b := l.rows[i], l.rows[j]
		if b == nil {
			continue
		}
		for _, at := range []int{fromCell, toCell} {
			if a[at] == b[at] {
				continue
			}
			slips = append(slips, l.with("exchanged with another", []int{i, j}, cell{i, at, b[at]}, cell{j, at, a[at]}))
			if a[at+1] != b[at+1] {
				slips = append(slips, l.with("exchanged with another, pins too", []int{i, j},
					cell{i, at, b[at]}, cell{j, at, a[at]}, cell{i, at + 1, b[at+1]}, cell{j, at + 1, a[at+1]}))
			}
		}
		break
	}
	return slips
}

// stripRelays are relays with strips, slips to be made in their joins: the demo's; the
// same with a second strip, which carries a rank and another; and a small one of two
// strips.
func stripRelays(t testing.TB) map[string]rightRelay {
	one, two, small := rightRelays(t)["demo"], rightRelays(t)["demo"], smallRelay(t)
	in := func(r *rightRelay, name string, changes ...string) {
		r.wiring = filepath.Join(filepath.Dir(r.organ), name)
		text := strings.Join(r.read(t), "\n") + "\n"
		for i := 0; i < len(changes); i += 2 {
			require.Equal(t, 1, strings.Count(text, changes[i]), changes[i])
			text = strings.Replace(text, changes[i], changes[i+1], 1)
		}
		require.NoError(t, os.WriteFile(r.wiring, []byte(text), 0o600))
	}
	in(&two, "relay.yaml", "  J1: {pins: 64}\n", "  J1: {pins: 64}\n  J2: {pins: 110}\n", "  T1: {wires: 64}\n", "  T1: {wires: 64}\n  T2: {wires: 64}\n  T3: {wires: 64}\n")
	in(&two, "wiring.csv", "X10,1..61,valve", "J2,1..61,valve", "X4,1..44,valve", "J2,62..105,valve")
	in(&two, "joins.csv", "T1,1..61\n", "T1,1..61\nX10,1..61,J2,1..61,T2,1..61\nX4,1..44,J2,62..105,T3,1..44\n")
	in(&small, "relay.yaml", "X3: {kind: output, pins: 25}\n", "X3: {kind: output, pins: 25}\n  X4: {kind: output, pins: 50}\n"+
		"strips:\n  J1: {pins: 80}\n  J2: {pins: 40}\n", "cables:\n", "cables:\n  T1: {wires: 50}\n  T2: {wires: 50}\n  T3: {wires: 50}\n",
		"wiring: [wiring.csv]\n", "wiring: [wiring.csv]\njoins: [joins.csv]\n")
	in(&small, "wiring.csv", "X1,1..25,valve", "J1,1..25,valve", "X2,1..49,valve", "J1,26..74,valve", "X3,1..25,valve", "X4,1..50,spare,,,,,\nJ2,1..25,valve")
	in(&small, "joins.csv", "\n", "from,pins,to,pins,cable,wires\nX1,1..25,J1,1..25,T1,1..25\nX2,1..49,J1,26..74,T2,1..49\nX3,1..25,J2,1..25,T3,1..25\n")
	in(&one, "joins.csv")
	return map[string]rightRelay{"one strip": one, "two strips": two, "small": small}
}

// smallRelay is the relay that the fixtures of the rules change.
func smallRelay(t testing.TB) rightRelay {
	archive, err := txtar.ParseFile("testdata/rules/base.txtar")
	require.NoError(t, err)
	folder := t.TempDir()
	for _, f := range append(archive.Files, txtar.File{Name: "joins.csv"}) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, f.Name), f.Data, 0o600))
	}
	return rightRelay{organ: filepath.Join(folder, "organ.yaml"), relay: filepath.Join(folder, "relay.yaml")}
}

// joinSlips are the slips in the joins of a relay.
func joinSlips(name string) func(lines []string) []slip {
	if name == "small" {
		return joinSlipsOf([]string{"X1", "X2", "X3", "K1", "X4"}, []string{"J1", "J2"})
	}
	return joinSlipsOf([]string{"X1", "X10", "X4", "X12", "K1", "X6"}, []string{"J1", "J2"})
}

// A slip in a join is one finding, which names the join, and what it says to write
// makes the relay right and the join what it was. This takes all slips of a small
// relay and some of others; BenchmarkJoinSlips takes them all.
func TestASlipInAJoinIsNamedThereAndMended(t *testing.T) {
	every := map[string]int{"small": 1, "one strip": 11, "two strips": 23}
	for name, r := range stripRelays(t) {
		t.Run(name, func(t *testing.T) {
			for i, s := range joinSlips(name)(r.read(t)) {
				if i%every[name] == 0 {
					require.Empty(t, r.missesInTable(t, s), "%v", s)
				}
			}
		})
	}
}

// BenchmarkJoinSlips prints how all slips are named and mended, by what slipped:
//
//	go test ./cmd/trundle -run '^$' -bench JoinSlips/small -benchtime 1x
func BenchmarkJoinSlips(b *testing.B) {
	for name, r := range stripRelays(b) {
		b.Run(name, func(b *testing.B) {
			benchSlips(b, map[string]rightRelay{name: r}, joinSlips(name), rightRelay.missesInTable)
		})
	}
}
