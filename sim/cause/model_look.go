package cause

import (
	"fmt"
	"slices"

	"trundle/sim/equation"
	"trundle/sim/logic"
	"trundle/sim/wiring"
)

// moved is a pin on which one thing hangs, and that the relay uses as the pin
// of another. Either may be absent, and is then the zero item.
type moved struct {
	net         int // -1 for what the relay uses and never reads
	input       bool
	row         int // of an input: the row that reads it
	have, means wiring.Item
	extra       bool // have hangs on the pin beside what belongs there
}

// gap is a difference of one term at one place: on an output, or on a note of
// a line.
type gap struct {
	site            *site
	line            note              // where there is no site
	want, got       []part            // the terms; nil for none
	missing, excess []part            // what each has that the other has not
	carries         bool              // the line lacks what other keyboards' keys bring to it
	from            []equation.Origin // rows that the relay's term passed, the nearest to the place first
}

// look finds everything that is not as it should be, one place at a time.
func (m *model) look() (pins []moved, gaps []gap) {
	pins = m.misread()
	forms := m.wantForms()
	right := map[wiring.Item]bool{} // on some net it does what it should
	for i := range m.sites {
		if wants, gots := m.siteParts(&m.sites[i]); formOf(gots) == formOf(wants) {
			right[m.sites[i].item] = true
		}
	}
	for i := range m.sites {
		s := &m.sites[i]
		wants, gots := m.siteParts(s)
		form := formOf(gots)
		if form == formOf(wants) {
			continue
		}
		means := slices.DeleteFunc(slices.Clone(forms[form]), func(item wiring.Item) bool { return right[item] && !m.hangsOn(s.net, item) })
		_, drivable := m.rel.Nets.Pin(s.net, wiring.Output)
		switch {
		case len(means) > 0:
			item := likest(s.item, means)
			pins = append(pins, moved{net: s.net, have: s.item, means: item, extra: m.hangsOn(s.net, item)})
		case !drivable:
			pins = append(pins, moved{net: s.net, have: s.item})
		case s.item != nothing:
			gaps = append(gaps, m.gaps(gap{site: s}, m.rel.Driven[s.net], wants, gots)...)
		}
	}
	for _, n := range m.matched {
		want := m.repr[m.canon[n]]
		if m.class[n] == m.canon[n] {
			continue
		}
		at := m.lines[n][0]
		raw := m.raw(at)
		gaps = append(gaps, m.gaps(gap{line: at}, raw, m.parts(want, m.class), m.parts(n, m.canon))...)
	}
	for i := m.unread; i < len(m.pins); i++ { // notes of lines that nothing feeds, and that should be more than a contact
		n := logic.Node(m.v.Count + i)
		want, known := m.repr[m.canon[n]]
		if !known || int(m.canon[n]) < m.v.Count || len(m.lines[n]) == 0 {
			continue
		}
		for _, t := range m.parts(want, m.class) {
			gaps = append(gaps, gap{line: m.lines[n][0], want: t, missing: t})
		}
	}
	return pins, once(gaps)
}

// once drops what has been found from several places.
func once(gaps []gap) []gap {
	seen := map[string]bool{}
	return slices.DeleteFunc(gaps, func(g gap) bool {
		key := fmt.Sprint(g.line, g.want)
		again := g.carries && seen[key]
		seen[key] = true
		return again
	})
}

// siteParts is what an output should do and what it does. Where both are a
// line, the lines are compared, not what they are made of.
func (m *model) siteParts(s *site) (want, got [][]part) {
	w, g := m.w.Is(s.want), m.w.Is(s.got)
	want, got = m.parts(w, m.class), m.parts(g, m.canon)
	if (m.lines[g] != nil || m.w.IsVar(g)) && !m.idle(g) {
		got = m.whole(g, m.canon)
		if _, named := m.names[m.class[w]]; named {
			want = m.whole(w, m.class)
		}
	}
	return want, got
}

// whole is a node as a term of its own.
func (m *model) whole(n logic.Node, class []int32) [][]part {
	n = m.w.Is(n)
	return [][]part{{{n, class[n], false}}}
}

