package probe

import (
	"fmt"
	"maps"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// Loop is a plug that leads outputs of a relay to key inputs, one to one. What a
// relay reports of those keys is what it drives of those outputs; and it works
// what they play, as if a player pressed them.
type Loop []Looped

// Looped is an output that leads to a key input.
type Looped struct {
	Output, Input wiring.Terminal
	Key           console.Key // as which the relay reports the input

	// Hangs and Contact are what the plan has on them. Where the plug is at the far
	// end of a cable it is plugged in between these; else between the pins, in the
	// place of the cables.
	Hangs, Contact      wiring.Item
	FarOutput, FarInput bool
}

// Half is where the second half of an answer begins, of a relay with a plug in.
// Bit i of the first is whether output i of the loop is driven while a chord is
// held; bit Half + i whether it is when the chord is let go, by what it leads to.
func (l Loop) Half() int { return (len(l) + 63) / 64 * 64 }

// Has reports whether keys of a keyboard lie behind the plug.
func (l Loop) Has(keyboard int) bool {
	return slices.ContainsFunc(l, func(p Looped) bool { return p.Key.Keyboard == keyboard })
}

// taken is the pins whose cables a plug takes the place of.
func (l Loop) taken() map[wiring.Terminal]bool {
	pins := map[wiring.Terminal]bool{}
	for _, p := range l {
		if !p.FarOutput {
			pins[p.Output] = true
		}
		if !p.FarInput {
			pins[p.Input] = true
		}
	}
	return pins
}

// unjoined is a relay without the joins at some pins.
func unjoined(r *wiring.Relay, pins map[wiring.Terminal]bool) *wiring.Relay {
	if len(pins) == 0 || len(r.Joins) == 0 {
		return r
	}
	c := *r
	c.Joins = slices.Clone(r.Joins)
	for i, j := range r.Joins {
		var from, to []wiring.Terminal
		for at := range min(len(j.From), len(j.To)) {
			if !pins[j.From[at]] && !pins[j.To[at]] {
				from, to = append(from, j.From[at]), append(to, j.To[at])
			}
		}
		c.Joins[i].From, c.Joins[i].To = from, to
	}
	return &c
}

// plugKind is that of the ends of a plug: of an output one behind which hangs
// nothing else, of an input a contact.
const plugKind wiring.Kind = "plug"

// feed is an output that makes a contact.
type feed struct{ output, contact int }

// CompileWith prepares a relay with a plug in. Its valves are the outputs that
// lead through the plug: see Loop.Half.
func CompileWith(r *wiring.Relay, in *console.Instrument, loop Loop) *Running {
	if len(loop) == 0 {
		return Compile(r, in)
	}
	x := number(in)
	x.loop, x.taken = loop, loop.taken()
	x.valves = make([]opening, loop.Half()+len(loop))
	for i, p := range loop {
		end := wiring.Item{Kind: plugKind, Index: i}
		f := feed{x.outputs[p.Hangs], x.contacts[p.Contact]}
		if !p.FarOutput {
			f.output = x.outputs.of(end)
		}
		if !p.FarInput {
			f.contact = x.contacts.of(end)
		}
		x.feeds = append(x.feeds, f)
		x.valves[i].own, x.valves[loop.Half()+i].own = f.output, f.output
	}
	x.keys = make([]bool, len(x.contacts)+1)
	for item, c := range x.contacts {
		x.keys[c] = item.Kind != wiring.ControlKind
	}
	x.wire(r)
	return x
}

// plug hangs the ends of the plug on its pins.
func (x *Running) plug() {
	for i, p := range x.loop {
		if !p.FarOutput {
			x.hung = append(x.hung, hang{x.feeds[i].output, x.terminal(p.Output)})
		}
		if !p.FarInput {
			x.made = append(x.made, hang{x.feeds[i].contact, x.terminal(p.Input)})
		}
	}
}

// Step is what a relay drives through a plug while keys are held and controls are
// on, and the contacts behind some outputs are made: one scan of a relay that the
// next one may follow.
func (x *Running) Step(held []console.Held, on []int, fed func(i int) bool) Set {
	contacts := x.state(held, on)
	for i, f := range x.feeds {
		if fed(i) {
			contacts[f.contact] = 1
		}
	}
	var s space
	s.drive(x, contacts)
	driven := newSet(len(x.feeds))
	for i, f := range x.feeds {
		if s.outputs[f.output]&1 == 1 {
			driven.add(i)
		}
	}
	return driven
}

// looped is run with a plug in.
func (s *space) looped(x *Running, contacts []word) []word {
	valves := cleared(s.valves, len(x.valves))
	note := func(from int) {
		for i, f := range x.feeds {
			valves[from+i] = s.outputs[f.output]
		}
	}
	s.settle(x, contacts, slices.Clone(contacts))
	note(0)
	rest, last := slices.Clone(contacts), slices.Clone(s.fed)
	for c, key := range x.keys {
		if key {
			last[c] &^= contacts[c]
			rest[c] = 0
		}
	}
	s.settle(x, rest, last)
	note(x.loop.Half())
	s.valves = valves
	return valves
}

// settle lets what is driven make contacts until nothing changes any more, from
// some that are made already. One that never comes to rest is left where it is
// when every output had time to follow every other.
func (s *space) settle(x *Running, contacts, made []word) {
	s.fed = made
	for range len(x.feeds) + 2 {
		s.drive(x, s.fed)
		steady := true
		for _, f := range x.feeds {
			if on := contacts[f.contact] | s.outputs[f.output]; on != s.fed[f.contact] {
				s.fed[f.contact], steady = on, false
			}
		}
		if steady {
			return
		}
	}
}

// madeIn is the contacts that are made in the end, where some are by keys and controls.
func (s *space) madeIn(x *Running, contacts []word) []word {
	if len(x.feeds) == 0 {
		return contacts
	}
	s.settle(x, contacts, slices.Clone(contacts))
	return s.fed
}

// FeedsBack tells the registrations in which keys behind the plug may have a say
// in what is driven through it: by whatever way, and whatever else is held.
func (x *Running) FeedsBack(draws [][]int) []bool {
	y := x.unpicked()
	answer := make([]bool, len(draws))
	var s space
	for first := 0; first < len(draws); first += 64 {
		some := draws[first:min(len(draws), first+64)]
		contacts := make([]word, len(x.contacts)+1)
		for i, draw := range some {
			x.set(contacts, 1<<i, nil, draw)
		}
		s.drive(y, contacts)
		alone := slices.Clone(s.outputs)
		for _, f := range x.feeds {
			contacts[f.contact] = ^word(0)
		}
		s.drive(y, contacts)
		for i := range some {
			answer[first+i] = slices.ContainsFunc(x.feeds, func(f feed) bool { return (alone[f.output]^s.outputs[f.output])>>i&1 == 1 })
		}
	}
	return answer
}

// unpicked is a relay whose rows that pick pass any note of theirs to all places:
// which note they pick depends on all of them.
func (x *Running) unpicked() *Running {
	y := *x
	y.rows, y.picks, y.lines = slices.Clone(x.rows), nil, maps.Clone(x.lines)
	for i, r := range x.rows {
		if r.order == nil {
			continue
		}
		one := y.note(fmt.Sprintf("picked by row %d", i), 0)
		out := row{kind: wiring.Couple, control: r.control, to: r.to, notes: slices.Repeat([]int{one}, len(r.to))}
		y.rows[i].order, y.rows[i].to = nil, slices.Repeat([]int{one}, len(r.notes))
		y.rows = append(y.rows, out)
	}
	return &y
}
