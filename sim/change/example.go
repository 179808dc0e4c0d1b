package change

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/plain"
	"trundle/sim/logic"
)

// example resolves a state in both instruments by the definition of what
// sounds; nil when the same pipes sound in both.
func (c *comparison) example(state []logic.Node) *Example {
	var names []string
	for _, n := range state {
		names = append(names, c.names[n])
	}
	before, after := c.old.sounds(names), c.new.sounds(names)
	e := &Example{Draw: []string{}, Play: plays(names), Before: without(before, after), After: without(after, before)}
	if len(e.Before)+len(e.After) == 0 {
		return nil
	}
	for _, name := range names {
		if !isKey(name) {
			e.Draw = append(e.Draw, name)
		}
	}
	return e
}

// pipe is a pipe of either instrument, with its name in one of them.
type pipe struct {
	rank string
	note console.Note
	name string
}

// without is the names of the pipes of a list that stand in no other.
func without(list, other []pipe) []string {
	names := []string{}
	for _, p := range list {
		if !slices.ContainsFunc(other, func(q pipe) bool { return q.rank == p.rank && q.note == p.note }) {
			names = append(names, p.name)
		}
	}
	return names
}

// sounds is the pipes of a state, so far as the instrument has its keys and
// controls.
func (s side) sounds(names []string) []pipe {
	state := console.State{Drawn: make([]bool, len(s.Controls))}
	for _, name := range names {
		if c := s.at("control", name); c >= 0 {
			state.Drawn[c] = true
		}
		if held, exists := s.key(name); exists {
			state.Held = append(state.Held, held)
		}
	}
	var pipes []pipe
	for v, open := range plain.Open(s.Instrument, state) {
		if open {
			pipes = append(pipes, s.pipes[v])
		}
	}
	return pipes
}

// key is a key as a side has it.
func (s side) key(name string) (held console.Held, exists bool) {
	if !isKey(name) {
		return held, false
	}
	keyboard, note, _ := strings.Cut(name, ":")
	note, pressed := strings.CutSuffix(note, deep)
	n, err := console.ParseNote(note)
	k := s.at("keyboard", keyboard)
	if err != nil || k < 0 || !s.Keyboards[k].Keys.Has(n) {
		return held, false
	}
	return console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: pressed && s.Keyboards[k].Touches == 2}, true
}

// pipesOf is what stands on each valve.
func pipesOf(in *console.Instrument) []pipe {
	pipes := make([]pipe, in.Valves)
	for _, rank := range in.Ranks {
		for number := 1; number <= rank.Pipes; number++ {
			pipes[rank.Valve(number)] = pipe{rank.ID, rank.Note(number), fmt.Sprintf("%s:%d", rank.ID, number)}
		}
	}
	return pipes
}

// valve is the node of a pipe, never where a side has no such pipe.
func (s side) valve(never logic.Node, p pipe) logic.Node {
	r := s.at("rank", p.rank)
	if r < 0 {
		return never
	}
	number := int(p.note-s.Ranks[r].From) + 1
	if number < 1 || number > s.Ranks[r].Pipes {
		return never
	}
	return s.valves[s.Ranks[r].Valve(number)]
}

// plays is the keys among names as --play takes them, a keyboard each.
func plays(names []string) []string {
	list := []string{}
	for _, name := range names {
		if !isKey(name) {
			continue
		}
		keyboard, key, _ := strings.Cut(name, ":")
		at := slices.IndexFunc(list, func(p string) bool { return strings.HasPrefix(p, keyboard+":") })
		if at < 0 {
			list = append(list, name)
		} else {
			list[at] += "," + key
		}
	}
	return list
}
