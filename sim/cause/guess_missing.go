package cause

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math/bits"
	"math/rand/v2"
	"slices"

	"trundle/sim/wiring"
)

// wanted are the couple and drive rows that would be there had the table been derived,
// put into the relay's own words. A line is told by what is on it: lines of
// two tables that have the same notes on in the same states are the same, and
// those that are most alike may be.
type wanted struct {
	rows   []wiring.Switch
	proper map[string]bool // places of rows between the lines that are most alike
}

func (g *guesser) wanted() wanted {
	table := wiring.Derive(g.r, g.in)
	names := map[string]int{}
	rows := steps(table, g.w.nets, names)
	t := g.trial.anywhere()
	should, is := t.run(g.w, len(names), rows), t.run(g.w, len(g.names), g.rows)
	twins := map[string][]string{}
	for name, n := range names {
		twins[name] = g.twins(&should.lines[n], is.lines)
	}
	labels := g.labelsOf()
	w := wanted{proper: map[string]bool{}}
	for _, s := range table {
		control, known := translated(s.Control, labels)
		switch {
		case !known || s.Kind == wiring.Read:
			continue
		case s.Kind == wiring.Drive && s.Line == "":
			s.Control = control
			w.rows = append(w.rows, s)
			continue
		case s.Kind == wiring.Drive:
			for _, line := range twins[s.Line] {
				row := s
				row.Control, row.Line = control, line
				w.rows = append(w.rows, row)
			}
			continue
		}
		for i, from := range twins[s.Line] {
			for j, to := range twins[s.To] {
				row := s
				row.Control, row.Line, row.To = control, from, to
				if from != to && i+j < 3 {
					w.rows = append(w.rows, row)
				}
				for at := 0; i+j == 0 && at < row.Len(); at++ {
					w.proper[placeKey(row, at)] = true
				}
			}
		}
	}
	return w
}

// isProper reports whether a row says no more than rows that are wanted.
func (w wanted) isProper(s wiring.Switch) bool {
	return s.Kind == wiring.Couple && !slices.ContainsFunc(places(s.Len()), func(at int) bool { return !w.proper[placeKey(s, at)] })
}

// missing guesses that a row is missing, or some places of one.
func (g *guesser) missing() {
	present, kin := map[string]bool{}, map[string]bool{}
	for _, s := range g.r.Switch {
		key := rowKey(s)
		for at := range s.Len() {
			if s.Kind != wiring.Read {
				present[placeOf(key, s, at)] = true
			}
		}
		kin[key] = true
	}
	seen := map[string]bool{}
	for _, full := range g.want.rows {
		name := rowKey(full)
		row := partOfSwitch(full, slices.DeleteFunc(places(full.Len()), func(at int) bool { return present[placeOf(name, full, at)] }))
		key := fmt.Sprint(row)
		if row.Len() == 0 || seen[key] {
			continue
		}
		seen[key] = true
		rule := g.missingRule(row)
		if row.Kind == wiring.Drive && row.Len() < full.Len() && kin[rowKey(row)] {
			if rule = "group-open"; row.Len() == 1 {
				rule = "pin-open"
			}
		}
		c := newChange()
		c.switches = []wiring.Switch{row}
		g.keep(guess{rule: rule, cure: c, row: -1, size: 2}, g.added(row))
	}
}

// rowKey is the same for rows that differ in their places only.
func rowKey(s wiring.Switch) string {
	return fmt.Sprint(s.Kind, s.Line, sortedControl(s), s.To, s.Picks)
}

func sortedControl(s wiring.Switch) []wiring.Literal {
	control := slices.Clone(s.Control)
	slices.SortFunc(control, func(a, b wiring.Literal) int { return cmp.Compare(a.Label, b.Label) })
	return control
}

func places(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

func placeOf(row string, s wiring.Switch, at int) string {
	key := []byte(row)
	if s.Line != "" {
		key = append(key, byte(s.Notes[at]))
	}
	if s.Kind == wiring.Couple {
		return string(append(key, byte(s.ToNotes[at])))
	}
	key = binary.AppendVarint(key, int64(s.Pins[at].On))
	return string(binary.AppendVarint(key, int64(s.Pins[at].Pin)))
}

// placeKey is the same for places of rows that do the same.
func placeKey(s wiring.Switch, at int) string {
	return placeOf(rowKey(s), s, at)
}

// anywhere is a trial in states chosen blindly, to tell lines apart by.
func (t *trial) anywhere() *trial {
	r := rand.New(rand.NewPCG(2, 2))
	other := &trial{in: t.in, v: t.v, vars: make([]word, len(t.vars)), want: t.want}
	for n := range other.vars {
		other.vars[n] = r.Uint64() & r.Uint64()
		if n >= len(t.in.Controls) {
			other.vars[n] &= r.Uint64() & r.Uint64()
		}
	}
	other.things = other.thingsOf()
	return other
}

// twins are the relay's lines that are most like a line.
func (g *guesser) twins(line *notes, lines []notes) []string {
	type twin struct {
		name  string
		apart int
	}
	var list []twin
	for name, n := range g.names {
		t := twin{name: name}
		for note, on := range lines[n] {
			t.apart += bits.OnesCount64(on ^ line[note])
		}
		list = append(list, t)
	}
	slices.SortFunc(list, func(a, b twin) int { return cmp.Or(a.apart-b.apart, cmp.Compare(a.name, b.name)) })
	const some = 3
	var names []string
	for _, t := range list[:min(some, len(list))] {
		names = append(names, t.name)
	}
	return names
}

// labelsOf are the labels read from each control, by its id, which is how a
// derived table calls it.
func (g *guesser) labelsOf() map[string]string {
	labels := map[string]string{}
	rows := g.r.Soldered()
	for _, s := range g.r.Switch {
		if s.Kind != wiring.Read || s.Line != "" {
			continue
		}
		for _, t := range s.Pins {
			net := g.w.nets.Of(t)
			if net < 0 {
				continue
			}
			for _, h := range g.w.nets.Hung(net) {
				if item := rows[h.Row].Items[h.At]; item.Kind == wiring.ControlKind {
					labels[g.in.Controls[item.Index].ID] = s.Control[0].Label
				}
			}
		}
	}
	return labels
}

func translated(control []wiring.Literal, labels map[string]string) (list []wiring.Literal, known bool) {
	for _, l := range control {
		label, known := labels[l.Label]
		if !known {
			return nil, false
		}
		list = append(list, wiring.Literal{Label: label, Not: l.Not})
	}
	return list, true
}

// missingRule names a row that is missing: one that leads, under a control, to
// a line that drives nothing and has other notes too, says what a coupler
// carries on.
func (g *guesser) missingRule(row wiring.Switch) string {
	if row.Kind != wiring.Couple {
		return "row-missing"
	}
	others := false
	for _, s := range g.r.Switch {
		if s.Kind == wiring.Drive && s.Line == row.To {
			return "row-missing"
		}
		others = others || s.To == row.To && s.Line != row.Line || s.Kind == wiring.Read && s.Line == row.To
	}
	if others && len(row.Control) > 0 {
		return "wrong-carries"
	}
	return "row-missing"
}
