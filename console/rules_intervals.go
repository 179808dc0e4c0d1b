package console

import (
	"fmt"
	"math"

	"trundle/console/finding"
)

// oddShift finds couplers that shift by something else than octaves and the
// fifths of quint couplers. A shift that is the number of a footage, 4 or 16,
// is probably one.
func oddShift(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, c := range in.Couplers {
		if octave := mod(c.Shift, 12); octave == 0 || octave == 7 {
			continue
		}
		f := finding.Finding{Severity: finding.Note, Place: c.At,
			Message: fmt.Sprintf("coupler %s shifts by %d semitones, which is neither octaves nor a fifth", c.ID, c.Shift),
			Fix:     "nothing, if so meant"}
		if meant, is := map[int]int{1: 36, 2: 24, 4: 12, 8: 0, 16: -12, 32: -24}[c.Shift]; is {
			f.Severity = finding.Warning
			f.Fix = fmt.Sprintf("write shift: %d if it is a %d-foot coupler; shifts count semitones", meant, c.Shift)
		}
		findings = append(findings, f)
	}
	return findings
}

func mod(n, by int) int { return (n%by + by) % by }

// oddFootage finds footages that no harmonic has. Stops sound notes of the
// harmonic series, in which the lowest pipes that there are have 64 feet.
func oddFootage(in *Instrument) []finding.Finding {
	var findings []finding.Finding
	look := func(what, id string, feet Feet, at finding.Place) {
		if feet.IsZero() || feet.harmonic() {
			return
		}
		above, below := feet.neighbours()
		findings = append(findings, finding.Finding{Severity: finding.Warning, Place: at,
			Message: fmt.Sprintf("%s %s has %s feet, the footage of no harmonic", what, id, feet),
			Fix:     fmt.Sprintf("did you mean %s or %s?", above, below)})
	}
	for _, r := range in.Ranks {
		look("rank", r.ID, r.Feet, r.At)
	}
	for _, s := range in.Stops {
		look("stop", s.ID, s.Feet, s.At)
		for _, t := range s.Takes {
			if t.Feet != s.Feet {
				look("a take of stop", s.ID, t.Feet, t.At)
			}
		}
	}
	return findings
}

// harmonic reports whether a footage is 64 feet over a whole number, or twice
// that: 42 2/3 is of the series an octave lower.
func (f Feet) harmonic() bool { return 128*f.Den%f.Num == 0 }

// neighbours are the next longer and the next shorter footage of the stops that
// are usual: octaves, fifths and thirds.
func (f Feet) neighbours() (longer, shorter Feet) {
	longer, shorter = Feet{128, 1}, Feet{1, 128}
	for octave := -7; octave <= 7; octave++ {
		for _, part := range []int{1, 3, 5} {
			n := Feet{int(math.Exp2(float64(max(octave, 0)))), part * int(math.Exp2(float64(max(-octave, 0))))}
			switch v := n.Float(); {
			case v > f.Float() && v < longer.Float():
				longer = n
			case v < f.Float() && v > shorter.Float():
				shorter = n
			}
		}
	}
	return longer, shorter
}
