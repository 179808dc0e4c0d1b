package bench

import (
	"slices"
	"time"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/wiring"
)

// Jambs stands in for the knobs of a console, at its end of a cable: they follow
// their coils, and what their contacts say is told when it changes. Coils and
// contacts are where the wiring as soldered has them, and are told apart by the
// plan, as a relay does that was programmed from it.
type Jambs struct {
	end            *mapping.End
	travel         time.Duration
	stuck          []mapping.Thing // contacts that never change
	knobs          []int           // controls that coils move
	out            map[int]bool    // of these
	plan, soldered hangings
	moves          []timed[wiring.Item] // coils energized, until their knobs have moved
	told           []timed[mapping.Signal]
}

// hangings are what hangs on pins, both ways.
type hangings struct {
	pins  map[wiring.Item][]wiring.Terminal
	items map[wiring.Terminal][]wiring.Item
}

func hangingsOf(r *wiring.Relay, rows []wiring.Row) hangings {
	h := hangings{wiring.PinsOf(r, rows), map[wiring.Terminal][]wiring.Item{}}
	for item, pins := range h.pins {
		for _, pin := range pins {
			h.items[pin] = append(h.items[pin], item)
		}
	}
	return h
}

// NewJambs begins with all knobs in.
func NewJambs(in *console.Instrument, m *mapping.Map, r *wiring.Relay, timing Timing) *Jambs {
	j := &Jambs{end: m.End(mapping.AtConsole, "jambs"), travel: timing.Travel, stuck: timing.Stuck, out: map[int]bool{},
		plan: hangingsOf(r, r.Plan), soldered: hangingsOf(r, r.Soldered())}
	for c, control := range in.Controls {
		if control.Style == console.Moving {
			j.knobs = append(j.knobs, c)
		}
	}
	return j
}

// Hear takes a message from the organ, which energizes coils.
func (j *Jambs) Hear(m midiio.Timed) {
	for _, s := range j.end.Hear(m).Signals {
		if s.Kind != mapping.Control {
			continue
		}
		kind := wiring.KnobOffKind
		if s.Value == 1 {
			kind = wiring.KnobOnKind
		}
		for _, coil := range j.across(j.plan, j.soldered, wiring.Item{Kind: kind, Index: s.Index, Of: console.None}) {
			j.moves = append(j.moves, timed[wiring.Item]{m.At + j.travel, coil})
		}
	}
}

// Hand moves knobs by hand: those that are given, or all.
func (j *Jambs) Hand(out bool, at time.Duration, knobs ...int) {
	if len(knobs) == 0 {
		knobs = j.knobs
	}
	for _, knob := range knobs {
		j.move(knob, out, at)
	}
}

// across is what an item of one list is in the other, by their pins. What the plan
// has on no pin is where it should be.
func (j *Jambs) across(from, to hangings, item wiring.Item) (list []wiring.Item) {
	if len(j.plan.pins[item]) == 0 {
		return []wiring.Item{item}
	}
	for _, pin := range from.pins[item] {
		for _, other := range to.items[pin] {
			if !slices.Contains(list, other) {
				list = append(list, other)
			}
		}
	}
	return list
}

// move moves a knob, unless it stands so.
func (j *Jambs) move(knob int, out bool, at time.Duration) {
	if !slices.Contains(j.knobs, knob) || j.out[knob] == out {
		return
	}
	j.out[knob] = out
	value := 0
	if out {
		value = 1
	}
	for _, item := range j.across(j.soldered, j.plan, wiring.Item{Kind: wiring.ControlKind, Index: knob, Of: console.None}) {
		contact := mapping.Thing{Kind: mapping.Control, Index: item.Index}
		if item.Kind == wiring.ControlKind && !slices.Contains(j.stuck, contact) {
			j.told = append(j.told, timed[mapping.Signal]{at, mapping.Signal{Thing: contact, Value: value}})
		}
	}
}

// Next is when Tick has something to do.
func (j *Jambs) Next() (at time.Duration, due bool) {
	next := soonest(first(j.told), first(j.moves))
	return next.at, next.due
}

// Tick lets knobs arrive that are due by now, and appends what their contacts say.
func (j *Jambs) Tick(to []midiio.Message, now time.Duration) []midiio.Message {
	for ; len(j.moves) > 0 && j.moves[0].at <= now; j.moves = j.moves[1:] {
		if coil := j.moves[0].what; coil.Kind == wiring.KnobOnKind || coil.Kind == wiring.KnobOffKind {
			j.move(coil.Index, coil.Kind == wiring.KnobOnKind, j.moves[0].at)
		}
	}
	for _, t := range j.told {
		to = j.end.Tell(to, t.what)
	}
	j.told = j.told[:0]
	return to
}
