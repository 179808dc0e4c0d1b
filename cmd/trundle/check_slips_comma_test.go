package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/sim/wiring"
)

// commaSlips are the rows of a file with one comma lost, at each place, and with
// one too many.
func commaSlips(lines []string) (slips []slip) {
	add := func(kind string, i int, row string) {
		s := slip{kind: kind, rows: []int{i + 1}, lines: append([]string{}, lines...), was: lines}
		s.lines[i] = row
		slips = append(slips, s)
	}
	for i, row := range lines {
		if i == 0 || row == "" || row[0] == '#' {
			continue
		}
		for at := range row {
			if row[at] == ',' && strings.Trim(row[at:], ",") != "" {
				add("a comma lost", i, row[:at]+row[at+1:])
				add("a blank for a comma", i, row[:at]+" "+row[at+1:])
				add("a comma twice", i, row[:at]+","+row[at:])
			}
		}
	}
	return slips
}

// missedComma is what is lacking of a comma lost or one too many: one finding,
// in its row, that says to write the row as it was.
func (r rightRelay) missedComma(t testing.TB, in *console.Instrument, s slip) string {
	require.NoError(t, os.WriteFile(r.wiring, []byte(strings.Join(s.lines, "\n")+"\n"), 0o600))
	_, found := wiring.Load(r.relay, in)
	was := s.was[s.rows[0]-1]
	if len(found) != 1 || found[0].Line != s.rows[0] || !strings.Contains(found[0].Message, "comma") || !strings.Contains(found[0].Fix, was) {
		return fmt.Sprintf("wanted %s, got %v", was, found)
	}
	return ""
}

// A comma that is lost or stands twice, anywhere in a table of wiring or switching, is
// one finding, and what it says to write is the row as it was. This takes some.
func TestACommaLostOrTooManyIsNamedAndTheRowMended(t *testing.T) {
	const every = 61
	for name, r := range rightRelays(t) {
		in, _ := console.Load(r.organ)
		for _, table := range []string{"wiring.csv", "switching.csv"} {
			r.wiring = filepath.Join(filepath.Dir(r.relay), table)
			right := r.read(t)
			for i, s := range commaSlips(right) {
				if i%every == 0 {
					require.Empty(t, r.missedComma(t, in, s), "%s: %v", name, s)
				}
			}
			require.NoError(t, os.WriteFile(r.wiring, []byte(strings.Join(right, "\n")+"\n"), 0o600))
		}
	}
}
