package wiring_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/gen"
	"trundle/sim/wiring"
)

// What is written reads back as the same: the tables of a derived relay with
// doubled pins, strips and stirred couplers.
func TestTablesReadBack(t *testing.T) {
	for seed := range uint64(20) {
		in := gen.Instrument(seed, gen.Small)
		r := planned(in, seed)
		r.Plan, r.Joins = byRuns(r)
		r.Switch, r.Derived = wiring.Derive(r, in), false

		dir := t.TempDir()
		write := func(name string, to func(*bytes.Buffer) error) {
			var b bytes.Buffer
			require.NoError(t, to(&b))
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), b.Bytes(), 0o600))
		}
		write("switching.csv", func(b *bytes.Buffer) error { return wiring.WriteSwitching(b, r, r.Switch) })
		write("wiring.csv", func(b *bytes.Buffer) error { return wiring.WriteWiring(b, r, in, r.Plan) })
		write("joins.csv", func(b *bytes.Buffer) error { return wiring.WriteJoins(b, r, r.Joins) })
		write("relay.yaml", func(b *bytes.Buffer) error {
			fmt.Fprint(b, "format: 1\nwiring: wiring.csv\nswitching: switching.csv\njoins: joins.csv\nstrips:\n")
			fmt.Fprintf(b, "  J1: {pins: %d}\nboards:\n", r.Strips[0].Pins)
			for _, board := range r.Boards {
				fmt.Fprintf(b, "  %s: {kind: %s, pins: %d}\n", board.ID, board.Direction, board.Pins)
			}
			return nil
		})

		back, found := wiring.Load(filepath.Join(dir, "relay.yaml"), in)
		require.Empty(t, found)
		require.Equal(t, bare(r), bare(back))
	}
}

// byRuns gathers rows and joins of one pin each as a person would write them,
// a row for each board and thing.
func byRuns(r *wiring.Relay) (rows []wiring.Row, joins []wiring.Join) {
	for _, row := range r.Plan {
		if last := len(rows) - 1; last >= 0 && rows[last].Pins[0].On == row.Pins[0].On && follows(rows[last].Items[0], row.Items[0]) {
			rows[last].Pins = append(rows[last].Pins, row.Pins[0])
			rows[last].Items = append(rows[last].Items, row.Items[0])
			continue
		}
		rows = append(rows, row)
	}
	for _, j := range r.Joins {
		if last := len(joins) - 1; last >= 0 && joins[last].To[0].On == j.To[0].On {
			joins[last].From = append(joins[last].From, j.From[0])
			joins[last].To = append(joins[last].To, j.To[0])
			continue
		}
		joins = append(joins, j)
	}
	return rows, joins
}

func follows(a, b wiring.Item) bool {
	noted := b.Note != 0
	a.Note, b.Note = 0, 0
	return noted && a == b
}

// bare is a relay without its places and spellings.
func bare(r *wiring.Relay) wiring.Relay {
	b := wiring.Relay{}
	for _, row := range r.Plan {
		b.Plan = append(b.Plan, wiring.Row{Pins: row.Pins, Items: row.Items})
	}
	for _, j := range r.Joins {
		b.Joins = append(b.Joins, wiring.Join{From: j.From, To: j.To})
	}
	for _, s := range r.Switch {
		s.Cells, s.At = nil, finding.Place{}
		b.Switch = append(b.Switch, s)
	}
	return b
}

func TestRangesAreWrittenAsAPersonWouldWriteThem(t *testing.T) {
	for want, notes := range map[string][]console.Note{
		"":                    nil,
		"C2":                  {36},
		"C2..C#2":             {36, 37},
		"C2 D2":               {36, 38},
		"C2..E2/2":            {36, 38, 40},
		"C2..C7":              span(36, 96, 1),
		"C7..C2":              span(96, 36, -1),
		"C2..A#6/2 C#2..B6/2": append(span(36, 94, 2), span(37, 95, 2)...), // C side, C-sharp side
		"C2 C2":               {36, 36},
		"C2..B2 C4..C7":       append(span(36, 47, 1), span(60, 96, 1)...),
		"C2..D2 F2..G2 C3 E3": {36, 37, 38, 41, 42, 43, 48, 52},
	} {
		require.Equal(t, want, wiring.FormatNotes(notes))
	}
	require.Equal(t, "1..25 27..62", wiring.FormatNumbers(append(numbers(1, 25), numbers(27, 62)...)))
	require.Equal(t, "61..1", wiring.FormatNumbers(reversed(numbers(1, 61))))
}

func span(from, to, step console.Note) []console.Note {
	var notes []console.Note
	for n := from; n != to+step; n += step {
		notes = append(notes, n)
	}
	return notes
}

func numbers(from, to int) []int {
	var list []int
	for n := from; n <= to; n++ {
		list = append(list, n)
	}
	return list
}

func reversed(list []int) []int {
	slices.Reverse(list)
	return list
}

func TestAnyListReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.IntRange(1, 40), 1, 30).Draw(t, "list")
		back, err := console.ParseNumbers(wiring.FormatNumbers(list))
		require.NoError(t, err)
		require.Equal(t, list, back)

		notes := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) console.Note { return console.Note(rapid.IntRange(0, 127).Draw(t, "note")) }), 1, 30).Draw(t, "notes")
		again, err := console.ParseNotes(wiring.FormatNotes(notes))
		require.NoError(t, err)
		require.Equal(t, notes, again)
	})
}
