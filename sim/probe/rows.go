package probe

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// rows are the steps in which a row of the relay's table holds that asks for
// more than one control, or for one that moves keys.
func (p *planner) rows(r *wiring.Relay) {
	controls, list := controlsOf(r), p.movers
	for _, s := range r.Switch {
		var draw []int
		for _, l := range s.Control {
			if !l.Not {
				draw = append(draw, controls[l.Label]...)
			}
		}
		moves := slices.ContainsFunc(draw, func(c int) bool { return p.in.Controls[c].Kind != console.StopControl })
		switch {
		case s.Kind == wiring.Read:
			continue
		case s.Kind == wiring.Couple && len(draw) > 1:
			for _, m := range list {
				if slices.Contains(draw, m.control) {
					for _, w := range p.of(p.witnesses, m) {
						p.pressSparse(slices.Concat(draw, w.stops), m)
						for _, stops := range p.filled(w) {
							p.pressSparse(slices.Concat(draw, stops), m)
						}
					}
				}
			}
			continue
		case s.Kind == wiring.Couple:
			continue
		case len(draw) > 1 || moves:
			p.sparse(draw, p.keyboards()...)
		}
		for _, m := range list {
			asked := func(other mover) bool { return slices.Contains(draw, other.control) && p.meet(m, other) }
			if moves && slices.ContainsFunc(list, asked) {
				p.sparse(append(slices.Clone(draw), m.control), m.from...)
			}
		}
	}
}

// controlsOf are the controls whose contacts put each label on.
func controlsOf(r *wiring.Relay) map[string][]int {
	nets, controls := wiring.Nets(r), map[string][]int{}
	for _, s := range r.Switch {
		if s.Kind != wiring.Read || s.Line != "" || len(s.Pins) == 0 || nets.Of(s.Pins[0]) < 0 {
			continue
		}
		for _, h := range nets.Hung(nets.Of(s.Pins[0])) {
			if item := nets.Item(h); item.Kind == wiring.ControlKind {
				controls[s.Control[0].Label] = append(controls[s.Control[0].Label], item.Index)
			}
		}
	}
	return controls
}
