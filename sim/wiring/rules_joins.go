package wiring

import (
	"slices"

	"trundle/console/finding"
)

// joinedTwice finds joins that lead to a terminal which has something else
// already: a row of the plan, be it spare, or another join. A chain from strip to
// strip is none of this: it begins at one board and ends at one thing.
func joinedTwice(r *Relay) (found []finding.Finding) {
	if len(r.Joins) == 0 {
		return nil
	}
	nets := NetsOf(r, r.Plan)
	for i, j := range r.Joins {
		for end, pins := range [][]Terminal{j.From, j.To} {
			var again []Terminal
			var use use
			for at := range min(len(j.From), len(j.To)) {
				if u, is := nets.usedBefore(Leg{i, at}, pins[at]); is {
					if again = append(again, pins[at]); len(again) == 1 {
						use = u
					}
				}
			}
			if len(again) == 0 {
				continue
			}
			fix := "lead one of the two elsewhere"
			if use.as == "listed as spare" {
				fix = "lead the join elsewhere, or take " + itThem(len(again)) + " out of the row of kind spare"
			}
			f := fault(j.Place([]int{FromPinsColumn, ToPinsColumn}[end]), fix, "%s %s %s", r.run(again), areIs(len(again)), use.as)
			f.Related = []finding.Related{use.by}
			found = append(found, f)
			break // at its other end it is the same mistake
		}
	}
	return found
}

// use is what a terminal is used for.
type use struct {
	as string
	by finding.Related
}

// usedBefore is what a terminal has besides a leg that leads there, if the two get
// into each other's way.
func (n *Netlist) usedBefore(leg Leg, t Terminal) (use, bool) {
	net := n.Of(t)
	if net < 0 {
		return use{}, false
	}
	r := n.relay
	var own *Row
	var things []Item // that hang on the net, of those that a board drives or reads
	beside := false   // something hangs elsewhere on it
	for _, h := range n.Hung(net) {
		row := &n.rows[h.Row]
		if row.Pins[h.At] == t {
			own = row
		} else {
			beside = beside || row.Kind != SpareKind
		}
		if item := n.Item(h); led(row.Kind) && !slices.Contains(things, item) {
			things = append(things, item)
		}
	}
	if own != nil && beside && t.On < len(r.Boards) {
		as := "wired already"
		if own.Kind == SpareKind {
			as = "listed as spare"
		}
		return use{as, finding.Related{Place: own.Place(PinsColumn), Message: "here: " + own.said()}}, true
	}
	boards := slices.DeleteFunc(n.Terminals(net), func(t Terminal) bool { return t.On >= len(r.Boards) })
	from, to := r.Joins[leg.Join].From[leg.At], r.Joins[leg.Join].To[leg.At]
	for _, other := range n.Legs(net) {
		if other.Join >= leg.Join {
			break
		}
		j := r.Joins[other.Join]
		a, b := j.From[other.At], j.To[other.At]
		if (a == t || b == t) && (len(boards) > 1 || len(things) > 1 || a == from && b == to) {
			return use{"joined already", finding.Related{Place: j.At, Message: "here"}}, true
		}
	}
	return use{}, false
}
