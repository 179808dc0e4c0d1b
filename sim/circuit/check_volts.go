package circuit

import (
	"cmp"
	"fmt"
	"slices"

	"trundle/console/finding"
)

// volts finds coils that do not pull in, for certain or perhaps, and wires that
// lose more than they may. What is left on a return of both polarities means
// nothing; and what is lost on the way of a coil that does not pull in, or of a
// pin or a wire that carries too much, is said there.
func (k *checker) volts(rep Report) {
	weak := []int{} // loads that do not pull in
	for _, d := range []*Drop{rep.Drop, rep.Moving} {
		if d == nil || d.Needs == 0 || d.Volts >= d.Needs || k.onMixed(d.Load) {
			continue
		}
		while := ""
		if d == rep.Moving {
			while = " and knobs move"
		}
		weak = append(weak, d.Load)
		k.add(PullInLow, finding.Error, k.c.Magnets[k.c.Loads[d.Load].Magnet].At, thicken(d.Hops),
			"%s is left %.2f V, and hot it needs %.2f V to pull in, while %s are held with all stops and couplers%s", k.s.Name(d.Load), d.Volts, d.Needs, k.s.Play(d.Keys), while)
	}
	var least, most *Floor
	for i := range rep.Floors {
		f := &rep.Floors[i]
		l := k.c.Loads[f.Load]
		if k.onMixed(f.Load) || k.heavy[l.Pin] > 0 || slices.ContainsFunc(l.Legs, func(leg Leg) bool { return k.hot[leg.Cable] }) {
			continue
		}
		if f.Needs > 0 && (least == nil || f.Volts-f.Needs < least.Volts-least.Needs) {
			least = f
		}
		if most == nil || f.Lost-f.Allowed > most.Lost-most.Allowed {
			most = f
		}
	}
	if least != nil && least.Volts < least.Needs && len(weak) == 0 {
		weak = append(weak, least.Load)
		k.add(PullInLow, finding.Warning, k.c.Magnets[k.c.Loads[least.Load].Magnet].At, "look at the hops in trundle current",
			"%s is not proven to be left the %.2f V that it needs hot, but %.2f V; no chord was found in which it is left less than it needs", k.s.Name(least.Load), least.Needs, least.Volts)
	}
	if most != nil && most.Lost > most.Allowed && !slices.ContainsFunc(weak, func(i int) bool { return k.sameWay(i, most.Load) }) {
		k.add(DropOver, finding.Warning, k.c.Loads[most.Load].At, "thicken or shorten the wire or the return that loses most",
			"up to %.2f V are lost in the wires to %s and back, more than %.2f V; how much is too much no standard says", most.Lost, k.s.Name(most.Load), most.Allowed)
	}
}

// thicken says which wire of some hops loses most.
func thicken(hops []Hop) string {
	var most Hop
	for _, h := range hops {
		if h.Wire && h.Volts > most.Volts {
			most = h
		}
	}
	if most.Volts < 0.01 {
		return "no wire loses much: take magnets that need less, or more volts"
	}
	where := most.Where
	if where == "wire" {
		where = "its own wire"
	}
	return fmt.Sprintf("thicken or shorten the wire that loses most, %.2f V: %s", most.Volts, where)
}

// onMixed reports whether a load's return has magnets of both polarities.
func (k *checker) onMixed(load int) bool { return k.mixedOf(k.c.Loads[load]) > 0 }

// mixedOf is the finding, and 1, of such a return; 0 without.
func (k *checker) mixedOf(l Load) int {
	for r := l.Return; r != None; r = k.c.Returns[r].Into {
		if k.mixed[r] > 0 {
			return k.mixed[r]
		}
	}
	return 0
}

// sameWay reports whether two loads are fed and go home by the same board,
// cables and return.
func (k *checker) sameWay(a, b int) bool {
	one, other := k.c.Loads[a], k.c.Loads[b]
	return one.Board == other.Board && one.Return == other.Return && slices.Equal(one.cables(), other.cables())
}

// changes finds supplies, fuses and boards that carry more than they may while
// knobs and sliders move: one finding, for one setting mends it, at the one that
// is worst off.
func (k *checker) changes(rep Report) {
	rules := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver}
	var over []Line
	for _, line := range rep.Lines {
		if rules[line.Kind] != "" && line.Rated > 0 && line.Pulses > 0 && line.Peak() > line.Rated && (line.Pulses > line.Rated || line.Chord.Bound <= line.Rated) {
			over = append(over, line)
		}
	}
	slices.SortStableFunc(over, func(a, b Line) int { // errors before warnings, then by excess
		return cmp.Or(cmp.Compare(max(1, b.Pulses/b.Rated), max(1, a.Pulses/a.Rated)), cmp.Compare(b.Peak()/b.Rated, a.Peak()/a.Rated))
	})
	at := 0 // the finding, and 1
	for _, line := range over {
		severity, message := finding.Error, fmt.Sprintf("moving the knobs takes %.2f A of the %.2f A of %s %s", line.Pulses, line.Rated, line.Kind, line.ID)
		if line.Pulses <= line.Rated {
			severity = finding.Warning
			message = fmt.Sprintf("moving the knobs takes %.2f A, and up to %.2f A while the worst chord is held, of the %.2f A of %s %s", line.Pulses, line.Peak(), line.Rated, line.Kind, line.ID)
		}
		if at > 0 {
			k.found[at-1].Related = append(k.found[at-1].Related, finding.Related{Place: line.At, Message: message})
			continue
		}
		k.add(rules[line.Kind], severity, line.At, "move the knobs in groups: electrical: {group: 8, gap: 50 ms}", "%s", message)
		at = len(k.found)
	}
}
