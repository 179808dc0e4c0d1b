package cause

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// stretch is places of the wiring or of a join whose pins may be mixed up
// among themselves, as they lie side by side.
type stretch []element

// atWiring guesses that what hangs on the pins of a stretch is mixed up, or
// exchanged with that of another one.
func (g *guesser) atWiring() {
	wrong := g.wrongItems()
	rows := g.r.Soldered()
	item := func(e element) wiring.Item { return rows[e.row].Items[e.at] }
	goesWrong := func(s stretch) bool {
		return slices.ContainsFunc(s, func(e element) bool { return item(e).Given() || wrong[item(e)] })
	}
	g.boards(wrong)
	g.items(wiring.KeyKind, "keyboards-swapped", wrong)
	g.items(wiring.ValveKind, "ranks-swapped", wrong)
	for _, s := range g.stretches() {
		if !goesWrong(s) {
			continue
		}
		for _, m := range mixes(len(s)) {
			if g.in.Valves > large && item(s[0]).Given() && m.rule == "wires-off" && m.to[0]%25 > 1 {
				continue // contacts take long to try: only cables of 25 pairs are thought of
			}
			g.mixed(m, s)
		}
		g.swapped(s, func(e element) bool { return wrong[item(e)] })
	}
	var whole []stretch
	for i, row := range rows {
		if len(row.Items) > 1 && len(row.Items) == len(row.Pins) && counts(g.in, row.Items[0]) {
			s := make(stretch, len(row.Pins))
			for at := range s {
				s[at] = element{i, at}
			}
			if goesWrong(s) {
				whole = append(whole, s)
			}
		}
	}
	for i, a := range whole {
		for _, b := range whole[:i] {
			if len(a) == len(b) && item(a[0]).Kind == item(b[0]).Kind {
				g.exchanged("plugs-swapped", a, b)
			}
		}
	}
	for i, j := range g.r.Joins {
		if g.planned == nil && g.touches(j.From, wrong) {
			g.joined(i, j)
			g.shiftedJoin(i, j)
		}
	}
	if g.planned == nil {
		g.shifted()
	}
}

// stretches are the places of the wiring by what hangs there, in the order of
// their pins: the keys of a keyboard, the notes of a chest, the valves of a
// rank, the controls or actions of a board.
func (g *guesser) stretches() []stretch {
	by := map[string]stretch{}
	var order []string
	rows := g.r.Soldered()
	for i, row := range rows {
		for at := range min(len(row.Pins), len(row.Items)) {
			item := row.Items[at]
			if !counts(g.in, item) {
				continue
			}
			key := fmt.Sprint(item.Kind, item.Index, item.Of)
			if item.Note == 0 {
				key = fmt.Sprint(item.Kind, row.Pins[at].On)
			}
			if by[key] == nil {
				order = append(order, key)
			}
			by[key] = append(by[key], element{i, at})
		}
	}
	var all []stretch
	for _, key := range order {
		s := by[key]
		slices.SortStableFunc(s, func(a, b element) int { return compareTerminals(rows[a.row].Pins[a.at], rows[b.row].Pins[b.at]) })
		all = append(all, s)
	}
	return all
}

// wrongItems are the things of which a valve depends that is wrong.
func (g *guesser) wrongItems() map[wiring.Item]bool {
	wrong := map[wiring.Item]bool{}
	if g.planned != nil {
		for i, row := range g.r.Soldered() {
			for at := range min(len(row.Pins), len(row.Items)) {
				if h := g.w.hangs[g.w.first[i]+at]; h.thing >= 0 && !g.planned[h] {
					wrong[row.Items[at]] = true
				}
			}
		}
		return wrong
	}
	for i, rank := range g.in.Ranks {
		for _, s := range rank.Stands {
			chest := g.in.Chests[s.Chest]
			for v := s.From; v <= s.To; v++ {
				if g.now.wrong[rank.Valve(v)] == 0 {
					continue
				}
				wrong[wiring.Item{Kind: wiring.ValveKind, Index: i, Of: console.None, Note: v}] = true
				for _, d := range chest.Plays {
					of := wiring.ActionOf(g.in, i, d)
					for _, kind := range []wiring.Kind{wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind} {
						wrong[wiring.Item{Kind: kind, Index: i, Of: of}] = true
					}
					wrong[wiring.Item{Kind: wiring.NoteKind, Index: s.Chest, Of: wiring.NoteOf(chest, d), Note: int(rank.Note(v))}] = true
				}
			}
		}
	}
	return wrong
}

