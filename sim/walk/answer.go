package walk

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Verdict is what became of a step.
type Verdict string

// What can become of a step.
const (
	Good    Verdict = "good"
	Speaks  Verdict = "speaks"
	Dead    Verdict = "dead"
	Wrong   Verdict = "wrong"
	Faint   Verdict = "faint"
	Sounds  Verdict = "ciphers" // and does not stop, or was never asked to
	Open    Verdict = "open"    // no current
	Bridged Verdict = "bridged" // the current of two
	Weak    Verdict = "weak"    // too little to pull in
	Other   Verdict = "other"   // what the words say
	Accept  Verdict = "accepted"
	Skipped Verdict = "skipped"
)

// Verdicts are all that can be said of a step.
var Verdicts = []Verdict{Good, Speaks, Dead, Wrong, Faint, Sounds, Open, Bridged, Weak, Other, Accept, Skipped}

// IsGood reports that nothing is wrong.
func (v Verdict) IsGood() bool { return v == Good || v == Speaks }

// ErrTaken is of a reading that is in the answer, and only lacks a verdict.
var ErrTaken = errors.New("is taken")

// Answer is what was found at a step.
type Answer struct {
	Step    string // its ID
	Do, Sum string // what the step was then; "" where that is not known
	Verdict Verdict
	Words   string
	Amps    *float64 // nil when no meter was read
	Volts   *float64
	Who     string // answered: a person, or the port
	Taken   string // as what a number without a unit was taken, "" for none
}

// Read makes an answer of a line: a verdict or its first letter, readings like
// 93mA, 0.093 A and 14,2 V, and words; all of them may be left out but one. A
// reading alone is judged by what the step expects, and is ErrTaken where it does not say
// what a meter shows. What the step expects, in words, is good. Several words without a verdict
// are what is wrong; a single one may be a slip, and needs `other` before it. What may
// mean something else is an error that asks, a Question where a word will do.
func Read(s Step, line string) (Answer, error) {
	line = s.helpWords(line)
	a := Answer{Step: s.ID}
	var words []string
	no := ""
	for _, word := range withUnits(strings.Fields(line)) {
		bare := strings.TrimRight(word, ",;:.!")
		if v, ok := said[strings.ToLower(bare)]; ok && a.Verdict == "" && len(words) == 0 {
			if a.Verdict = v; strings.EqualFold(bare, "no") {
				no = word
			}
		} else if value, unit, ok := reading(bare); ok {
			if unit == "V" {
				a.Volts = &value
			} else {
				a.Amps = &value
			}
		} else {
			words = append(words, word)
		}
	}
	if a.Amps == nil && a.Volts == nil && len(words) == 1 {
		if unit := s.takes(words[0]); unit != "" {
			value, _ := number(words[0])
			if words = nil; unit == "V" {
				a.Volts = &value
			} else {
				a.Amps = &value
			}
			a.Taken = fmt.Sprintf("taken as %g %s", value, unit)
		}
	}
	if s.isWire(words) && a.Verdict == "" {
		a.Verdict = Good
	}
	if no != "" && len(words) > 0 { // no click heard: it is dead, and that is why
		words = slices.Insert(words, 0, no)
	}
	a.Words = strings.Join(words, " ")
	judged, why := s.judge(a)
	a, err := s.mean(a, line, a.Verdict == "" || no != "")
	if err == nil {
		err = doubt(s, a, line)
	}
	if err != nil {
		return a, err
	}
	switch {
	case a.Verdict != "":
		if first := strings.Fields(line)[0]; len(first) == 1 && a.Words != "" && first >= "A" && first <= "G" {
			return a, fmt.Errorf("%s is a note, and a letter for %s: write %s %s, or other %s", first, a.Verdict, a.Verdict, a.Words, strings.TrimSpace(line))
		}
	case s.ID == signID && a.Words != "":
		a.Verdict = Good
	case len(words) == 1:
		return a, unknown(words[0])
	case a.Words != "":
		if a.Verdict = Other; !understood(content(a.Words)) {
			return a, &Question{Text: fmt.Sprintf("%q is not understood: is it what is wrong? write yes, or good if all is well", strings.TrimSpace(line)), Yes: &a}
		}
	case judged != "":
		a.Verdict, a.Words = judged, why
		if far := s.farOff(a); far != "" {
			return a, &Question{Text: far + ": is the point right, and the unit? write yes, or the reading again", Yes: &a}
		}
	case a.Amps != nil || a.Volts != nil:
		return a, fmt.Errorf("%s %w: is that %s? write good, or what is wrong", strings.TrimSpace(line), ErrTaken, cmp.Or(s.Expect, "good"))
	default:
		return a, errors.New("an answer is missing; ? shows what can be said")
	}
	if s.ID == signID && a.Verdict.IsGood() && a.Words == "" {
		return a, errors.New("a name is missing: write yours")
	}
	if (a.Verdict == Accept || a.Verdict == Other) && a.Words == "" {
		return a, fmt.Errorf("%s needs a reason behind it", strings.Fields(line)[0])
	}
	if a.Verdict.IsGood() && judged != "" && !judged.IsGood() {
		return a, fmt.Errorf("%s, with %s? write the reading alone, accept WHY, or what is wrong", a.Verdict, Readings(a.Amps, a.Volts, s.AmpsGood(), s.VoltsGood()))
	}
	if a.Verdict == Good {
		a.Verdict = s.Good
	}
	return a, nil
}
