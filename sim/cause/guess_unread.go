package cause

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"trundle/sim/wiring"
)

// unread guesses that the table knows nothing of something that is wired: of a
// control or a keyboard that no row reads, with the rows that wait for it. The
// sets are a guess for each control, and one for all there is.
func (g *guesser) unread() (sets [][]guess) {
	read := map[wiring.Terminal]bool{}
	for _, s := range g.r.Switch {
		for _, t := range s.Pins {
			read[t] = read[t] || s.Kind == wiring.Read
		}
	}
	table := wiring.Derive(g.r, g.in)
	fresh := map[string]bool{} // labels that are read nowhere, and lines with a slash before them
	var controls []string
	for _, s := range table {
		if s.Kind != wiring.Read || slices.ContainsFunc(s.Pins, func(t wiring.Terminal) bool { return read[t] }) {
			continue
		}
		if fresh["/"+s.Line] = true; s.Line == "" {
			controls = append(controls, s.Control[0].Label)
			fresh[s.Control[0].Label] = true
		}
	}
	delete(fresh, "/")
	if len(fresh) == 0 {
		return nil
	}
	table = g.inOwnWords(table, fresh)
	about := func(s wiring.Switch, some map[string]bool) bool {
		return some["/"+s.Line] || some["/"+s.To] || slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return some[l.Label] })
	}
	all, _ := g.addedRows(table, fresh, func(s wiring.Switch) bool { return about(s, fresh) })
	for _, label := range controls {
		alone := map[string]bool{label: true}
		others := map[string]bool{}
		for name := range fresh {
			others[name] = name != label
		}
		if x, ok := g.addedRows(table, alone, func(s wiring.Switch) bool { return about(s, alone) && !about(s, others) }); ok {
			g.keep(x, g.changed(x.cure))
			if len(sets) == 0 {
				sets = [][]guess{nil}
			}
			sets[0] = append(sets[0], x)
		}
	}
	return append(sets, []guess{all})
}

// inOwnWords are rows of a derived table between the relay's own lines, under
// its own labels. A line that the relay has nothing like is fresh.
func (g *guesser) inOwnWords(table []wiring.Switch, fresh map[string]bool) (rows []wiring.Switch) {
	names := map[string]int{}
	list := steps(table, g.w.nets, names)
	t := g.trial.anywhere()
	should, is := t.run(g.w, len(names), list), t.run(g.w, len(g.names), g.rows)
	own := map[string]string{"": ""}
	for name, n := range names {
		least := 0
		for _, on := range should.lines[n] {
			least += bits.OnesCount64(on)
		}
		own[name] = name
		for _, line := range g.lines() {
			apart := 0
			for note, on := range is.lines[g.names[line]] {
				apart += bits.OnesCount64(on ^ should.lines[n][note])
			}
			if apart < least || apart == least && line == name {
				own[name], least = line, apart
			}
		}
		if _, known := g.names[own[name]]; !known {
			fresh["/"+name] = true
		}
	}
	labels := g.labelsOf()
	for _, s := range table {
		s.Line, s.To, s.Control = own[s.Line], own[s.To], slices.Clone(s.Control)
		for k, l := range s.Control {
			if label, known := labels[l.Label]; known {
				s.Control[k].Label = label
			}
		}
		rows = append(rows, s)
	}
	return rows
}

// addedRows guesses that those rows of a table are missing that wait for some
// labels and lines; one that a label silences stands there without it.
func (g *guesser) addedRows(table []wiring.Switch, labels map[string]bool, wanted func(wiring.Switch) bool) (x guess, ok bool) {
	x = guess{rule: "row-missing", cure: newChange(), row: -1}
	present := map[string]int{}
	for i, s := range g.r.Switch {
		present[wholeKey(s)] = i + 1
	}
	for _, s := range table {
		if !wanted(s) || present[wholeKey(s)] > 0 {
			continue
		}
		without := s
		without.Control = slices.DeleteFunc(slices.Clone(s.Control), func(l wiring.Literal) bool { return l.Not && labels[l.Label] })
		if i := present[wholeKey(without)]; i > 0 {
			x.cure = x.cure.and(replaced(i-1, g.r.Switch[i-1]))
		}
		x.cure.switches = append(x.cure.switches, s)
		x.size += 3
	}
	x.says = g.unreadSaid(x.cure.switches)
	return x, x.size > 0
}

// wholeKey is the same for rows that do the same.
func wholeKey(s wiring.Switch) string { return fmt.Sprint(rowKey(s), s.Notes, s.Pins, s.ToNotes) }

// unreadSaid says what no row reads, and drives, of what rows would.
func (g *guesser) unreadSaid(rows []wiring.Switch) string {
	driven := map[int]bool{}
	for _, s := range g.rows {
		for _, net := range s.nets {
			driven[net] = driven[net] || s.kind == wiring.Drive
		}
	}
	var reads, drives []string
	for _, s := range rows {
		if s.Kind == wiring.Couple || s.Kind == wiring.Drive && driven[g.w.nets.DrivenBy(s.Pins[0])] {
			continue
		}
		var items []wiring.Item
		for _, t := range s.Pins {
			if hung := g.w.nets.Hung(g.w.nets.Of(t)); len(hung) > 0 {
				items = append(items, g.w.nets.Item(hung[0]))
			}
		}
		if len(items) == 0 {
			continue
		}
		words := fmt.Sprintf("%s (%s)", pinWords(g.r, s.Pins), wiring.Describe(g.in, items))
		if s.Kind == wiring.Read {
			reads = append(reads, words)
		} else {
			drives = append(drives, words)
		}
	}
	says := "the table has no row that reads " + listed(reads)
	if len(drives) > 0 {
		says += ", and none that drives " + listed(drives)
	}
	return says
}

// listed is a few words, and how many more there are.
func listed(words []string) string {
	const few = 3
	if len(words) <= few {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(words[:few], ", "), len(words)-few)
}
