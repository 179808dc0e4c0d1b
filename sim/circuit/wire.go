package circuit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Resistivity of annealed copper of 100% IACS at 20 C, in ohm mm2/m, and how
// much it grows with each kelvin (IEC 60028).
const (
	copper       = 1.0 / 58
	copperGrowth = 0.00393
)

// Gauge is the size of a copper wire, an AWG number or an area in mm2, and what
// it is made of. The zero Gauge is not known.
type Gauge struct {
	AWG     int
	Area    float64 // mm2; of an AWG number as ASTM B258 has it
	Strands int     // 0 or 1 for a solid wire
	Coated  bool    // with tin
	known   bool
}

// AWG is the wire of an American Wire Gauge number from 0 to 40.
func AWG(n int) Gauge {
	d := Diameter(n)
	return Gauge{AWG: n, Area: math.Pi / 4 * d * d, known: true}
}

// Square is the wire of an area in mm2.
func Square(mm2 float64) Gauge { return Gauge{AWG: noAWG, Area: mm2, known: true} }

const noAWG = -1

// Diameter is that of an AWG number, in mm (ASTM B258).
func Diameter(awg int) float64 { return 0.127 * math.Pow(92, float64(36-awg)/39) }

// Known reports whether there is a gauge at all.
func (g Gauge) Known() bool { return g.known }

// Made is the gauge in so many strands, coated or not.
func (g Gauge) Made(strands int, coated bool) Gauge {
	g.Strands, g.Coated = strands, coated
	return g
}

// lay is how much longer the strands of a wire are than the wire: NEC chapter 9
// table 8 reckons with 2%.
const lay = 1.02

// OhmsPerMetre is the resistance at a temperature in degrees Celsius.
func (g Gauge) OhmsPerMetre(celsius float64) float64 {
	ohms := copper / g.Area * (1 + copperGrowth*(celsius-20))
	if g.Strands > 1 {
		ohms *= lay
	}
	if g.Coated {
		ohms /= coatedConductivity(2 * math.Sqrt(g.Area/float64(max(1, g.Strands))/math.Pi))
	}
	return ohms
}

// coatedConductivity is that of a strand coated with tin, of a diameter in mm,
// against bare copper: ASTM B33, table 2, gives resistivities of 0.15695 to
// 0.16454 ohm g/m2, and copper of 100% IACS has 0.15328.
func coatedConductivity(mm float64) float64 {
	const inch, bare = 25.4, 0.15328
	for _, row := range []struct{ from, resistivity float64 }{ // inches, thickest first
		{0.290, 0.15695}, {0.103, 0.15776}, {0.0201, 0.15940}, {0.0111, 0.16279},
	} {
		if mm >= (row.from-0.00005)*inch { // the table counts in tenths of a mil
			return bare / row.resistivity
		}
	}
	return bare / 0.16454
}

func (g Gauge) String() string {
	switch {
	case !g.known:
		return "unknown gauge"
	case g.AWG == noAWG:
		return strconv.FormatFloat(g.Area, 'f', -1, 64) + " mm2"
	}
	return fmt.Sprintf("%d AWG", g.AWG)
}

// thinner reports whether a wire is thinner than an AWG number; a hundredth of
// the area is forgiven, for areas are written rounded.
func (g Gauge) thinner(awg int) bool { return g.Area < 0.99*AWG(awg).Area }

// ampacity is what a wire may carry, in amps, and where that number comes
// from; sure is false where it is a conservative choice and no rule.
func (g Gauge) ampacity() (amps float64, source string, sure bool) {
	for _, row := range ampacities {
		if !g.thinner(row.awg) {
			return row.amps, row.source, row.sure
		}
	}
	return 0.5, "a conservative choice", false
}

// ampacities are those to use, thickest first: NEC table 310.16 in its column
// of 60 C, 240.4(D), 725.43 as of 2008 and 650.8; no rule gives any for 20 to 24 AWG, and these are chosen low.
var ampacities = []struct {
	awg    int
	amps   float64
	source string
	sure   bool
}{
	{0, 125, "NEC table 310.16", true},
	{1, 110, "NEC table 310.16", true},
	{2, 95, "NEC table 310.16", true},
	{3, 85, "NEC table 310.16", true},
	{4, 70, "NEC table 310.16", true},
	{6, 55, "NEC table 310.16", true},
	{8, 40, "NEC table 310.16", true},
	{10, 30, "NEC 240.4(D)", true},
	{12, 20, "NEC 240.4(D)", true},
	{14, 15, "NEC 240.4(D)", true},
	{16, 10, "NEC 725.43", true},
	{18, 7, "NEC 725.43", true},
	{20, 6, "a conservative choice", false},
	{22, 5, "a conservative choice", false},
	{24, 3, "a conservative choice", false},
	{26, 2, "a conservative choice", false},
	{28, 1, "a conservative choice", false},
}

// parseGauge reads 24, 24 AWG or 0.25 mm2.
func parseGauge(text string) (Gauge, error) {
	number, unit := splitUnit(text)
	switch unit {
	case "", "awg", "AWG":
		n, err := strconv.Atoi(number)
		if err != nil || n < 0 || n > 40 {
			return Gauge{}, fmt.Errorf("there is no gauge %q: AWG numbers here are 0..40, areas are written 0.25 mm2", text)
		}
		return AWG(n), nil
	case "mm2", "mm²":
		area, err := positive(number)
		if err != nil || area > 500 {
			return Gauge{}, fmt.Errorf("there is no wire of %q: write an area like 0.25 mm2", text)
		}
		return Square(area), nil
	}
	return Gauge{}, fmt.Errorf("%q is no gauge: write 24 AWG or 0.25 mm2", text)
}

// parseLength reads 18 m or 60 ft, in metres.
func parseLength(text string) (metres float64, err error) {
	number, unit := splitUnit(text)
	factor, known := map[string]float64{"mm": 0.001, "cm": 0.01, "m": 1, "in": 0.0254, "ft": 0.3048}[unit]
	if unit == "" {
		return 0, fmt.Errorf("the length %q has no unit: write 18 m or 60 ft", text)
	}
	length, err := positive(number)
	if err != nil || !known || length*factor > 10_000 {
		return 0, fmt.Errorf("%q is no length of a wire: write one above 0, like 18 m or 60 ft", text)
	}
	return length * factor, nil
}

// parseTime reads 200 ms or 0.2 s, in milliseconds.
func parseTime(text string) (ms float64, err error) {
	number, unit := splitUnit(text)
	factor, known := map[string]float64{"ms": 1, "s": 1000}[unit]
	if unit == "" {
		return 0, fmt.Errorf("the time %q has no unit: write 200 ms or 0.2 s", text)
	}
	time, err := positive(number)
	if err != nil || !known || time*factor > 60_000 {
		return 0, fmt.Errorf("%q is no time of a pulse: write one above 0, like 200 ms", text)
	}
	return time * factor, nil
}

// splitUnit parts a number from the unit behind it.
func splitUnit(text string) (number, unit string) {
	at := strings.LastIndexAny(text, "0123456789.")
	if strings.HasSuffix(text, "mm2") { // its digit is not the number's
		at = len(text) - len("mm2") - 1
	}
	return strings.TrimSpace(text[:at+1]), strings.TrimSpace(text[at+1:])
}

// positive is a plain decimal number above 0.
func positive(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "0123456789.") != "" || !(v > 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no number above 0", text)
	}
	return v, nil
}
