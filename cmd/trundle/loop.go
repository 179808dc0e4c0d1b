package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio/mapping"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// likeLoop is how --loop is written.
const likeLoop = "write it like X6:K3, or X6.1..44:K3.1..44"

// loopEnd is one end of a plug: pins of a board, or the wires of a cable.
type loopEnd struct {
	name  string
	far   bool
	whole bool // no numbers were given
	pins  []loopPin
	fix   string // what to do about one that is none
}

// loopPin is a pin, or a wire and the pin that it comes from, and what the plan
// has there.
type loopPin struct {
	number int
	pin    wiring.Terminal
	item   wiring.Item
}

// loopOf reads the pairs of --loop.
func loopOf(in *console.Instrument, r *wiring.Relay, pairs []string) (probe.Loop, error) {
	var loop probe.Loop
	outputs, keys := map[wiring.Terminal]bool{}, map[console.Key]bool{}
	for _, pair := range pairs {
		refused := func(problem, fix string) (probe.Loop, error) {
			return nil, complaint{"--loop " + pair + ": " + problem, fix}
		}
		from, to, both := strings.Cut(pair, ":")
		if !both {
			return refused("no key inputs are named", likeLoop)
		}
		out, err := loopEndOf(r, from, true)
		if err != nil {
			return refused(err.Error(), out.fix)
		}
		inputs, err := loopEndOf(r, to, false)
		if err != nil {
			return refused(err.Error(), inputs.fix)
		}
		if !out.whole && !inputs.whole && len(out.pins) != len(inputs.pins) {
			return refused(fmt.Sprintf("%s are %d and %s are %d", from, len(out.pins), to, len(inputs.pins)), "name as many of each")
		}
		for i, p := range out.pins {
			at := i
			if out.whole || inputs.whole { // pin for pin
				at = slices.IndexFunc(inputs.pins, func(q loopPin) bool { return q.number == p.number })
			}
			if at < 0 {
				continue
			}
			q := inputs.pins[at]
			l := probe.Looped{Output: p.pin, Input: q.pin, Hangs: p.item, Contact: q.item, FarOutput: out.far, FarInput: inputs.far,
				Key: console.Key{Keyboard: q.item.Index, Note: console.Note(q.item.Note)}}
			switch {
			case outputs[l.Output]:
				return refused(r.Name(l.Output)+" is looped twice", "name each output once")
			case keys[l.Key]:
				return refused("two outputs would lead to "+mapping.Thing{Kind: mapping.Key, Index: l.Key.Keyboard, Note: l.Key.Note}.Name(in), "the relay could not tell them apart; name each key once")
			}
			outputs[l.Output], keys[l.Key] = true, true
			loop = append(loop, l)
		}
		if len(out.pins) == 0 || len(inputs.pins) == 0 || !slices.ContainsFunc(loop, func(l probe.Looped) bool { return l.Output.On == out.pins[0].pin.On }) {
			return refused("no output that opens valves meets a key", likeLoop)
		}
	}
	return loop, nil
}

// loopEndOf reads one end: X6, X6.1..44, or CX6 for the far end of a cable.
func loopEndOf(r *wiring.Relay, text string, output bool) (loopEnd, error) {
	name, numbers, given := strings.Cut(strings.TrimSpace(text), ".")
	e := loopEnd{name: name, whole: !given, fix: likeLoop}
	all, err := e.find(r, output)
	if err != nil {
		return e, err
	}
	all = slices.DeleteFunc(all, func(p loopPin) bool { return !fits(p.item, output) })
	if e.far {
		pins := wiring.PinsOf(r, r.Plan)
		for _, p := range all {
			if len(pins[p.item]) > 1 {
				return e, fmt.Errorf("what wire %d of %s leads to hangs on other pins too; name a board", p.number, name)
			}
		}
	}
	if e.whole {
		e.pins = all
		return e, nil
	}
	list, err := console.ParseNumbers(strings.ReplaceAll(numbers, ",", " "))
	if err != nil {
		return e, err
	}
	for _, n := range list {
		at := slices.IndexFunc(all, func(p loopPin) bool { return p.number == n })
		what := "output that opens valves"
		if !output {
			what = "key"
		}
		if at < 0 {
			return e, fmt.Errorf("by the plan there is no %s on %s.%d", what, name, n)
		}
		e.pins = append(e.pins, all[at])
	}
	return e, nil
}

// find lists what the plan has on a board or at the far end of a cable.
func (e *loopEnd) find(r *wiring.Relay, output bool) (all []loopPin, err error) {
	board := slices.IndexFunc(r.Boards, func(b wiring.Board) bool { return b.ID == e.name })
	direction := map[bool]wiring.Direction{true: wiring.Output, false: wiring.Input}[output]
	switch {
	case board < 0:
		e.far = true
	case r.Boards[board].Direction != direction:
		return nil, fmt.Errorf("%s is an %s board, not an %s board", e.name, r.Boards[board].Direction, direction)
	case !output && r.Boards[board].Node != nil && r.Boards[board].Node.Get("scan") != nil:
		return nil, fmt.Errorf("the keys of %s are scanned in rows and columns, which an output cannot work", e.name)
	}
	names := []string{}
	for _, b := range r.Boards {
		if b.Direction == direction {
			names = append(names, b.ID)
		}
	}
	for _, row := range r.Plan {
		names = append(names, row.Cable)
		for at := range min(len(row.Pins), len(row.Items)) {
			p := loopPin{row.Pins[at].Pin, row.Pins[at], row.Items[at]}
			switch {
			case e.far && row.Cable == e.name && at < len(row.Wires):
				p.number = row.Wires[at]
			case !e.far && p.pin.On == board:
			default:
				continue
			}
			all = append(all, p)
		}
	}
	if len(all) > 0 {
		slices.SortStableFunc(all, func(a, b loopPin) int { return a.number - b.number })
		return all, nil
	}
	if e.far {
		e.fix = cmp.Or(finding.DidYouMean(e.name, names), likeLoop)
		return nil, fmt.Errorf("no board and no cable with wires %s", e.name)
	}
	return nil, fmt.Errorf("by the plan nothing hangs on %s", e.name)
}

// fits reports whether an item is what an end of a plug may be put in for.
func fits(item wiring.Item, output bool) bool {
	switch item.Kind {
	case wiring.ValveKind, wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind:
		return output
	case wiring.KeyKind:
		return !output
	}
	return false
}

// loopKeyboards are the keyboards whose keys lie behind a plug.
func loopKeyboards(in *console.Instrument, loop probe.Loop) (list []int) {
	for k := range in.Keyboards {
		if loop.Has(k) {
			list = append(list, k)
		}
	}
	return list
}

// reportsLoop complains of a map by which a relay cannot say which keys behind a
// plug it sees pressed.
func reportsLoop(in *console.Instrument, m *mapping.Map, loop probe.Loop) error {
	for i, l := range loop {
		entry, ok := m.Find(mapping.Thing{Kind: mapping.Key, Index: l.Key.Keyboard, Note: l.Key.Note})
		if ok && entry.Has(mapping.ToConsole) {
			continue
		}
		id := in.Keyboards[loop[i].Key.Keyboard].ID
		where := "its section midi"
		if m.Default {
			where = "a section midi (trundle learn INSTRUMENT --table shows the default one)"
		}
		return complaint{fmt.Sprintf("%s: the map has no message by which the relay reports the keys of %s", in.File, id),
			fmt.Sprintf("write in %s keys: {%s: {channel: %d, way: both}}, with its own channel", where, id, l.Key.Keyboard+1)}
	}
	return nil
}
