package console

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trundle/console/yamldoc"
)

// figures are the ratios that the figures of compound stops mean: the pure
// interval that the figure counts on the major scale.
var figures = map[string][2]int{
	"1": {1, 1}, "3": {5, 4}, "5": {3, 2}, "8": {2, 1}, "10": {5, 2}, "12": {3, 1}, "15": {4, 1}, "17": {5, 1}, "19": {6, 1},
	"22": {8, 1}, "24": {10, 1}, "26": {12, 1}, "29": {16, 1}, "31": {20, 1}, "33": {24, 1}, "36": {32, 1}, "40": {48, 1},
}

// ambiguous are bare numbers that are no figure, or not one figure, and what
// to write instead.
var ambiguous = map[string]string{
	"2":  "write 2' for two foot",
	"4":  "write 4' for four foot",
	"6":  "write 6' for six foot",
	"7":  "write 4 4/7' for the flat seventh, 4 4/15' for the major",
	"14": "write 2 2/7' for the flat fourteenth, 2 2/15' for the major",
	"21": "write 1 1/7' for the flat twenty-first, 1 1/15' for the major",
	"28": "write 4/7' for the flat twenty-eighth, 8/15' for the major",
}

// breaks reads the zones of a compound rank, from the lowest up.
func (l *loader) breaks(f yamldoc.Fields) []Break {
	figuredFrom, _ := strconv.Atoi(f.Choice("figured-from", "8", "8", "16"))
	var breaks []Break
	begins := map[Note]*yamldoc.Node{}
	for _, p := range f.Map("breaks") {
		from := l.note(p.Key)
		if before := begins[from]; before != nil && before.Text != p.Key.Text {
			l.Twice(p.Key, before, from.String())
		}
		begins[from] = p.Key
		b := Break{From: from, At: l.Place(p.Key)}
		for _, n := range l.Texts(p.Value) {
			row, fix, err := parseRow(n.Text, figuredFrom)
			if err != nil {
				l.Wrong(n, fix, "%v", err)
			}
			b.Rows = append(b.Rows, row)
		}
		if len(b.Rows) == 0 && p.Value.Kind == yamldoc.List && len(p.Value.Items) == 0 {
			l.Wrong(p.Value, "", "no rows from %s up", p.Key.Text)
		}
		breaks = append(breaks, b)
	}
	if n := f.Node("breaks"); n.Kind == yamldoc.Map && len(breaks) == 0 {
		l.Wrong(n, "write them like C2: [19, 22, 26]", "breaks name no rows")
	}
	slices.SortStableFunc(breaks, func(a, b Break) int { return cmp.Compare(a.From, b.From) })
	return breaks
}

// parseRow reads a row: a figure counted from 8 or 16 foot, or a footage with
// its mark or a fraction.
func parseRow(text string, figuredFrom int) (row Row, fix string, err error) {
	if bareNumber(text) {
		if fix, ok := ambiguous[text]; ok {
			return Row{}, fix, fmt.Errorf("%s is no figure of a row", text)
		}
		ratio, ok := figures[text]
		if !ok {
			return Row{}, fmt.Sprintf("write the footage with its mark: %s' if it is one", text), fmt.Errorf("%s is no figure of a row", text)
		}
		return reduced(text, ratio[0]*8, ratio[1]*figuredFrom), "", nil
	}
	feet, err := ParseFeet(text)
	if err != nil {
		return Row{}, "a row is a figure like 19, or a footage like 2' or 1 3/5", fmt.Errorf("%q is no row", text)
	}
	return reduced(text, 8*feet.Den, feet.Num), "", nil
}

func reduced(text string, num, den int) Row {
	d := gcd(num, den)
	return Row{text, num / d, den / d}
}

func bareNumber(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}
