package mapping

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/yamldoc"
)

// switches is what a heading may speak of, by id, by run or by group.
type switches struct {
	kind   Kind
	noun   string
	ids    []string
	groups []string               // in the plural
	in     func(int, string) bool // whether one is of a group
	of     func(int, int) bool    // whether one is of a division
	lets   func(int) bool         // whether it does something when it is let go of
}

func controlsOf(in *console.Instrument) switches {
	s := switches{kind: Control, noun: "control"}
	for _, kind := range []console.ControlKind{console.StopControl, console.CouplerControl, console.UnisonOffControl, console.VentilControl, console.TremulantControl,
		console.TransferControl, console.DivideControl, console.SostenutoControl, console.GatheringControl, console.FollowControl} {
		s.groups = append(s.groups, plural(string(kind)))
	}
	s.groups = append(s.groups, "all")
	for _, c := range in.Controls {
		s.ids = append(s.ids, c.ID)
	}
	s.in = func(i int, group string) bool { return group == "all" || plural(string(in.Controls[i].Kind)) == group }
	s.of = func(i, division int) bool {
		switch c := in.Controls[i]; c.Kind {
		case console.StopControl:
			return in.Stops[c.Index].Division == division
		case console.CouplerControl:
			return in.Couplers[c.Index].Division == division
		case console.UnisonOffControl:
			return in.UnisonOffs[c.Index].Division == division
		case console.TremulantControl:
			return slices.Contains(in.Tremulants[c.Index].Divisions, division)
		}
		return false
	}
	s.lets = func(int) bool { return false }
	return s
}

func buttonsOf(in *console.Instrument) switches {
	s := switches{kind: Button, noun: "button", groups: []string{"toe studs"}}
	for _, kind := range []console.ButtonKind{console.General, console.Divisional, console.Cancel, console.Reversible} {
		s.groups = append(s.groups, plural(string(kind)))
	}
	s.groups = append(s.groups, "all")
	list := buttons(in)
	for _, b := range list {
		s.ids = append(s.ids, b.ID)
	}
	s.in = func(i int, group string) bool {
		return group == "all" || group == "toe studs" && list[i].Toe || plural(string(list[i].Kind)) == group
	}
	s.of = func(i, division int) bool { return list[i].Division == division }
	s.lets = func(i int) bool { return list[i].Kind == console.Set }
	return s
}

// plural is a kind as a group names it: unison offs.
func plural(kind string) string { return strings.ReplaceAll(kind, "-", " ") + "s" }

// choose is what a name of a heading means, in the order of the file.
func (l *loader) choose(name *yamldoc.Node, s switches) (list []int, byID bool) {
	if i := slices.Index(s.ids, name.Text); i >= 0 {
		return []int{i}, true
	}
	if first, last, isRun := strings.Cut(name.Text, ".."); isRun {
		return l.between(name, s, strings.TrimSpace(first), strings.TrimSpace(last)), false
	}
	_, division, _ := strings.Cut(name.Text, " of ")
	list, wrong := s.group(l.in, name.Text)
	switch {
	case wrong == "division":
		at := &yamldoc.Node{Text: division, Line: name.Line, Column: name.Column}
		l.find(at, "division", len(l.in.Divisions), func(i int) string { return l.in.Divisions[i].ID })
	case wrong != "":
		l.Unknown(name, s.noun+" or group", name.Text, append(slices.Clone(s.ids), s.groups...))
	case list == nil:
		l.Wrong(name, "take it away", "the instrument has no %s", name.Text)
	}
	return list, false
}

// group is who is of a group, all of them or those of a division: stops,
// stops of great; or what of the name is wrong, its group or its division.
func (s switches) group(in *console.Instrument, name string) (list []int, wrong string) {
	group, id, divided := strings.Cut(name, " of ")
	division := slices.IndexFunc(in.Divisions, func(d console.Division) bool { return d.ID == id })
	switch {
	case !slices.Contains(s.groups, group):
		return nil, "group"
	case divided && division < 0:
		return nil, "division"
	}
	for i := range s.ids {
		if s.in(i, group) && (!divided || s.of(i, division)) {
			list = append(list, i)
		}
	}
	return list, ""
}

// between is a run from one id to another, in the order of the instrument's file.
func (l *loader) between(name *yamldoc.Node, s switches, first, last string) []int {
	from, to := slices.Index(s.ids, first), slices.Index(s.ids, last)
	for _, end := range []struct {
		id string
		at int
	}{{first, from}, {last, to}} {
		if end.at < 0 {
			l.Unknown(name, s.noun, end.id, s.ids)
			return nil
		}
	}
	if to < from {
		l.Wrong(name, fmt.Sprintf("write %s..%s", last, first), "%s runs backwards", name.Text)
		return nil
	}
	var list []int
	for i := from; i <= to; i++ {
		list = append(list, i)
	}
	return list
}

// switches reads controls or buttons. What has a line of its own keeps its
// place in the count of a run that it is also of.
func (l *loader) switches(pairs []yamldoc.Pair, s switches) {
	ruled := map[int]*yamldoc.Node{}
	own := map[int]bool{}
	for _, p := range pairs {
		if i := slices.Index(s.ids, p.Key.Text); i >= 0 {
			own[i] = true
		}
	}
	for _, p := range pairs {
		list, byID := l.choose(p.Key, s)
		forms := l.forms(p.Value, s)
		for n, i := range list {
			if !byID {
				if before := ruled[i]; before != nil {
					l.Wrong(p.Key, "let one of them leave it out", "%s has its message from %s already, line %d", s.ids[i], before.Text, before.Line)
					break
				}
				ruled[i] = p.Key
				if own[i] {
					continue
				}
			}
			made, err := forms.nth(n)
			if err != nil {
				l.Wrong(p.Value, "", "%s: %s", s.ids[i], err)
				break
			}
			if s.lets(i) && made[ToOrgan] != nil && made[ToOrgan].manner == strike {
				l.Wrong(p.Value, "give it `on` and `off`, or a note", "%s is held while another button is pressed, and %s says nothing of letting go", s.ids[i], made[ToOrgan].on)
				break
			}
			l.add(Entry{Thing: Thing{Kind: s.kind, Index: i}, At: l.place(p.Key), forms: made})
		}
	}
}
