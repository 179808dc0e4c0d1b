package circuit

import "slices"

// copperDensity is that of annealed copper, in kg/m3 (IEC 60028).
const copperDensity = 8890

// kilograms is the copper of a wire.
func (w Wire) kilograms() float64 {
	return w.Gauge.Area * 1e-6 * w.Metres * float64(w.Count) * copperDensity
}

// usFuses are the standard ratings of NEC 240.6(A), and those that it adds for
// fuses (read in secondary sources).
var usFuses = []float64{1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100}

// otherFuses are the preferred numbers R10 of ISO 3, as miniature fuses have
// them (IEC 60127, from memory), and above 10 A those of IEC 60269 (from memory).
var otherFuses = []float64{0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10,
	12, 16, 20, 25, 32, 40, 50, 63, 80, 100}

// fuseRatings are the ratings to choose from where a code holds, in amps,
// ascending.
func fuseRatings(code string) []float64 {
	if code == "us" {
		return usFuses
	}
	return otherFuses
}

// leastRating is the index of the first of some ratings that carries so many amps,
// below zero for none.
func leastRating(ratings []float64, amps float64) int {
	return slices.IndexFunc(ratings, func(a float64) bool { return a >= amps })
}

// usGauges are those that wire is sold in. Common practice, no source.
var usGauges = []int{28, 26, 24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0}

// iecAreas are the nominal areas of IEC 60228 from 0.5 mm2 up (from memory), and
// the thinner ones of signal cables (common practice, no source).
var iecAreas = []float64{0.14, 0.25, 0.34, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50}

// thickestInCables is as thick as the wires of signal cables are, in AWG.
// Common practice, no source.
const thickestInCables = 14

// gauges are the wires to choose from where a code holds, thinnest first; those
// of a cable with many wires are no thicker than 14 AWG or 2.5 mm2.
func gauges(code string, ofCable bool) []Gauge {
	var list []Gauge
	if code == "iec" {
		for _, area := range iecAreas {
			list = append(list, Square(area))
		}
	} else {
		for _, n := range usGauges {
			list = append(list, AWG(n))
		}
	}
	if ofCable {
		list = slices.DeleteFunc(list, func(g Gauge) bool { return g.Area > 1.25*AWG(thickestInCables).Area })
	}
	return list
}

// SizesFrom says where the sizes to choose from come from where a code holds,
// and how sure that is.
func SizesFrom(code string) string {
	switch code {
	case "us":
		return "fuses: NEC 240.6(A), by secondary sources; wires: ASTM B258, in the gauges commonly sold; supplies: whole amperes"
	case "iec":
		return "fuses: IEC 60127 and IEC 60269, from memory; wires: IEC 60228, from memory, thinner ones as commonly sold; supplies: whole amperes"
	}
	return "fuses: IEC 60127 and IEC 60269, from memory; wires: ASTM B258, in the gauges commonly sold; supplies: whole amperes"
}
