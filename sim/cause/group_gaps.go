package cause

import (
	"fmt"
	"slices"
	"strings"

	"trundle/sim/equation"
)

// groupGaps sorts gaps into mistakes: gaps of one kind along a run, and gaps
// that one row of the relay has made.
func (m *model) groupGaps(gaps []gap) []group {
	byKey := map[string]*group{}
	var order []*group
	for _, g := range gaps {
		key := m.key(g)
		if byKey[key] == nil {
			byKey[key] = &group{}
			order = append(order, byKey[key])
		}
		byKey[key].gaps = append(byKey[key].gaps, g)
	}
	var merged []*group
	for _, g := range order {
		i := slices.IndexFunc(merged, func(o *group) bool { return shareRow(o, g) })
		if i < 0 {
			merged = append(merged, g)
		} else {
			merged[i].gaps = append(merged[i].gaps, g.gaps...)
		}
	}
	merged = m.mergeAstray(merged)
	var groups []group
	for _, g := range merged {
		if g.rule = m.nameGaps(g.gaps); g.astray {
			g.rule = m.astrayRule(g.gaps)
		}
		groups = append(groups, *g)
	}
	return groups
}

func shareRow(a, b *group) bool {
	for _, g := range a.gaps {
		for _, h := range b.gaps {
			if len(g.from) > 0 && len(h.from) > 0 && g.from[0].Row == h.from[0].Row {
				return true
			}
		}
	}
	return false
}

// key is the same for gaps of one kind along a run.
func (m *model) key(g gap) string {
	at, base := "line "+g.line.line, g.line.note
	if g.site != nil {
		at, base = fmt.Sprint(m.lane(g.site.item, g.site.net)), g.site.item.Note
	}
	if g.want != nil {
		return at + " want " + m.relative(g.want, base)
	}
	return at + " got " + m.relative(g.got, base)
}

// relative writes a term so that it reads the same all along a run.
func (m *model) relative(term []part, base int) string {
	var words []string
	picks := false
	for _, p := range term {
		word := ""
		switch is, named := m.names[p.class]; {
		case named && is.family < len(m.in.Controls):
			word = fmt.Sprintf("c%d", is.family)
		case p.not:
			picks = true
			continue
		case named:
			word = fmt.Sprintf("f%d%+d", is.family, is.note-base)
		default:
			word = "?"
		}
		if p.not {
			word = "!" + word
		}
		words = append(words, word)
	}
	if picks {
		words = append(words, "picks")
	}
	slices.Sort(words)
	return strings.Join(words, "&")
}

// mergeAstray joins what one line has lost with what another has gained, where
// both come under the same controls: one row that leads to the wrong place.
func (m *model) mergeAstray(groups []*group) []*group {
	only := func(g *group, want bool) bool {
		return !slices.ContainsFunc(g.gaps, func(x gap) bool { return x.site != nil || (x.want != nil) != want || (x.got != nil) == want })
	}
	for i, lost := range groups {
		if lost == nil || !only(lost, true) {
			continue
		}
		for j, gained := range groups {
			if gained == nil || i == j || !only(gained, false) {
				continue
			}
			if !m.sameControls(lost.gaps[0].want, gained.gaps[0].got) {
				continue
			}
			gained.gaps = append(gained.gaps, lost.gaps...)
			gained.astray = true
			groups[i] = nil
			break
		}
	}
	return slices.DeleteFunc(groups, func(g *group) bool { return g == nil })
}

func (m *model) sameControls(a, b []part) bool {
	x, _, _ := m.kindsOf(a)
	y, _, _ := m.kindsOf(b)
	some := false
	for _, p := range x {
		if !p.not {
			some = some || slices.ContainsFunc(y, p.same)
		}
	}
	return some || len(x) == 0 && len(y) == 0
}

// astrayRule names a row that leads to the wrong place: the other way round
// when what it reads is what it should feed.
func (m *model) astrayRule(gaps []gap) string {
	var want, got gap
	for _, g := range gaps {
		if g.want != nil {
			want = g
		} else {
			got = g
		}
	}
	_, from, _ := m.kindsOf(want.want)
	_, reads, _ := m.kindsOf(got.got)
	if len(from) == 1 && len(reads) == 1 {
		target := m.canonOf(want.line)
		source := m.canonOf(got.line)
		if m.names[reads[0].class].family == m.names[target].family || m.names[from[0].class].family == m.names[source].family {
			return "wrong-direction"
		}
	}
	return "wrong-division"
}

func (m *model) canonOf(n note) int32 {
	raw := m.raw(n)
	if raw == equation.Nothing {
		return m.class[m.never]
	}
	return m.canon[m.w.Is(raw)]
}
