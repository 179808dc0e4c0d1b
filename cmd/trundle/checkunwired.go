package main

import (
	"slices"

	"trundle/console/finding"
	"trundle/sim/mend"
	"trundle/sim/wiring"
)

// unwired says of what is on no pin how many valves are wrong because of it,
// whatever the table does; nothing else need account for them.
func (c *checked) unwired(compared *wiring.Relay, found []finding.Finding) {
	lacks := wiring.Lacks(compared, c.in)
	const many = 16 // each takes a proof
	if len(c.causes.Unexplained) == 0 || len(lacks) == 0 || len(lacks) > many {
		return
	}
	left := slices.Clone(c.causes.Unexplained)
	for _, o := range mend.Mend(c.in, compared).Obstacles {
		because := func(v int) bool { return slices.Contains(o.Valves, v) }
		valves := slices.DeleteFunc(slices.Clone(c.causes.Unexplained), func(v int) bool { return !because(v) })
		i := slices.IndexFunc(found, func(f finding.Finding) bool {
			return slices.ContainsFunc(lacks, func(l wiring.Lack) bool {
				return f.Rule == "item-not-wired" && l.Place == f.Place && l.Message == f.Message && o.Lacks(l.Items[0])
			})
		})
		if i >= 0 && len(valves) > 0 {
			found[i].Message += "; " + opens(len(valves)) + " because of it"
			left = slices.DeleteFunc(left, because)
		}
	}
	c.causes.Unexplained = left
}
