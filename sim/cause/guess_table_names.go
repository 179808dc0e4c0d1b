package cause

import (
	"fmt"
	"slices"

	"trundle/sim/wiring"
)

// byOtherNames guesses that a line or a control of a row has another name.
func (t tableSlips) byOtherNames(i int, s wiring.Switch) {
	g := t.g
	set := map[string]bool{} // names of controls, and of lines with a slash before them
	for _, row := range g.r.Switch {
		switch {
		case row.Kind == wiring.Couple:
			set["/"+row.To] = true
		case row.Kind == wiring.Read && row.Line != "":
			set["/"+row.Line] = true
		case row.Kind == wiring.Read:
			set[row.Control[0].Label] = true
		}
	}
	for _, line := range g.lines() {
		if line == s.Line || line == s.To {
			continue
		}
		other := s
		if other.Line = line; s.Line != "" {
			rule := "wrong-keyboard"
			if !set["/"+s.Line] {
				rule = "label-not-read"
			}
			t.keep(rule, i, other, t.named(i, s, s.Line, line))
		}
		other = s
		if other.To = line; s.To != "" {
			t.keep("wrong-division", i, other, t.named(i, s, s.To, line))
		}
	}
	for k, l := range s.Control {
		for _, label := range g.labels {
			if !slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == label }) {
				other := s
				other.Control = slices.Clone(s.Control)
				other.Control[k].Label = label
				rule := "wrong-control"
				if !set[l.Label] || s.Kind == wiring.Read && t.only(i, l.Label) {
					rule = "label-not-read"
				}
				t.keep(rule, i, other, t.named(i, s, l.Label, label))
			}
		}
	}
}

// named says that a row should have another name than it has.
func (t tableSlips) named(i int, s wiring.Switch, is, meant string) string {
	if t.only(i, is) {
		return fmt.Sprintf("%s says %s, which no other row does, where %s is meant", t.row(s), is, meant)
	}
	return fmt.Sprintf("%s says %s where %s is meant", t.row(s), is, meant)
}

// only reports whether a name stands in one row only.
func (t tableSlips) only(i int, name string) bool {
	return !slices.ContainsFunc(slices.Concat(t.g.r.Switch[:i], t.g.r.Switch[i+1:]), func(s wiring.Switch) bool {
		return s.Line == name || s.To == name || slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == name })
	})
}
