package circuit

import (
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// hearing tells which loads are on in a state, as the instrument wants them:
// where the relay does otherwise, the proof says so.
type hearing struct {
	in      *console.Instrument
	loads   []Load
	sounds  *console.Sounding
	takenBy [][]int // by rank: stops
	at      [][]int // by valve: loads
	others  []int   // loads that stay on and hang on no valve of their own
	open    []int   // valves
	listed  []bool  // by valve: it is in open
}

func newHearing(c *Circuit, in *console.Instrument) *hearing {
	h := &hearing{in: in, loads: c.Loads, sounds: console.NewSounding(in), takenBy: make([][]int, len(in.Ranks)),
		at: make([][]int, in.Valves), listed: make([]bool, in.Valves)}
	for i, l := range c.Loads {
		switch {
		case l.Item.Kind == wiring.ValveKind:
			valve := in.Ranks[l.Item.Index].Valve(l.Item.Note)
			h.at[valve] = append(h.at[valve], i)
		case !c.moves(l):
			h.others = append(h.others, i)
		}
	}
	for s, stop := range in.Stops {
		for _, take := range stop.Takes {
			h.takenBy[take.Rank] = append(h.takenBy[take.Rank], s)
		}
	}
	return h
}

// set sets what is played, and keeps account of the valves that are open.
func (h *hearing) set(s console.State) {
	changed := h.sounds.Set(s)
	h.open = slices.DeleteFunc(h.open, func(valve int) bool {
		h.listed[valve] = h.sounds.Open(valve)
		return !h.listed[valve]
	})
	for _, valve := range changed {
		if h.sounds.Open(valve) && !h.listed[valve] {
			h.open, h.listed[valve] = append(h.open, valve), true
		}
	}
}

// on is which loads stay on while a state lasts, ascending. The magnets of
// shades count as on, for a shoe may stand anywhere; what only moves knobs, and the
// lamps of buttons, do not.
func (h *hearing) on(s console.State) (list []int) {
	h.set(s)
	for _, valve := range h.open {
		list = append(list, h.at[valve]...)
	}
	drawn := h.in.On(s)
	for _, i := range h.others {
		if h.wants(h.loads[i].Item, drawn) {
			list = append(list, i)
		}
	}
	slices.Sort(list)
	return list
}

// each is a list of loads, by load.
func (c *Circuit) each(list []int) []bool {
	on := make([]bool, len(c.Loads))
	for _, i := range list {
		on[i] = true
	}
	return on
}

// wants reports whether what hangs on no valve is on.
func (h *hearing) wants(item wiring.Item, drawn []bool) bool {
	switch item.Kind {
	case wiring.NoteKind:
		if item.Of != console.None {
			return h.sounds.Line(item.Of, console.Note(item.Note))
		}
		for _, d := range h.in.Chests[item.Index].Plays {
			if h.sounds.Line(d, console.Note(item.Note)) {
				return true
			}
		}
	case wiring.ActionKind:
		for _, s := range h.takenBy[item.Index] {
			stop := h.in.Stops[s]
			if drawn[stop.Control] && (item.Of == console.None || item.Of == stop.Division) {
				return true
			}
		}
	case wiring.VentilKind, wiring.TremulantKind, wiring.LampKind:
		return item.Index < len(drawn) && drawn[item.Index]
	case wiring.ShadeKind:
		return true
	}
	return false
}

// pulsed reports whether a load is on for a moment only.
func (c *Circuit) pulsed(l Load) bool {
	switch l.Item.Kind {
	case wiring.ActionOnKind, wiring.ActionOffKind, wiring.KnobOnKind, wiring.KnobOffKind:
		return true
	}
	return c.Magnets[l.Magnet].Pulse > 0
}

// moves reports whether a load is on for a moment only, while knobs and sliders
// move. What is pulsed when keys strike it counts as on while they are held.
func (c *Circuit) moves(l Load) bool {
	return c.pulsed(l) && l.Item.Kind != wiring.ValveKind && l.Item.Kind != wiring.NoteKind
}

// everything is what can be on together: all that does not only move knobs.
func (c *Circuit) everything() []bool {
	on := make([]bool, len(c.Loads))
	for i, l := range c.Loads {
		on[i] = !c.moves(l)
	}
	return on
}

// full is the registration that opens the most valves whatever is held: every
// control but those that only take away, or put keys elsewhere. (Everything in
// what sounds only grows with stops and couplers; unison offs and divides cut,
// transfers exchange.)
func full(in *console.Instrument) []bool {
	drawn := make([]bool, len(in.Controls))
	for i, control := range in.Controls {
		switch control.Kind {
		case console.UnisonOffControl, console.DivideControl, console.TransferControl:
		default:
			drawn[i] = true
		}
	}
	return drawn
}

// unpicked is an instrument in which couplers that pick one key of a keyboard
// have a further keyboard each, on which any key may be held instead: it opens
// every valve that the instrument opens, and what a chord opens there is what
// its keys open one by one. (Such couplers move no keys.)
func unpicked(in *console.Instrument) *console.Instrument {
	more := *in
	more.Couplers = slices.Clone(in.Couplers)
	more.Keyboards = slices.Clone(in.Keyboards)
	for i, c := range in.Couplers {
		if c.Picks != console.PicksAll {
			own := &more.Couplers[i]
			own.Picks, own.Keyboard = console.PicksAll, len(more.Keyboards)
			more.Keyboards = append(more.Keyboards, in.Keyboards[c.Keyboard])
		}
	}
	return &more
}

// holding is the state in which these keys are held as deep as they go, with
// the full registration.
func holding(in *console.Instrument, keys []console.Key) console.State {
	s := console.State{Drawn: full(in)}
	for _, k := range keys {
		s.Held = append(s.Held, console.Held{Key: k, Deep: in.Keyboards[k.Keyboard].Touches > 1})
	}
	return s
}
