package circuit

import "trundle/console/finding"

func (k *checker) drop(rep Report) {
	d := rep.Drop
	if d == nil {
		return
	}
	l := k.c.Loads[d.Load]
	switch at := k.c.Magnets[l.Magnet].At; {
	case d.Needs > 0 && d.Volts < d.Needs:
		k.add(PullInLow, finding.Error, at, "look at the hops in trundle current, and thicken the one that loses most",
			"%s is left %.2f V, and hot it needs %.2f V to pull in, while %s are held with all stops and couplers", k.s.Name(d.Load), d.Volts, d.Needs, k.s.Play(d.Keys))
	case d.Needs > 0 && d.Everything < d.Needs:
		k.add(PullInLow, finding.Warning, at, "look at the hops in trundle current",
			"%s is left %.2f V of the %.2f V that it needs hot, when all that can be on is on; no chord was found that does it", k.s.Name(d.Load), d.Everything, d.Needs)
	}
	lost := 0.0
	for _, h := range d.Hops {
		if h.Wire {
			lost += h.Volts
		}
	}
	full := k.c.Supplies[k.c.suppliesOf(l.Board)[0]].Full
	if allowed := k.c.Settings.Drop * full; lost > allowed {
		k.add(DropOver, finding.Warning, l.At, "thicken or shorten the wire or the return that loses most",
			"%.2f V are lost in the wires to %s and back, more than %.2f V; how much is too much no standard says", lost, k.s.Name(d.Load), allowed)
	}
}

func (k *checker) changes(rep Report) {
	for _, change := range rep.Change {
		supply := k.c.Supplies[change.Supply]
		if supply.Amps > 0 && change.Stepped > supply.Amps {
			k.add(SupplyOver, finding.Error, supply.At, "move the knobs in groups: electrical: {group: 8, gap: 50 ms}",
				"moving %d knobs takes %.1f A of the %.1f A of supply %s", change.Coils, change.Stepped, supply.Amps, supply.ID)
		}
	}
}