// misread finds the pins on which another contact hangs than the one that what
// the relay reads there should be.
func (m *model) misread() (pins []moved) {
	seen := map[moved]bool{}
	for i, s := range m.rel.Switch {
		if s.Kind != wiring.Read {
			continue
		}
		for at := range s.Len() {
			means, known := m.meant(s, at)
			if !known {
				continue
			}
			e := moved{net: -1, input: true, row: i, means: means}
			var hung []wiring.Item
			if t := s.Pins[at]; t.On >= 0 {
				e.net = m.rel.Nets.Of(t)
				hung = m.contacts(m.rel.Nets, e.net)
			}
			if len(hung) == 1 && hung[0] == means {
				continue
			}
			if e.extra = slices.Contains(hung, means); e.extra {
				hung = slices.DeleteFunc(hung, func(item wiring.Item) bool { return item == means })
			}
			if len(hung) > 0 {
				e.have = hung[0]
			}
			once := e
			once.row = 0
			if e.net >= 0 && seen[once] {
				continue
			}
			seen[once] = true
			pins = append(pins, e)
		}
	}
	return pins
}

// meant is the contact that a place of a read row should read: the one that
// its label, or its note of a line, should be or start from.
func (m *model) meant(s wiring.Switch, at int) (wiring.Item, bool) {
	var node logic.Node
	if s.Line == "" {
		node = m.rel.Labels[s.Control[0].Label]
	} else {
		node = m.rel.Lines[s.Line][s.Notes[at]]
	}
	class := m.canon[m.w.Is(node)]
	if int(class) < m.v.Count {
		return m.v.Item(logic.Node(class)), true
	}
	want, known := m.repr[class]
	if !known {
		return wiring.Item{}, false
	}
	for _, term := range m.parts(want, m.class) {
		if len(term) == 1 && !term[0].not && int(term[0].class) < m.v.Count {
			return m.v.Item(logic.Node(term[0].class)), true
		}
	}
	return wiring.Item{}, false
}

// gaps are the pairs of terms at one place that are not equal.
func (m *model) gaps(at gap, raw logic.Node, wants, gots [][]part) []gap {
	var list []gap
	for _, p := range m.compare(wants, gots) {
		if p.want >= 0 && p.got >= 0 && len(p.missing) == 0 && len(p.excess) == 0 {
			continue
		}
		if at.site == nil && (p.want < 0 || m.contactOnly(wants[p.want])) && (p.got < 0 || m.contactOnly(gots[p.got])) && m.isRead(raw) {
			continue // what is read wrong is told by the pin
		}
		g := at
		g.missing, g.excess = p.missing, p.excess
		if p.want >= 0 {
			g.want = wants[p.want]
		}
		if p.got >= 0 {
			g.got = gots[p.got]
			g.from = m.trace(raw, g.got)
		}
		list = append(list, m.lacking(g)...)
	}
	return list
}

// lacking looks at a gap in which a line stands for another that has more to
// it: what is wrong is then what that other line has and this one has not, and
// the gaps are on the line that the relay's row reads.
func (m *model) lacking(g gap) []gap {
	if len(g.missing) != 1 || len(g.excess) != 1 || g.missing[0].not != g.excess[0].not || m.isControl(g.missing[0]) {
		return []gap{g}
	}
	terms := m.parts(m.repr[g.missing[0].class], m.class)
	has := func(t []part) bool { return len(t) == 1 && !t[0].not && t[0].class == g.excess[0].class }
	own := slices.DeleteFunc(slices.Clone(g.from), func(o equation.Origin) bool { return m.rel.Switch[o.Row].Kind == wiring.Read })
	if len(terms) < 2 || !slices.ContainsFunc(terms, has) || len(own) == 0 {
		return []gap{g}
	}
	row := m.rel.Switch[own[len(own)-1].Row]
	if row.Line == "" {
		return []gap{g}
	}
	var list []gap
	for _, t := range terms {
		if !has(t) {
			list = append(list, gap{line: note{row.Line, int(row.Notes[own[len(own)-1].At])}, want: t, missing: t, carries: true})
		}
	}
	return list
}

// isRead reports whether a label or a note of a line is read from a pin.
func (m *model) isRead(raw logic.Node) bool {
	return slices.ContainsFunc(m.rel.Origins(raw), func(o equation.Origin) bool { return m.rel.Switch[o.Row].Kind == wiring.Read })
}

// contactOnly reports whether a term is one contact, or one pin.
func (m *model) contactOnly(term []part) bool {
	return len(term) == 1 && m.w.IsVar(term[0].node) && !term[0].not
}
