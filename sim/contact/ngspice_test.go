package contact_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/sim/contact"
)

// spice has ngspice work out the operating point of a circuit, and returns the
// values of what is asked, volts and amps.
func spice(t *testing.T, circuit string, asked ...string) []float64 {
	t.Helper()
	program, err := exec.LookPath("ngspice")
	if err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("ngspice is not installed; with TRUNDLE_PEERS=1 it must be")
	}
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "circuit.cir")
	text := "* from a test\n" + circuit + ".control\nset numdgt=12\nop\nprint " + strings.Join(asked, " ") + "\nquit 0\n.endc\n.end\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	out, err := exec.Command(program, "-b", file).CombinedOutput()
	require.NoError(t, err, "%s", out)
	var values []float64
	for _, name := range asked {
		_, after, found := strings.Cut(string(out), "\n"+name+" = ")
		require.True(t, found, "%s\n%s", text, out)
		word, _, _ := strings.Cut(after, "\n")
		value, err := strconv.ParseFloat(strings.TrimSpace(word), 64)
		require.NoError(t, err)
		values = append(values, value)
	}
	return values
}

// matrix is a scan as a circuit: 5 V on one row wire, 10 kilohms from every
// column to ground, the other rows left alone, an ohm and a diode a contact.
func matrix(s *contact.Scan, row int, closed []int) (circuit string, columns []string) {
	var b strings.Builder
	fmt.Fprintf(&b, ".model key D(IS=1e-9)\nV1 r%d 0 5\n", row)
	for _, crossing := range closed {
		from, to := fmt.Sprint("r", crossing/s.Columns), fmt.Sprint("c", crossing%s.Columns)
		switch s.Diodes[crossing] {
		case contact.Right:
			fmt.Fprintf(&b, "D%d %s m%d key\nR%d m%d %s 1\n", crossing, from, crossing, crossing, crossing, to)
		case contact.Reversed:
			fmt.Fprintf(&b, "D%d m%d %s key\nR%d m%d %s 1\n", crossing, crossing, from, crossing, crossing, to)
		default:
			fmt.Fprintf(&b, "R%d %s %s 1\n", crossing, from, to)
		}
	}
	for c := range s.Columns {
		fmt.Fprintf(&b, "Rc%d c%d 0 10k\n", c, c)
		columns = append(columns, fmt.Sprintf("v(c%d)", c))
	}
	for r := range s.Rows { // so that a row nobody touches has a voltage at all
		fmt.Fprintf(&b, "Rr%d r%d 0 1g\n", r, r)
	}
	return b.String(), columns
}

// What is read is what ngspice finds a voltage on: more than a volt, which
// leaves room for five diodes one after the other, against the microvolts that
// leak through diodes the wrong way.
func TestReadingAgreesWithNgspice(t *testing.T) {
	live, dark := 0, 0
	for seed := range uint64(40) {
		s, _ := anyScan(t, seed)
		r := rand.New(rand.NewPCG(seed, 1))
		var closed []int
		for crossing := range s.Diodes {
			if r.IntN(2) == 0 {
				closed = append(closed, crossing)
			}
		}
		read := s.Read(closed)
		for row := range s.Rows {
			circuit, columns := matrix(s, row, closed)
			for c, volts := range spice(t, circuit, columns...) {
				want := read[row*s.Columns+c]
				require.Equal(t, want, volts > 1, "seed %d, row %d, column %d: %g V", seed, row+1, c+1, volts)
				if want {
					live++
				} else {
					require.Less(t, volts, 0.01, "seed %d", seed)
					dark++
				}
			}
		}
	}
	require.Greater(t, live, 100)
	require.Greater(t, dark, 100)
}

// The ghost key of a 2 by 2 matrix with three keys down: 5.0 V on the column
// of the fourth without diodes, about 10 microvolts with a diode a key.
func TestGhostKeyVoltages(t *testing.T) {
	for diodes, c := range map[string]struct{ low, high float64 }{"none": {4.99, 5.001}, "all": {1e-6, 1e-4}} {
		r, in := load(t, "  K1: {kind: input, pins: 4, scan: {rows: 2, columns: 2, diodes: "+diodes+"}}", "K1,1..4,key,great,C2..D#2,,,\n", "")
		s := scanOf(t, r, in)
		closed := []int{1, 2, 3} // all but row 1, column 1
		circuit, columns := matrix(s, 0, closed)
		volts := spice(t, circuit, columns...)
		require.Greater(t, volts[0], c.low, diodes)
		require.Less(t, volts[0], c.high, diodes)
		require.Equal(t, diodes == "none", s.Read(closed)[0], diodes)
	}
}

// Two 150 ohm magnets on an open common, 12 V on one of their lines and another
// 150 ohms on the other: the common floats to 8.0 V, and 26.7 mA run backwards.
func TestOpenReturnVoltages(t *testing.T) {
	r, in := openReturn(t, "wires: 0")
	electric, found := contact.Returns(r, in)
	require.Empty(t, found)
	sneaks := electric.Sneaks(r)
	require.Len(t, sneaks, 1)
	share, ohms, ok := sneaks[0].Share()
	require.True(t, ok)
	values := spice(t, "V1 a 0 12\nR1 a common 150\nR2 common b 150\nR3 b 0 150\n", "v(common)", "i(v1)")
	require.InDelta(t, 8.0, values[0], 0.001)
	require.InDelta(t, -0.0267, values[1], 0.0001)
	require.InDelta(t, values[0], 12*share, 1e-6)
	require.InDelta(t, -values[1], 12/ohms, 1e-9)
}
