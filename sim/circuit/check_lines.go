package circuit

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/console/finding"
)

// lines finds places that carry more than they may. A supply, a fuse and a board
// that carry the same magnets are one finding, at the one that is worst off; and
// where each of the magnets is too much for its pin, that is the finding.
func (k *checker) lines(rep Report) {
	rules := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver, "return": ReturnOver}
	same := map[string]int{} // by what they carry: the finding, and 1
	for _, line := range byExcess(rep.Lines) {
		severity, message := k.excess(line)
		key := fmt.Sprint(severity, line.Kind == "return", line.members)
		at, heavy := same[key], k.allHeavy(line.members)
		switch {
		case at == 0 && heavy == 0:
			k.add(rules[line.Kind], severity, line.At, lineFix(line.Kind), "%s", message)
			same[key] = len(k.found)
			continue
		case at == 0:
			at, same[key] = heavy, heavy
			message = fmt.Sprintf("so %s %s is asked for %.2f A, and has %.2f A", line.Kind, line.ID, line.Chord.Amps, line.Rated)
		case at == heavy:
			continue
		}
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

func lineFix(kind string) string {
	switch kind {
	case "supply":
		return "take a larger supply, or share the load between two"
	case "return":
		return "run a thicker return, or more wires"
	}
	return "share its magnets between two, or take magnets of more ohms"
}
