package circuit

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A published cable-test table of solid copper at 20 C, and its diameters in
// mils.
func TestWiresAreAsPublished(t *testing.T) {
	for awg, want := range map[int]struct{ mils, ohmsPerThousandFeet float64 }{
		10: {101.90, 0.999}, 12: {80.81, 1.588}, 14: {64.08, 2.525}, 16: {50.82, 4.016}, 18: {40.30, 6.385}, 20: {31.96, 10.15},
		22: {25.35, 16.14}, 24: {20.10, 25.67}, 26: {15.94, 40.81}, 28: {12.64, 64.90},
	} {
		require.InDelta(t, want.mils, Diameter(awg)/0.0254, 0.0051, "%d AWG", awg)
		require.InDelta(t, want.ohmsPerThousandFeet, AWG(awg).OhmsPerMetre(20)*304.8, 0.0006*want.ohmsPerThousandFeet, "%d AWG", awg)
	}
}

// NEC chapter 9 table 8, copper at 75 C in ohms a thousand feet, bare and
// coated, solid and in strands, from 18 AWG to the thickest gauge we read.
// Every row comes out to the printed digits from nominal diameters, which are
// whole tenths of a mil (ASTM B258). Gauges here are of the exact diameters of
// its formula, and stay within half a percent; of solid bare wire the one
// known exception is 16 AWG, whose last digit is one less (4.88).
func TestWiresAreThoseOfTheCode(t *testing.T) {
	for _, row := range []struct {
		awg, strands int
		bare, coated string
	}{
		{18, 1, "7.77", "8.08"}, {18, 7, "7.95", "8.45"}, {16, 1, "4.89", "5.08"}, {16, 7, "4.99", "5.29"},
		{14, 1, "3.07", "3.19"}, {14, 7, "3.14", "3.26"}, {12, 1, "1.93", "2.01"}, {12, 7, "1.98", "2.05"},
		{10, 1, "1.21", "1.26"}, {10, 7, "1.24", "1.29"}, {8, 1, "0.764", "0.786"}, {8, 7, "0.778", "0.809"},
		{6, 7, "0.491", "0.510"}, {4, 7, "0.308", "0.321"}, {3, 7, "0.245", "0.254"}, {2, 7, "0.194", "0.201"},
		{1, 19, "0.154", "0.160"}, {0, 19, "0.122", "0.127"},
	} {
		strand := math.Round(Diameter(row.awg)/math.Sqrt(float64(row.strands))/0.00254) * 0.00254
		nominal := Square(math.Pi / 4 * strand * strand * float64(row.strands))
		for coated, printed := range map[bool]string{false: row.bare, true: row.coated} {
			ohms := func(g Gauge) float64 { return g.Made(row.strands, coated).OhmsPerMetre(75) * 304.8 }
			digits := len(printed) - len("0.")
			require.Equal(t, printed, strconv.FormatFloat(ohms(nominal), 'f', digits, 64), "%+v, coated %v", row, coated)
			require.InEpsilon(t, ohms(nominal), ohms(AWG(row.awg)), 0.005, "%+v, coated %v", row, coated)
			if row.strands == 1 && !coated {
				if row.awg == 16 {
					printed = "4.88"
				}
				require.Equal(t, printed, strconv.FormatFloat(ohms(AWG(row.awg)), 'f', digits, 64), "%d AWG", row.awg)
			}
		}
	}
}

// ASTM B33, table 2: the resistivity of coated strands by their diameter, in
// ohm pounds a square mile; bare copper of 100% IACS has 875.20. (The code has
// the metric column, which differs in the fifth digit.) The ends of its ranges
// belong to them.
func TestCoatedStrandsAreAsInTheirStandard(t *testing.T) {
	for inches, resistivity := range map[float64]float64{
		0.460: 896.15, 0.290: 896.15, 0.2899: 900.77, 0.103: 900.77, 0.1029: 910.15, 0.0201: 910.15,
		0.0200: 929.52, 0.0111: 929.52, 0.0110: 939.51, 0.0030: 939.51,
	} {
		require.InEpsilon(t, 875.20/resistivity, coatedConductivity(25.4*inches), 1e-4, "%g in", inches)
	}
}

// The voltage lost on one magnet's own wire (worked figures of the handbook
// kind: 60, 100 and 150 feet at 20 C, the return not counted).
func TestDropsOnOneWire(t *testing.T) {
	for _, c := range []struct {
		feet, amps float64
		volts      [3]float64 // 28, 26, 24 AWG
	}{
		{60, 0.1, [3]float64{0.39, 0.24, 0.15}}, {60, 0.3, [3]float64{1.17, 0.73, 0.46}}, {100, 0.1, [3]float64{0.65, 0.41, 0.26}},
		{100, 0.3, [3]float64{1.95, 1.22, 0.77}}, {150, 0.2, [3]float64{1.95, 1.22, 0.77}},
	} {
		for i, awg := range []int{28, 26, 24} {
			w := Wire{Gauge: AWG(awg), Metres: c.feet * 0.3048, Count: 1}
			require.InDelta(t, c.volts[i], c.amps*w.Ohms(20), 0.0051, "%v", c)
		}
	}
}

func TestWiresAgreeWithUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil && os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("units is not installed; with TRUNDLE_PEERS=1 it must be")
	}
	require.NoError(t, err)
	for awg := range 41 {
		out, err := exec.Command(program, "-t", "-d", "12", fmt.Sprintf("wiregauge(%d)", awg), "mm").CombinedOutput()
		require.NoError(t, err, "%s", out)
		want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		require.NoError(t, err)
		require.InEpsilon(t, want, Diameter(awg), 1e-9, "%d AWG", awg)
	}
}

func TestWordsOfWires(t *testing.T) {
	for text, want := range map[string]string{
		"24": "24 AWG", "24 AWG": "24 AWG", "0": "0 AWG", "0.25 mm2": "0.25 mm2", "1.5 mm²": "1.5 mm2", "0.25mm2": "0.25 mm2",
	} {
		g, err := parseGauge(text)
		require.NoError(t, err, text)
		require.Equal(t, want, g.String())
	}
	for _, text := range []string{"", "41", "-3", "1.5", "24 mm", "0 mm2", "-1 mm2", "1e3 mm2", "NaN", "inf mm2", "x", "mm2", "0x10", "24 AWG AWG"} {
		_, err := parseGauge(text)
		require.Error(t, err, text)
	}
	for text, want := range map[string]float64{"18 m": 18, "60 ft": 18.288, "60ft": 18.288, "12 in": 0.3048, "0.5 m": 0.5, "900 mm": 0.9} {
		metres, err := parseLength(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, metres, 1e-9)
	}
	for _, text := range []string{"", "18", "0 m", "-1 m", "m", "1e9 m", "NaN m", "18 miles", "20000 m", "1.2.3 m"} {
		_, err := parseLength(text)
		require.Error(t, err, text)
	}
	ms, err := parseTime("0.2 s")
	require.NoError(t, err)
	require.InDelta(t, 200, ms, 1e-9)
	require.False(t, math.IsNaN(ms))
}
