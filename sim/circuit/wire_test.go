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

// NEC chapter 9 table 8, solid uncoated copper at 75 C, in ohms a thousand
// feet. Every row comes out to the printed digits from nominal diameters, which
// are whole tenths of a mil. From diameters as the formula gives them the last
// digit of 16 AWG (4.89) and of 18 AWG (7.77) is one less.
func TestWiresAreThoseOfTheCode(t *testing.T) {
	for awg, c := range map[int]struct{ printed, unrounded string }{
		18: {"7.77", "7.76"}, 16: {"4.89", "4.88"}, 14: {"3.07", "3.07"}, 12: {"1.93", "1.93"}, 10: {"1.21", "1.21"},
	} {
		nominal := math.Round(Diameter(awg)/0.00254) * 0.00254
		require.Equal(t, c.printed, fmt.Sprintf("%.2f", Square(math.Pi/4*nominal*nominal).OhmsPerMetre(75)*304.8), "%d AWG", awg)
		require.Equal(t, c.unrounded, fmt.Sprintf("%.2f", AWG(awg).OhmsPerMetre(75)*304.8), "%d AWG", awg)
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
