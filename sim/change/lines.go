package change

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/logic"
)

// lines compares what every division's stops are played by. Differences are
// told apart by the changed controls that the smallest state of each needs.
func (c *comparison) lines() {
	groups := map[string][]place{}
	var order [][]string
	for _, id := range c.divisions() {
		before, after := c.old.at("division", id), c.new.at("division", id)
		for touch := 1; touch <= 2; touch++ {
			for n := range console.HighestNote + 1 {
				state, differs := c.differ(c.old.line(c.never, before, touch, n), c.new.line(c.never, after, touch, n))
				if !differs {
					continue
				}
				culprits := c.culprits(c.controlsOf(state))
				key := strings.Join(culprits, " ")
				if groups[key] == nil {
					order = append(order, culprits)
				}
				groups[key] = append(groups[key], place{id, touch, n, state})
			}
		}
	}
	slices.SortStableFunc(order, func(a, b []string) int { return len(a) - len(b) })
	for _, ids := range order {
		c.group(ids, groups[strings.Join(ids, " ")])
	}
}

// divisions are those of both sides, each once.
func (c *comparison) divisions() []string {
	var ids []string
	for _, d := range slices.Concat(c.new.Divisions, c.old.Divisions) {
		if !slices.Contains(ids, d.ID) {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

// place is a note of a line and the smallest state in which it differs.
type place struct {
	division string
	touch    int
	note     console.Note
	state    []logic.Node
}

func (c *comparison) controlsOf(state []logic.Node) []string {
	var ids []string
	for _, n := range state {
		if int(n) < c.minor {
			ids = append(ids, c.names[n])
		}
	}
	return ids
}

// group notes the differences that some controls make, with an example in
// which a stop of the division lets it be heard. What several controls make
// together follows from each of them where each is different by itself.
func (c *comparison) group(ids []string, places []place) {
	if len(ids) > 1 && !slices.ContainsFunc(ids, func(id string) bool { return !c.heard(id) }) {
		return
	}
	slices.SortStableFunc(places, func(a, b place) int { return c.decider.Compare(a.state, b.state) })
	var d *Difference
	for _, p := range places {
		e := c.audible(p)
		switch {
		case e == nil:
			continue
		case d != nil && !d.Example.lacks(e):
			continue
		case d != nil:
			d.Also = e
			return
		case len(ids) == 0:
			c.found = append(c.found, c.ofKeys(p, e))
			d = &c.found[len(c.found)-1]
		case len(ids) == 1:
			d = c.of(ids[0])
		default:
			c.found = append(c.found, Difference{What: Changed, Kind: "combination", Name: strings.Join(ids, " with ")})
			d = &c.found[len(c.found)-1]
		}
		if d.Count, d.Example = len(places), e; d.What != Changed || len(e.Before) > 0 && len(e.After) > 0 {
			return
		}
	}
}

// heard reports whether a control has an example already.
func (c *comparison) heard(id string) bool {
	return slices.ContainsFunc(c.found, func(d Difference) bool { return d.ID == id && d.Example != nil })
}

// ofKeys is a difference that no control makes: that of a keyboard with other
// keys, or of the division itself.
func (c *comparison) ofKeys(p place, e *Example) Difference {
	for _, play := range e.Play {
		if keyboard, _, _ := strings.Cut(play, ":"); c.keyboardChanged(keyboard) {
			return Difference{What: Changed, Kind: "keys", ID: keyboard}
		}
	}
	return Difference{What: Changed, Kind: "division", ID: p.division}
}

// audible is the smallest state found in which a stop lets a line's note be
// heard; nil when none does.
func (c *comparison) audible(p place) *Example {
	var hidden []pipe
	for _, s := range []side{c.new, c.old} {
		for _, stop := range s.Stops {
			id := s.Controls[stop.Control].ID
			t := s.stop(id)
			if t.division != p.division || max(1, t.touch) != p.touch || len(t.at(p.note)) == 0 {
				continue
			}
			if e := c.example(c.with(p.state, id)); e != nil {
				return e
			}
			hidden = append(hidden, t.at(p.note)...)
		}
	}
	for _, pipe := range hidden {
		if state, ok := c.differ(c.old.valve(c.never, pipe), c.new.valve(c.never, pipe)); ok {
			return c.example(state)
		}
	}
	return nil
}

// pipes compares the pitch of what stands on the same valves.
func (c *comparison) pipes() {
	for r, rank := range c.new.Ranks {
		before := c.old.at("rank", rank.ID)
		if before < 0 {
			continue
		}
		d := Difference{What: Changed, Kind: "rank", ID: rank.ID, Name: rank.Name}
		for v := 1; v <= rank.Pipes; v++ {
			was := c.old.Ranks[before]
			number := int(rank.Note(v)-was.From) + 1
			if number < 1 || number > was.Pipes {
				continue
			}
			a, b := c.old.Hz(before, number), c.new.Hz(r, v)
			if slices.Equal(hundredths(a), hundredths(b)) && was.Sounds == rank.Sounds {
				continue
			}
			if d.Count++; d.Count == 1 {
				d.Detail = fmt.Sprintf("the pipe of %s (%s:%d) was %s, now %s", rank.Note(v), rank.ID, v, hertz(was.Sounds, a), hertz(rank.Sounds, b))
			}
		}
		if d.Count > 0 {
			c.found = append(c.found, d)
		}
	}
}

// hundredths is frequencies as hundredths of a hertz.
func hundredths(hz []float64) []int {
	var list []int
	for _, f := range hz {
		list = append(list, int(100*f+0.5))
	}
	return list
}

func hertz(what string, hz []float64) string {
	var words []string
	for _, f := range hz {
		words = append(words, fmt.Sprintf("%.2f", f))
	}
	return strings.TrimSpace(what + " " + strings.Join(words, " + ") + " Hz")
}

// wind compares which ranks each ventil works.
func (c *comparison) wind() {
	works := func(s side, id string) string {
		at := s.at("control", id)
		if at < 0 || s.Controls[at].Kind != console.VentilControl {
			return ""
		}
		v := s.Ventils[s.Controls[at].Index]
		text := "admits"
		list := v.Admits
		if len(v.Cuts) > 0 {
			text, list = "cuts", v.Cuts
		}
		var ids []string
		for _, r := range list {
			ids = append(ids, s.Ranks[r].ID)
		}
		slices.Sort(ids)
		return text + " " + strings.Join(ids, ", ")
	}
	seen := map[string]bool{}
	for _, control := range slices.Concat(c.new.Controls, c.old.Controls) {
		before, after := works(c.old, control.ID), works(c.new, control.ID)
		if before == after || seen[control.ID] {
			continue
		}
		seen[control.ID] = true
		d := c.of(control.ID)
		switch {
		case before == "":
			d.Detail = after
		case after == "":
			d.Detail = before
		default:
			d.Detail = "now " + after + ", before " + before
		}
	}
}
