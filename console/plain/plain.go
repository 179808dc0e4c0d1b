package plain

import "trundle/console"

// Notes is a set of notes.
type Notes map[console.Note]bool

// Open is which valves are open, by valve index.
func Open(in *console.Instrument, s console.State) []bool {
	o := organ{in, in.On(s)}
	first, second := o.planes(s)
	open := make([]bool, in.Valves)
	for _, stop := range in.Stops {
		if !o.on[stop.Control] {
			continue
		}
		if stop.Touch == 2 {
			o.openedBy(stop, second.line[stop.Division], open)
		} else {
			o.openedBy(stop, first.line[stop.Division], open)
		}
	}
	return open
}

// Speaks is which valves are open and have wind, by valve index.
func Speaks(in *console.Instrument, s console.State) []bool {
	o := organ{in, in.On(s)}
	speaks := Open(in, s)
	for r, rank := range in.Ranks {
		if !o.hasWind(r) {
			clear(speaks[rank.First : rank.First+rank.Pipes])
		}
	}
	return speaks
}

// Lines is the notes on every division's line, by division: what stops read,
// and what stops of the second touch read.
func Lines(in *console.Instrument, s console.State) (first, second []Notes) {
	one, two := organ{in, in.On(s)}.planes(s)
	return one.line, two.line
}

// organ is an instrument and which of its controls are on.
type organ struct {
	*console.Instrument
	on []bool
}

// planes resolves both contacts: the second first, since couplers with the
// second touch read it and deliver into both.
func (o organ) planes(s console.State) (first, second *plane) {
	held, deep := o.contacts(s)
	second = o.plane(deep, nil)
	return o.plane(held, second), second
}

// plane is steps 1 to 3 for one contact; deep is the second contact's plane,
// nil where that is the one to resolve.
func (o organ) plane(held []Notes, deep *plane) *plane {
	p := &plane{
		held:  held,
		moved: empty(len(o.Keyboards)),
		own:   empty(len(o.Divisions)),
		line:  empty(len(o.Divisions)),
	}
	if deep == nil {
		deep = p
	}
	o.coupledKeys(p, deep)
	o.ownKeys(p, deep)
	o.divisionLines(p, deep)
	return p
}

func empty(n int) []Notes {
	sets := make([]Notes, n)
	for i := range sets {
		sets[i] = Notes{}
	}
	return sets
}

func (n Notes) shifted(by int) Notes {
	moved := Notes{}
	for note := range n {
		moved[note+console.Note(by)] = true
	}
	return moved
}
