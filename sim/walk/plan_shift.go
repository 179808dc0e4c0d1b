package walk

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// crescendo brings each sequence to each of its stages, with a key held by which
// what the stage adds is heard, and back to 0.
func (p *planner) crescendo() {
	for q, sequence := range p.in.Crescendo {
		for n := range sequence.Stages {
			p.stage(q, n+1, sequence.Stages[n])
		}
		if len(sequence.Stages) > 0 {
			p.stage(q, 0, sequence.Stages[0]) // what it added goes
		}
	}
}

// stage brings a sequence to a stage, from 0, and holds a key by which a stage is
// heard.
func (p *planner) stage(q, n int, by console.Stage) {
	name := p.sequence(q)
	s := Step{ID: fmt.Sprintf("crescendo %s:%d", name, n), Phase: Crescendo, Group: "crescendo " + name, Do: fmt.Sprintf("crescendo to stage %d", n), Ask: true,
		Items: []wiring.Item{item(wiring.StageKind, console.None, n), item(wiring.StageKind, q, n)}}
	if q > 0 {
		s.First = "choose the sequence " + name
	}
	if shoe := slices.IndexFunc(p.in.Shoes, func(s console.Shoe) bool { return s.Crescendo }); shoe >= 0 {
		of := item(wiring.ShoeKind, shoe, 0)
		s.Items = append(s.Items, of)
		s.Moves = []Move{{of, positionOf(n, len(p.in.Crescendo[q].Stages))}}
		s.Undo = []Move{{of, 0}}
	} else {
		s.First = joined(s.First, fmt.Sprintf("bring the crescendo to stage %d", n))
	}
	w := p.heardBy(by)
	s.Moves = append(s.Moves, w.moves()...)
	switch {
	case n == 0:
		s.Do, s.Expect = "crescendo shut", silence
	case len(by.Adds) == 0:
		s.Expect = "it adds nothing"
	default:
		s.Expect = "it adds " + p.ids(by.Adds)
	}
	if n > 0 && len(by.Drops) > 0 {
		s.Expect += ", and takes " + p.ids(by.Drops)
	}
	if p.speaks(console.State{Held: w.held, Stage: n, Sequence: q}) {
		s.Good = Speaks
	}
	p.add(s)
}

func joined(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}

func (p *planner) sequence(q int) string {
	if name := p.in.Crescendo[q].Name; name != "" {
		return name
	}
	return fmt.Sprint(q + 1)
}

// heardBy is a key by which the first stop or coupler that a stage adds is heard.
func (p *planner) heardBy(stage console.Stage) way {
	for _, c := range stage.Adds {
		division := console.None
		switch control := p.in.Controls[c]; control.Kind {
		case console.StopControl:
			division = p.in.Stops[control.Index].Division
		case console.CouplerControl:
			division = p.in.Couplers[control.Index].Division
		default:
			continue
		}
		notes := p.in.Divisions[division].Notes
		if w, ok := p.toLine(division, (notes.From+notes.To)/2, 1); ok && len(w.drawn) == 0 {
			return w
		}
	}
	return way{}
}

// speaks reports whether any pipe speaks in a state.
func (p *planner) speaks(s console.State) bool {
	p.sound.Set(s)
	speaks := false
	for valve := 0; valve < p.in.Valves && !speaks; valve++ {
		speaks = p.sound.Speaks(valve)
	}
	p.sound.Set(console.State{})
	p.played = way{}
	return speaks
}

// transposer has each of its steps set by hand, for no message sets it, and a key
// played in the middle of the first manual.
func (p *planner) transposer() {
	if p.in.Transposer == (console.Reach{}) {
		return
	}
	division := slices.IndexFunc(p.in.Divisions, func(d console.Division) bool {
		return d.Keyboard != console.None && p.in.Keyboards[d.Keyboard].Kind == console.Manual
	})
	if division < 0 {
		return
	}
	stop, ok := p.firstStop(division, 1)
	if !ok {
		return
	}
	keyboard := p.in.Divisions[division].Keyboard
	keys := p.in.Keyboards[keyboard].Keys
	n := (keys.From + keys.To) / 2
	w := p.drawing(stop)
	w.held = []console.Held{{Key: console.Key{Keyboard: keyboard, Note: n}}}
	for by := p.in.Transposer.Low; by <= p.in.Transposer.High; by++ {
		if by != 0 {
			p.transposed(stop, w, by)
		}
	}
	p.transposed(stop, w, 0)
}

// transposed plays a key with the transposer somewhere.
func (p *planner) transposed(stop console.Stop, w way, by int) {
	key := w.held[0].Key
	s := Step{ID: fmt.Sprintf("transposer %+d", by), Phase: Transposer, Group: "transposer", First: fmt.Sprintf("set the transposer to %+d", by),
		Do:     fmt.Sprintf("%s, %s %s, transposed by %+d", stop.ID, p.in.Keyboards[key.Keyboard].ID, key.Note, by),
		Expect: fmt.Sprintf("it sounds as %s does", key.Note+console.Note(by)), Moves: w.moves(), Ask: p.loud(stop) || p.slides(stop)}
	state := w.state(p.in)
	state.Transpose = by
	if p.speaks(state) {
		s.Good = Speaks
	} else {
		s.Expect = silence + ": it is off the compass"
	}
	p.add(s)
}
