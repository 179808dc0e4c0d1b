package walk

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// units are what may stand behind a number, and how many volts or amps they are.
var units = []struct {
	names string
	unit  string
	scale float64
}{
	{" a amp amps ampere amperes ", "A", 1},
	{" ma milliamp milliamps milliampere milliamperes ", "A", 0.001},
	{" v volt volts vdc ", "V", 1},
	{" millivolt millivolts ", "V", 0.001},
}

// unitOf is what a word is as a unit; scale is 0 for one that is none.
func unitOf(word string) (unit string, scale float64) {
	for _, u := range units {
		if word != "" && strings.Contains(u.names, " "+strings.ToLower(word)+" ") {
			return u.unit, u.scale
		}
	}
	return "", 0
}

// IsUnit reports whether a word is the unit of a reading: mA, volts.
func IsUnit(word string) bool {
	_, scale := unitOf(word)
	return scale > 0
}

// withUnits joins a number to the unit that stands apart from it: 93 mA.
func withUnits(fields []string) (joined []string) {
	for _, word := range fields {
		if last := len(joined) - 1; last >= 0 {
			if _, _, is := reading(strings.TrimRight(joined[last]+word, ",;:.!")); is && IsUnit(strings.TrimRight(word, ",;:.!")) {
				joined[last] += word
				continue
			}
		}
		joined = append(joined, word)
	}
	return joined
}

// number reads one with a point or a comma.
func number(word string) (float64, bool) {
	value, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64)
	return value, err == nil && math.Abs(value) <= 1e6 // which no NaN is
}

// reading reads what a meter shows.
func reading(word string) (value float64, unit string, ok bool) {
	digits := strings.TrimRightFunc(word, func(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' })
	unit, scale := unitOf(word[len(digits):])
	if value, ok = number(digits); !ok || scale == 0 || value < 0 && unit == "A" {
		return 0, "", false
	}
	return value * scale, unit, true
}

// likely is by how much a number without a unit may be off what is foretold and still be
// of that unit. Common practice, no source.
const likely = 3

// takes is the unit of a number without one: that of the one reading that is foretold
// near it, "" for none.
func (s Step) takes(word string) (unit string) {
	value, ok := number(word)
	near := func(good *Limits) bool {
		return ok && good != nil && value >= good.Expected/likely && value <= good.Expected*likely
	}
	switch amps, volts := near(s.AmpsGood()), near(s.VoltsGood()); {
	case amps && !volts:
		return "A"
	case volts && !amps:
		return "V"
	}
	return ""
}

// farOff says that a reading would be good with its point elsewhere, "" where it would not.
func (s Step) farOff(a Answer) string {
	for _, r := range []struct {
		read *float64
		good *Limits
		unit string
	}{{a.Amps, s.AmpsGood(), "A"}, {a.Volts, s.VoltsGood(), "V"}} {
		if r.read == nil || r.good == nil {
			continue
		}
		for _, by := range []struct {
			times float64
			words string
		}{{10, "ten times"}, {100, "a hundred times"}, {1000, "a thousand times"}, {0.1, "a tenth of"}, {0.01, "a hundredth of"}, {0.001, "a thousandth of"}} {
			if good := *r.read / by.times; good >= r.good.From && good <= r.good.To {
				return fmt.Sprintf("%g %s, %s what is foretold", *r.read, r.unit, by.words)
			}
		}
	}
	return ""
}

// wireOhms is the most that a wire has which is rung out, with the leads of the meter.
// Common practice, no source.
const wireOhms = 10

// isWire reports words that are the ohms of a wire that is rung out, and nothing else.
func (s Step) isWire(words []string) bool {
	text := strings.ToLower(strings.Join(words, ""))
	for _, unit := range []string{"ohms", "ohm", "ω"} {
		if digits, is := strings.CutSuffix(text, unit); is {
			ohms, ok := number(digits)
			return ok && s.Phase == Legs && ohms >= 0 && ohms <= wireOhms
		}
	}
	return false
}
