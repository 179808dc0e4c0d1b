package walk

import (
	"fmt"
	"strings"
)

// Limits are what a meter should show, and between what it is good.
type Limits struct {
	Expected float64 `json:"expected"`
	From     float64 `json:"from"`
	To       float64 `json:"to"`
}

// Tolerance is how far coils, supplies and meters may be from what is said of them,
// as a share of it. Common practice, no source.
const Tolerance = 0.1

// border is the share of the amps of one magnet by which it is told whether that one
// is on. Common practice, no source.
const border = 0.6

// AmpsGood are the amps that are good; nil where nothing is known. They go from those
// of warm coils at the lowest volts of the supply to those of cold ones, each with
// the tolerance, but by no more than the share of one magnet; and the magnet must pull in.
func (s Step) AmpsGood() *Limits {
	a := s.Amps
	if a == nil {
		return nil
	}
	return &Limits{a.Cold,
		max(a.Low*(1-Tolerance), a.Hot-border*a.One, a.Needs),
		min(a.Cold*(1+Tolerance), a.Cold+border*a.One)}
}

// VoltsGood are the volts that are good; nil where nothing is known.
func (s Step) VoltsGood() *Limits {
	if s.Volts <= 0 {
		return nil
	}
	return &Limits{s.Volts, max(s.Volts*(1-Tolerance), s.Needs), s.Volts * (1 + Tolerance)}
}

// judgeAmps is what a reading says of a step, and why where it is not good.
func (s Step) judgeAmps(read float64) (v Verdict, why string) {
	a, good := s.Amps, s.AmpsGood()
	switch others := a.Cold - a.One; {
	case read < min(Tolerance*a.One+(1+Tolerance)*others, a.Hot-border*a.One):
		return Open, ""
	case read < good.From:
		v, why = Wrong, "too little: a bad joint, a coil of more ohms, or low volts?"
		if share := (read - others) / a.One; share > 0.4 && share < border {
			why = "about half: a resistance in series, or half the volts?"
		}
		if read < a.Needs {
			v, why = Weak, fmt.Sprintf("under %.3f A it does not pull in at the lowest volts of its supply; %s", a.Needs, why)
		}
		return v, why
	case read > a.Cold+border*a.One:
		return Bridged, ""
	case read > good.To:
		return Wrong, "too much: a coil of fewer ohms, current to something else, or high volts?"
	}
	return s.Good, ""
}

// judgeVolts is the same of volts.
func (s Step) judgeVolts(read float64) (v Verdict, why string) {
	switch good := s.VoltsGood(); {
	case read <= -good.From:
		return Wrong, "the wrong way round"
	case read < s.Needs:
		return Weak, fmt.Sprintf("under %.1f V it does not pull in", s.Needs)
	case read < good.From:
		return Wrong, "too low"
	case read > good.To:
		return Wrong, "too high"
	}
	return s.Good, ""
}

// judge is what the readings of an answer say, and why where they are not good; ""
// where none can be judged.
func (s Step) judge(a Answer) (v Verdict, why string) {
	if a.Amps != nil && s.Amps != nil {
		v, why = s.judgeAmps(*a.Amps)
	}
	if a.Volts != nil && s.Volts > 0 && (v == "" || v.IsGood()) {
		v, why = s.judgeVolts(*a.Volts)
	}
	return v, why
}

// Readings are what a meter showed, beside what it should have shown; "" for none.
func Readings(amps, volts *float64, ampsGood, voltsGood *Limits) string {
	var b strings.Builder
	say := func(read *float64, good *Limits, digits int, unit string) {
		if read == nil {
			return
		}
		fmt.Fprintf(&b, ", %.*f %s", digits, *read, unit)
		if good != nil {
			fmt.Fprintf(&b, ", expected %.*f %s (%.*f to %.*f)", digits, good.Expected, unit, digits, good.From, digits, good.To)
		}
	}
	say(amps, ampsGood, 3, "A")
	say(volts, voltsGood, 2, "V")
	return strings.TrimPrefix(b.String(), ", ")
}
