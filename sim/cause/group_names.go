package cause

import (
	"slices"

	"trundle/console"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// isControl reports whether a part is a control.
func (m *model) isControl(p part) bool {
	is, named := m.names[p.class]
	return named && is.family < len(m.in.Controls)
}

// kindsOf parts a list into controls, lines, and lines that must be silent, which
// only rows that pick ask for.
func (m *model) kindsOf(parts []part) (controls, lines, silent []part) {
	for _, p := range parts {
		switch {
		case m.isControl(p):
			controls = append(controls, p)
		case p.not:
			silent = append(silent, p)
		default:
			lines = append(lines, p)
		}
	}
	return controls, lines, silent
}

// nameGaps names the mistake that has made some gaps, by the first that says
// most: a changed term before one that is missing or too many.
func (m *model) nameGaps(gaps []gap) string {
	if rule := m.runPattern(gaps); rule != "" {
		return rule
	}
	rank := []string{}
	for _, g := range gaps {
		rank = append(rank, m.nameGap(g))
	}
	for _, weak := range []string{"row-missing", "row-extra"} {
		if i := slices.IndexFunc(rank, func(r string) bool { return r != weak }); i >= 0 {
			rank = slices.DeleteFunc(rank, func(r string) bool { return r == weak })
		}
	}
	count := map[string]int{}
	for _, r := range rank {
		count[r]++
	}
	best := rank[0]
	for _, r := range rank {
		if count[r] > count[best] {
			best = r
		}
	}
	if m.further(gaps) && (best == "row-missing" || best == "row-extra") {
		return "wrong-carries"
	}
	return best
}

// nameGap names one gap.
func (m *model) nameGap(g gap) string {
	if g.got == nil {
		return "row-missing"
	}
	if g.want == nil {
		return "row-extra"
	}
	missing, lost, unpicked := m.kindsOf(g.missing)
	excess, gained, picked := m.kindsOf(g.excess)
	coupled := g.site == nil
	switch {
	case len(missing) == 1 && len(excess) == 1 && missing[0].class != excess[0].class:
		return "wrong-control"
	case len(unpicked)+len(picked) > 0 && len(lost)+len(gained) == 0:
		return "wrong-picks"
	case len(lost) == 1 && len(gained) == 1 && m.names[lost[0].class].family == m.names[gained[0].class].family:
		return "wrong-shift"
	case len(lost)+len(gained) > 0:
		return "wrong-keyboard"
	case len(missing) == 1 && len(excess) == 1: // of one control
		return "literal-inverted"
	case len(excess) == 0 && coupled && m.silences(missing[0]):
		return "unison-off-missing"
	case len(excess) == 0:
		return "literal-missing"
	case len(missing) == 0 && coupled && m.silences(excess[0]):
		return "unison-off-extra"
	case len(missing) == 0:
		return "literal-extra"
	}
	return "wrong-control"
}

// silences reports whether a part is that a unison off is not on.
func (m *model) silences(p part) bool {
	return p.not && m.isControl(p) && m.in.Controls[m.names[p.class].family].Kind == console.UnisonOffControl
}

// further reports whether all gaps are on lines that carry keys on, and not on
// a division's line, so that what is wrong is what a coupler carries.
func (m *model) further(gaps []gap) bool {
	return !slices.ContainsFunc(gaps, func(g gap) bool {
		return g.site != nil || !g.carries && m.driven(m.w.Is(m.raw(g.line)))
	})
}

// driven reports whether some output takes a line's node.
func (m *model) driven(n logic.Node) bool {
	for _, s := range m.sites {
		got := m.w.Is(s.got)
		if got == n {
			return true
		}
		for _, t := range m.w.Terms(got) {
			if slices.ContainsFunc(t.All, func(a logic.Node) bool { return m.w.Is(a) == n }) {
				return true
			}
		}
	}
	return false
}

// runPattern is the pattern of a run on outputs that takes the right line at
// the wrong notes, or misses some, "" for anything else.
func (m *model) runPattern(gaps []gap) string {
	if gaps[0].site == nil {
		return ""
	}
	l, under := m.lane(gaps[0].site.item, gaps[0].site.net), m.under(gaps[0])
	is := map[int]wiring.Item{} // by net, the line that it has: as if lines hung on pins
	family := -1
	line := func(term []part) (wiring.Item, bool) {
		_, lines, silent := m.kindsOf(term)
		if len(lines) != 1 || len(silent) > 0 || family >= 0 && m.names[lines[0].class].family != family {
			return nothing, false
		}
		family = m.names[lines[0].class].family
		return wiring.Item{Index: int(lines[0].class) + 1}, true
	}
	for _, g := range gaps {
		if g.site == nil || m.lane(g.site.item, g.site.net) != l || m.under(g) != under {
			return ""
		}
		if g.got != nil {
			a, ok := line(g.got)
			if !ok || g.want != nil && m.controlsOf(g.want) != m.controlsOf(g.got) {
				return ""
			}
			is[g.site.net] = a
		} else if _, known := is[g.site.net]; !known {
			is[g.site.net] = nothing
		}
	}
	var proper, actual []wiring.Item
	for _, net := range m.laneNets(l, nil) {
		p := nothing
		for i := range m.sites {
			if s := &m.sites[i]; s.net == net && s.item != nothing && m.lane(s.item, net) == l {
				for _, term := range m.parts(s.want, m.class) {
					if w, ok := line(term); ok && m.controlsOf(term) == under {
						p = w
					}
				}
			}
		}
		a, changed := is[net]
		if !changed {
			a = p
		}
		if p != nothing || a != nothing {
			proper, actual = append(proper, p), append(actual, a)
		}
	}
	return pattern(proper, actual)
}

// under is the controls under which a gap stands.
func (m *model) under(g gap) string {
	if g.want != nil {
		return m.controlsOf(g.want)
	}
	return m.controlsOf(g.got)
}

func (m *model) controlsOf(term []part) string {
	controls, _, _ := m.kindsOf(term)
	return m.relative(controls, 0)
}
