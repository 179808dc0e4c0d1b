package console

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Feet is the length that names a pitch, an exact positive rational in lowest
// terms: an 8-foot rank sounds its own key's pitch, a 4-foot one an octave up.
type Feet struct{ Num, Den int }

// Foot is a whole number of feet.
func Foot(n int) Feet { return Feet{n, 1} }

// IsZero reports whether no footage was given.
func (f Feet) IsZero() bool { return f.Num == 0 }

// Float is the footage as a number.
func (f Feet) Float() float64 { return float64(f.Num) / float64(f.Den) }

// String is the footage as a stop list writes it: 8, 10 2/3; "" for none.
func (f Feet) String() string {
	if f.IsZero() {
		return ""
	}
	whole, part := f.Num/f.Den, f.Num%f.Den
	switch {
	case part == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", part, f.Den)
	}
	return fmt.Sprintf("%d %d/%d", whole, part, f.Den)
}

// Shift is the number of semitones by which a stop of footage f lies above
// the rank it is taken from: round(12 * log2(rank / f)). A 4-foot stop on an
// 8-foot rank is 12.
func (f Feet) Shift(rank Feet) int {
	return int(math.Round(12 * math.Log2(rank.Float()/f.Float())))
}

var vulgar = strings.NewReplacer("½", " 1/2 ", "⅓", " 1/3 ", "⅔", " 2/3 ", "¼", " 1/4 ", "¾", " 3/4 ",
	"⅕", " 1/5 ", "⅖", " 2/5 ", "⅗", " 3/5 ", "⅘", " 4/5 ", "⅙", " 1/6 ", "⅚", " 5/6 ", "⅐", " 1/7 ",
	"⅛", " 1/8 ", "⅜", " 3/8 ", "⅝", " 5/8 ", "⅞", " 7/8 ", "⅑", " 1/9 ", "’", "'", "′", "'", "⁄", "/")

var feetForm = regexp.MustCompile(`^(?:(\d{1,3})(?:[ -]+(\d{1,3})/(\d{1,3}))?|(\d{1,3})/(\d{1,3}))\s*'?$`)

// ParseFeet reads a footage: 8, 10 2/3, 2⅔, 1 1/3', 2-2/3, 1/2.
func ParseFeet(s string) (Feet, error) {
	m := feetForm.FindStringSubmatch(strings.TrimSpace(vulgar.Replace(s)))
	if m == nil {
		return Feet{}, fmt.Errorf("%q is no footage: write it like 8, 2 2/3 or 1 3/5", s)
	}
	number := func(text string) int { n, _ := strconv.Atoi(text); return n }
	whole, num, den := number(m[1]), number(m[2]), number(m[3])
	if m[4] != "" {
		num, den = number(m[4]), number(m[5])
	}
	if m[2] == "" && m[4] == "" {
		num, den = 0, 1
	}
	if den == 0 || (whole > 0 && num >= den) || whole*den+num == 0 || whole*den+num > 128*den {
		return Feet{}, fmt.Errorf("%q is no footage: write it like 8, 2 2/3 or 1 3/5", s)
	}
	num += whole * den
	d := gcd(num, den)
	return Feet{num / d, den / d}, nil
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
