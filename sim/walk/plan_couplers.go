package walk

import (
	"fmt"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// couplers tries each coupler with one stop, by few keys and not by all: wires that
// are exchanged, open or bridged were found where every key was played, and a coupler
// has no wire of its own for each key. What it has is ends, and joints where the
// relay's table begins a row anew. So of what it carries the lowest key, the middle one,
// the highest, and both sides of each joint must speak; the next key beyond, and the
// outermost of its keyboard, must not. Common practice, no source.
func (p *planner) couplers() {
	for _, c := range p.in.Couplers {
		stop, ok := p.firstStop(c.Division, c.Touch)
		keyboard := c.Keyboard
		if keyboard == console.None {
			keyboard = p.in.Divisions[c.Division].Keyboard
		}
		if !ok || keyboard == console.None {
			continue
		}
		w := p.drawing(stop)
		w.drawn = append(w.drawn, c.Control)
		keys := p.couplerKeys(c, keyboard)
		for _, n := range keys {
			p.coupled(c.ID, c.Control, stop, w, keyboard, []console.Note{n}, max(c.Touch, stop.Touch) == 2)
		}
		if c.Picks != console.PicksAll && len(keys) > 0 {
			lowest, highest := keys[0], keys[len(keys)-1]
			p.coupled(c.ID, c.Control, stop, w, keyboard, []console.Note{lowest, highest}, max(c.Touch, stop.Touch) == 2)
		}
	}
	for _, u := range p.in.UnisonOffs {
		p.unisonOff(u)
	}
}

// couplerKeys are the keys by which a coupler is tried, ascending.
func (p *planner) couplerKeys(c console.Coupler, keyboard int) []console.Note {
	all, notes := p.in.Keyboards[keyboard].Keys, p.in.Divisions[c.Division].Notes
	shift := console.Note(c.Shift)
	carried := all.Cut(c.Keys).Cut(console.Span{From: notes.From - shift, To: notes.To - shift})
	list := []console.Note{all.From, all.To}
	if carried.From <= carried.To {
		list = append(list, carried.From-1, carried.From, (carried.From+carried.To)/2, carried.To, carried.To+1)
	}
	for _, joint := range p.joints(p.in.Controls[c.Control].ID) {
		list = append(list, joint-1, joint)
	}
	slices.Sort(list)
	return slices.DeleteFunc(slices.Compact(list), func(n console.Note) bool { return !all.Has(n) })
}

// joints are the notes at which rows of the relay's table that a control lets
// through begin.
func (p *planner) joints(control string) (list []console.Note) {
	if p.r == nil {
		return nil
	}
	for _, s := range p.r.Switch {
		passes := slices.ContainsFunc(s.Control, func(l wiring.Literal) bool { return l.Label == control && !l.Not })
		if s.Kind != wiring.Couple || !passes || len(s.Notes) < 2 {
			continue // a row for each note says nothing of joints
		}
		list = append(list, s.Notes[0])
	}
	return list
}

// coupled holds keys with a stop and a coupler or unison off; what opens says what
// is to be expected.
func (p *planner) coupled(id string, control int, stop console.Stop, w way, keyboard int, keys []console.Note, deep bool) {
	w.held = nil
	name := p.in.Keyboards[keyboard].ID
	for _, n := range keys {
		w.held = append(w.held, console.Held{Key: console.Key{Keyboard: keyboard, Note: n}, Deep: deep})
		name += " " + n.String()
	}
	s := Step{ID: fmt.Sprintf("coupler %s %s", id, name), Phase: Couplers, Group: id, Do: fmt.Sprintf("%s with %s: hold %s", id, stop.ID, name),
		Expect: silence, Items: p.opens(w, stop.Division), Moves: w.moves(), Ask: p.loud(stop) || p.slides(stop)}
	if p.speaks(w.state(p.in)) {
		s.Good, s.Expect = Speaks, fmt.Sprintf("%s sounds %s, and nothing else", stop.ID, p.sounding(stop.Division, w))
	}
	if len(s.Items) == 0 {
		s.Items = []wiring.Item{item(wiring.ControlKind, control, 0)}
	}
	p.add(s)
}

// sounding are the notes on a division's line.
func (p *planner) sounding(division int, w way) (text string) {
	p.play(w)
	span := p.in.Divisions[division].Notes
	for n := span.From; n <= span.To; n++ {
		if p.sound.Line(division, n) {
			if text != "" {
				text += " and "
			}
			text += n.String()
		}
	}
	return text
}

// unisonOff tries a unison off at the ends and in the middle of its keys, alone;
// then with an own coupler, and with a coupler from another keyboard, which it cuts
// or leaves.
func (p *planner) unisonOff(u console.UnisonOff) {
	stop, ok := p.firstStop(u.Division, 1)
	division := p.in.Divisions[u.Division]
	if !ok || division.Keyboard == console.None {
		return
	}
	w := p.drawing(stop)
	w.drawn = append(w.drawn, u.Control)
	keys := p.in.Keyboards[division.Keyboard].Keys.Cut(division.Notes)
	if keys.From > keys.To {
		return
	}
	middle := (keys.From + keys.To) / 2
	for _, n := range slices.Compact([]console.Note{keys.From, middle, keys.To}) {
		p.coupled(u.ID, u.Control, stop, w, division.Keyboard, []console.Note{n}, false)
	}
	own, foreign := false, false
	for _, c := range p.in.Couplers {
		keyboard, met := c.Keyboard, &foreign
		if keyboard == console.None {
			keyboard, met = division.Keyboard, &own
		}
		if c.Division != u.Division || c.Touch == 2 || *met || !p.in.Keyboards[keyboard].Keys.Cut(c.Keys).Has(middle) {
			continue
		}
		*met = true
		with := way{drawn: append(slices.Clone(w.drawn), c.Control)}
		p.coupled(u.ID+" with "+c.ID, u.Control, stop, with, keyboard, []console.Note{middle}, false)
	}
}
