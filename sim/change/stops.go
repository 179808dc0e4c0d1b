package change

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"trundle/console"
	"trundle/sim/logic"
)

// controls names every control that one of the instruments lacks, or that
// belongs to something else in each.
func (c *comparison) controls() {
	for _, control := range c.new.Controls {
		if at := c.old.at("control", control.ID); at < 0 || c.old.Controls[at].Kind != control.Kind {
			c.found = append(c.found, Difference{What: Added, Kind: string(control.Kind), ID: control.ID, Name: control.Name})
		}
	}
	for _, control := range c.old.Controls {
		if at := c.new.at("control", control.ID); at < 0 || c.new.Controls[at].Kind != control.Kind {
			c.found = append(c.found, Difference{What: Removed, Kind: string(control.Kind), ID: control.ID, Name: control.Name})
		}
	}
}

// of is the difference of a control, made when there is none yet.
func (c *comparison) of(id string) *Difference {
	at := slices.IndexFunc(c.found, func(d Difference) bool { return d.ID == id && d.Kind != "rank" })
	if at < 0 {
		d := Difference{What: Changed, ID: id}
		if i := c.new.at("control", id); i >= 0 {
			d.Kind, d.Name = string(c.new.Controls[i].Kind), c.new.Controls[i].Name
		}
		c.found = append(c.found, d)
		at = len(c.found) - 1
	}
	return &c.found[at]
}

// stops compares what each stop takes for each note of its line.
func (c *comparison) stops() {
	for _, control := range slices.Concat(c.new.Controls, c.old.Controls) {
		id := control.ID
		before, after := c.old.stop(id), c.new.stop(id)
		if before == nil && after == nil || control.Kind != console.StopControl {
			continue
		}
		if i := slices.IndexFunc(c.found, func(d Difference) bool { return d.ID == id }); i >= 0 && c.found[i].Example != nil {
			continue // seen in the other instrument
		}
		c.stop(id, before, after)
	}
}

// taken is what a stop takes for each note of its division's line.
type taken struct {
	division string
	touch    int
	pipes    map[console.Note][]pipe
}

func (s side) stop(id string) *taken {
	at := s.at("control", id)
	if at < 0 || s.Controls[at].Kind != console.StopControl {
		return nil
	}
	stop := s.Stops[s.Controls[at].Index]
	t := &taken{s.Divisions[stop.Division].ID, stop.Touch, map[console.Note][]pipe{}}
	for _, take := range stop.Takes {
		notes := stop.Notes.Cut(take.Notes).Cut(s.Divisions[stop.Division].Notes)
		for n := notes.From; n <= notes.To; n++ {
			if v := s.Wants(take, n); v != console.None {
				t.pipes[n] = append(t.pipes[n], s.pipes[v])
			}
		}
	}
	return t
}

// stop notes how a stop differs, with the smallest example.
func (c *comparison) stop(id string, before, after *taken) {
	notes := map[console.Note]bool{}
	for _, t := range []*taken{before, after} {
		if t != nil {
			for n := range t.pipes {
				notes[n] = true
			}
		}
	}
	moved := before != nil && after != nil && (before.division != after.division || before.touch != after.touch)
	var best []logic.Node
	var example *Example
	count := 0
	for _, n := range slices.Sorted(maps.Keys(notes)) {
		if !moved && same(before, after, n) {
			continue
		}
		count++
		for _, state := range slices.Concat(c.hearing(id, c.new, after, n), c.hearing(id, c.old, before, n)) {
			if example != nil && c.decider.Compare(state, best) >= 0 {
				continue
			}
			if e := c.example(state); e != nil {
				best, example = state, e
			}
		}
		if example == nil { // hidden where the note comes with others: is it always?
			for _, p := range slices.Concat(before.at(n), after.at(n)) {
				if state, ok := c.differ(c.old.valve(c.never, p), c.new.valve(c.never, p)); ok {
					best, example = state, c.example(state)
				}
			}
		}
	}
	if count == 0 || example == nil {
		return
	}
	d := c.of(id)
	d.Count, d.Example = count, example
	switch {
	case moved && before.division != after.division:
		d.Detail = fmt.Sprintf("now played by %s, before by %s", after.division, before.division)
	case moved:
		d.Detail = "now reads another contact under the keys"
	}
}

// hearing is the smallest state in which a stop of one side, which takes this,
// hears a note; none where there is none.
func (c *comparison) hearing(id string, s side, takes *taken, n console.Note) (states [][]logic.Node) {
	if takes == nil {
		return nil
	}
	line := s.line(c.never, s.at("division", takes.division), max(1, takes.touch), n)
	if state, reached := c.differ(line, c.never); reached {
		states = append(states, c.with(state, id))
	}
	return states
}

func (t *taken) at(n console.Note) []pipe {
	if t == nil {
		return nil
	}
	return t.pipes[n]
}

// same reports whether two stops take the same pipes for a line note.
func same(a, b *taken, n console.Note) bool {
	return len(without(a.at(n), b.at(n)))+len(without(b.at(n), a.at(n))) == 0
}

// with is a state with one more control on.
func (c *comparison) with(state []logic.Node, id string) []logic.Node {
	n := logic.Node(slices.Index(c.names, id))
	at, found := slices.BinarySearchFunc(state, n, func(a, b logic.Node) int { return cmp.Compare(a, b) })
	if found {
		return state
	}
	return slices.Insert(slices.Clone(state), at, n)
}