// mixed guesses that what belongs at the place i of a stretch hangs at to[i].
func (g *guesser) mixed(m mix, s stretch) {
	var from, onto []element
	for i, t := range m.to {
		if i != t {
			from, onto = append(from, s[t]), append(onto, s[i])
		}
	}
	g.rehung(m.rule, from, onto)
}

// swapped guesses that two things of a stretch are exchanged, where only a few
// of it are wrong.
func (g *guesser) swapped(s stretch, wrong func(element) bool) {
	const some = 8
	s = slices.DeleteFunc(slices.Clone(s), func(e element) bool { return !wrong(e) })
	if len(s) > some {
		return
	}
	for i, a := range s {
		for _, b := range s[:i] {
			g.exchanged("pins-swapped", stretch{a}, stretch{b})
		}
	}
}

// exchanged guesses that what hangs in two stretches of one length is exchanged.
func (g *guesser) exchanged(rule string, a, b stretch) {
	g.rehung(rule, slices.Concat(a, b), slices.Concat(b, a))
}

// rehung guesses that what hangs at each place of from belongs onto the pin of
// another.
func (g *guesser) rehung(rule string, from, onto []element) {
	if len(from) == 0 {
		return
	}
	place := func(e element) int { return g.w.first[e.row] + e.at }
	nets := map[int]int{}
	for k, e := range from {
		nets[place(e)] = g.w.hangs[place(onto[k])].net
	}
	o := g.hanging(nets)
	if !o.helps() {
		return
	}
	rows := g.r.Soldered()
	c := newChange()
	for k, e := range from {
		c.unhang[e] = true
		row := partOfRow(rows[e.row], []int{e.at})
		row.Pins = []wiring.Terminal{rows[onto[k].row].Pins[onto[k].at]}
		c.hang = append(c.hang, row)
	}
	c.hang = hangInRuns(c.hang)
	g.keep(guess{rule: rule, cure: c, row: -1, size: len(from)}, o)
}

// items guesses that two keyboards or two ranks are exchanged, as far as both
// reach.
func (g *guesser) items(kind wiring.Kind, rule string, wrong map[wiring.Item]bool) {
	var found []int
	at := map[wiring.Item]element{}
	for i, row := range g.r.Soldered() {
		for k := range min(len(row.Pins), len(row.Items)) {
			item := row.Items[k]
			if item.Kind != kind {
				continue
			}
			if !slices.Contains(found, item.Index) && (item.Given() || wrong[item]) {
				found = append(found, item.Index)
			}
			at[item] = element{i, k}
		}
	}
	for i, a := range found {
		for _, b := range found[:i] {
			var from, onto []element
			for item, e := range at {
				if item.Index != a {
					continue
				}
				item.Index = b
				if o, both := at[item]; both {
					from, onto = append(from, e, o), append(onto, o, e)
				}
			}
			g.rehung(rule, from, onto)
		}
	}
}

// touches reports whether something wrong, or a contact, hangs on a pin.
func (g *guesser) touches(pins []wiring.Terminal, wrong map[wiring.Item]bool) bool {
	rows := g.r.Soldered()
	return slices.ContainsFunc(pins, func(t wiring.Terminal) bool {
		net := g.w.nets.Of(t)
		return net >= 0 && slices.ContainsFunc(g.w.nets.Hung(net), func(h wiring.Hung) bool {
			item := rows[h.Row].Items[h.At]
			return item.Given() || wrong[item]
		})
	})
}
