package circuit

import "trundle/console/finding"

// volts finds coils that do not pull in, for certain or perhaps, and wires that
// lose more than they may.
func (k *checker) volts(rep Report) {
	for _, d := range []*Drop{rep.Drop, rep.Moving} {
		if d == nil || d.Needs == 0 || d.Volts >= d.Needs {
			continue
		}
		while := ""
		if d == rep.Moving {
			while = " and knobs move"
		}
		k.add(PullInLow, finding.Error, k.c.Magnets[k.c.Loads[d.Load].Magnet].At, "look at the hops in trundle current, and thicken the one that loses most",
			"%s is left %.2f V, and hot it needs %.2f V to pull in, while %s are held with all stops and couplers%s", k.s.Name(d.Load), d.Volts, d.Needs, k.s.Play(d.Keys), while)
	}
	certain := len(k.found) > 0 && k.found[len(k.found)-1].Rule == PullInLow
	var least, most *Floor
	for i := range rep.Floors {
		f := &rep.Floors[i]
		if f.Needs > 0 && (least == nil || f.Volts-f.Needs < least.Volts-least.Needs) {
			least = f
		}
		if most == nil || f.Lost-f.Allowed > most.Lost-most.Allowed {
			most = f
		}
	}
	if least != nil && least.Volts < least.Needs && !certain {
		k.add(PullInLow, finding.Warning, k.c.Magnets[k.c.Loads[least.Load].Magnet].At, "look at the hops in trundle current",
			"%s is not proven to be left the %.2f V that it needs hot, but %.2f V; no chord was found in which it is left less than it needs", k.s.Name(least.Load), least.Needs, least.Volts)
	}
	if most != nil && most.Lost > most.Allowed {
		k.add(DropOver, finding.Warning, k.c.Loads[most.Load].At, "thicken or shorten the wire or the return that loses most",
			"up to %.2f V are lost in the wires to %s and back, more than %.2f V; how much is too much no standard says", most.Lost, k.s.Name(most.Load), most.Allowed)
	}
}

// changes finds supplies, fuses and boards that carry more than they may while
// knobs and sliders move.
func (k *checker) changes(rep Report) {
	for _, line := range rep.Lines {
		rule := map[string]string{"supply": SupplyOver, "fuse": FuseOver, "board": BoardOver}[line.Kind]
		const fix = "move the knobs in groups: electrical: {group: 8, gap: 50 ms}"
		switch {
		case rule == "" || line.Rated == 0 || line.Pulses == 0:
		case line.Pulses > line.Rated:
			k.add(rule, finding.Error, line.At, fix, "moving the knobs takes %.2f A of the %.2f A of %s %s", line.Pulses, line.Rated, line.Kind, line.ID)
		case line.Peak() > line.Rated && line.Chord.Bound <= line.Rated:
			k.add(rule, finding.Warning, line.At, fix,
				"moving the knobs takes %.2f A, and up to %.2f A while the worst chord is held, of the %.2f A of %s %s", line.Pulses, line.Peak(), line.Rated, line.Kind, line.ID)
		}
	}
}
