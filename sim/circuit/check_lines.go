package circuit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trundle/console/finding"
)

// places finds places that carry more than they may. A supply, a fuse and a board
// that carry the same magnets are one finding, at the one that is worst off; and
// where each of the magnets is too much for its pin, that is the finding.
func (k *checker) places() {
	rules := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver, "return": ReturnOver}
	same := map[string]int{} // by what they carry: the finding, and 1
	all := map[int][]Line{}  // by finding
	for _, line := range byExcess(k.rep.Lines) {
		severity, message := k.excess(line)
		key := fmt.Sprint(severity, line.Kind == "return", line.members)
		at, heavy := same[key], k.allHeavy(line.members)
		switch {
		case at == 0 && heavy == 0:
			k.add(rules[line.Kind], severity, line.At, "", "%s", message)
			same[key] = len(k.found)
			all[len(k.found)] = []Line{line}
			k.mendLine(line, func() []Line { return all[same[key]] })
			continue
		case at == 0:
			at, same[key] = heavy, heavy
			message = fmt.Sprintf("so %s %s is asked for %.2f A, and has %.2f A", line.Kind, line.ID, line.Chord.Amps, line.Rated)
		case at == heavy:
			continue
		}
		all[at] = append(all[at], line)
		k.found[at-1].Related = append(k.found[at-1].Related, finding.Related{Place: line.At, Message: message})
	}
}

// excess says by how much a place is over its limit. What a chord does is an
// error; what no search could exclude, and what only the loss in wires keeps
// down, a warning. Magnets on a return of the wrong pole count as if it were
// the right one, for in the network nothing runs there.
func (k *checker) excess(line Line) (finding.Severity, string) {
	carries := max(0, line.Settled) // where another supply gives all, rounding may leave less than nothing
	if slices.ContainsFunc(line.members, k.onMixed) {
		carries = line.Chord.Amps
	}
	switch {
	case carries > line.Rated:
		return finding.Error, fmt.Sprintf("%s %s carries %.2f A of its %.2f A while %s are held with all stops and couplers",
			line.Kind, line.ID, carries, line.Rated, k.s.Play(line.Chord.Keys))
	case line.Chord.Amps > line.Rated:
		return finding.Warning, fmt.Sprintf("%s %s keeps within its %.2f A only for what the wires lose: it carries %.2f A in the worst chord found, and its magnets alone would draw %.2f A",
			line.Kind, line.ID, line.Rated, carries, line.Chord.Amps)
	}
	return finding.Warning, fmt.Sprintf("%s %s is not proven to keep within its %.2f A: at most %.2f A, and %.2f A in the worst chord found",
		line.Kind, line.ID, line.Rated, line.Chord.Bound, line.Chord.Amps)
}

// byExcess are the lines that may exceed their limits, the worst first.
func byExcess(lines []Line) []Line {
	var over []Line
	for _, line := range lines {
		if line.Rated > 0 && (line.Settled > line.Rated || line.Chord.Bound > line.Rated) {
			over = append(over, line)
		}
	}
	slices.SortStableFunc(over, func(a, b Line) int { return cmp.Compare(b.Chord.Bound/b.Rated, a.Chord.Bound/a.Rated) })
	return over
}

// allHeavy is the finding, and 1, of the pins of loads that each carry too
// much; 0 when one of them does not.
func (k *checker) allHeavy(loads []int) int {
	first := 0
	for _, i := range loads {
		at := k.heavy[k.c.Loads[i].Pin]
		if at == 0 {
			return 0
		}
		first = cmp.Or(first, at)
	}
	return first
}

// other is by how many times coils for the same work may differ: in ohms, and in
// the volts at which they pull in. Common practice, no source.
const other = 2

// mendLine says what mends a line that carries too much, and those with it; all
// is known when the fixes are worked out.
func (k *checker) mendLine(line Line, all func() []Line) {
	if line.Kind == "return" {
		k.mend("share its magnets among several returns",
			k.thicker(Part{"return", line.index}), k.moreWires(line.index))
		return
	}
	times := func() float64 { // more ohms that bring all lines within what they may carry
		most := 1.0
		for _, line := range all() {
			if most = max(most, line.Chord.Bound/(line.Rated-line.Pulses)); line.Pulses >= line.Rated {
				return math.Inf(1)
			}
		}
		return most
	}
	ways := []func(int) string{
		func(at int) string { return k.larger(all())(at) },
		func(at int) string {
			if times() > other {
				return ""
			}
			return k.moreOhms(line.members, times())(at)
		},
	}
	if line.Kind == "fuse" {
		ways = append(ways, k.ownFuses(line.index))
	}
	k.mend(fmt.Sprintf("share its magnets between several, each of which carries no more than its own %g A", line.Rated), ways...)
}
