package circuit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"trundle/console/finding"
)

// volts finds coils that do not pull in, for certain or perhaps, and wires that
// lose more than they may. What is left on a return of both polarities means
// nothing; and what is lost on the way of a coil that does not pull in, or of a
// pin or a wire that carries too much, is said there.
func (k *checker) volts() {
	rep := k.rep
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
		k.add(PullInLow, finding.Error, k.c.Magnets[k.c.Loads[d.Load].Magnet].At, "",
			"%s is left %.2f V, and hot it needs %.2f V to pull in, while %s are held with all stops and couplers%s", k.s.Name(d.Load), d.Volts, d.Needs, k.s.Play(d.Keys), while)
		k.mendVolts(d.Load)
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
		k.add(PullInLow, finding.Warning, k.c.Magnets[k.c.Loads[least.Load].Magnet].At, "",
			"%s is not proven to be left the %.2f V that it needs hot, but %.2f V; no chord was found in which it is left less than it needs", k.s.Name(least.Load), least.Needs, least.Volts)
		k.mendVolts(least.Load)
	}
	if most != nil && most.Lost > most.Allowed && !slices.ContainsFunc(weak, func(i int) bool { return k.sameWay(i, most.Load) }) {
		k.add(DropOver, finding.Warning, k.c.Loads[most.Load].At, "",
			"up to %.2f V are lost in the wires to %s and back, more than %.2f V; how much is too much no standard says", most.Lost, k.s.Name(most.Load), most.Allowed)
		k.mend(fmt.Sprintf("no thicker wires bring it down: shorten them, share the magnets among more returns, or allow more where all pull in: electrical: {drop: %g}", k.allowed()),
			func(at int) string { return cmp.Or(k.anyThicker(*most)(at), k.sized(at)) })
	}
}

// mendVolts says what mends a coil that is left too little.
func (k *checker) mendVolts(load int) {
	l := k.c.Loads[load]
	k.mend("no wire and no other coil of its kind mends it: take a supply of more volts, or share the load",
		func(at int) string {
			var weakest *Floor // of those that are fed as it is
			for i := range k.rep.Floors {
				f := &k.rep.Floors[i]
				if same := k.c.Loads[f.Load]; same.Magnet == l.Magnet && same.Board == l.Board && (weakest == nil || f.Volts < weakest.Volts) {
					weakest = f
				}
			}
			if weakest == nil {
				return ""
			}
			return cmp.Or(k.anyThicker(*weakest)(at), k.sized(at))
		},
		k.easier(l.Magnet),
		func(at int) string {
			if !k.c.moves(l) {
				return ""
			}
			return k.grouped(at)
		},
	)
}

// easier is the way to take coils of a class that pull in at less, not so much
// that there are none.
func (k *checker) easier(class int) func(at int) string {
	return func(at int) string {
		least, m := math.Inf(1), k.c.Magnets[class]
		for _, f := range k.rep.Floors {
			if k.c.Loads[f.Load].Magnet == class {
				least = min(least, f.Volts)
			}
		}
		volts := math.Floor(10*least*m.PullIn/m.needs()-slack) / 10
		if !(volts >= m.PullIn/other) || !k.cures(at, func(c *Circuit) { c.Magnets[class].PullIn = volts }) {
			return ""
		}
		return fmt.Sprintf("take coils that pull in at %g V or less, cold, for %s (pull-in: %g)", volts, m.ID, volts)
	}
}

// allowed is the share of its supply's volts that no way loses more than, rounded up.
func (k *checker) allowed() float64 {
	most := 0.0
	for _, f := range k.rep.Floors {
		most = max(most, f.Lost/f.Allowed*k.c.Settings.Drop)
	}
	return min(1, math.Ceil(100*most)/100)
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
func (k *checker) changes() {
	rules := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver}
	var over []Line
	for _, line := range k.rep.Lines {
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
		k.add(rules[line.Kind], severity, line.At, "", "%s", message)
		k.mend("no groups are small enough: share the knobs among several, or take larger ones", func(at int) string {
			return cmp.Or(k.grouped(at), k.larger(over)(at))
		})
		at = len(k.found)
	}
}
