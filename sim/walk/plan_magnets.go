package walk

import (
	"fmt"

	"trundle/console"
	"trundle/sim/wiring"
)

// inputs has everything worked that the console gives.
func (p *planner) inputs() {
	for _, item := range p.contacts() {
		if !p.wired(item) {
			continue
		}
		do, group := "work "+p.words(item), string(item.Kind)
		switch item.Kind {
		case wiring.KeyKind, wiring.Key2Kind:
			do, group = "press "+p.words(item), "keys of "+p.in.Keyboards[item.Index].ID
			if item.Kind == wiring.Key2Kind {
				do += " to its second contact"
			}
		case wiring.ControlKind:
			do, group = "draw and push "+p.words(item), "controls"
		case wiring.ButtonKind:
			do, group = "press "+p.words(item), "pistons and studs"
		case wiring.ShoeKind:
			do, group = "move "+p.words(item)+" from end to end", "shoes"
		case wiring.StageKind:
			do, group = "bring the crescendo to stage "+fmt.Sprint(item.Note), "crescendo"
		}
		p.add(Step{ID: "input " + p.words(item), Phase: Inputs, Group: group, Do: do, Expect: "it comes, it alone, and goes", Items: []wiring.Item{item}})
	}
}

// contacts is what a console gives, keys first.
func (p *planner) contacts() (list []wiring.Item) {
	for _, item := range wiring.Every(p.in) {
		if item.Given() && (p.r != nil || item.Kind != wiring.StageKind) {
			list = append(list, item)
		}
	}
	return list
}

// outputs has one magnet on at a time, with the wind off.
func (p *planner) outputs() {
	needed := wiring.Needed(p.in)
	for _, item := range needed {
		if item.Kind == wiring.ValveKind && p.wired(item) {
			w, ok := p.toValve(item.Index, item.Note)
			p.magnet(Valves, p.in.Ranks[item.Index].ID, item, w, ok, oneClick)
		}
	}
	for _, item := range needed {
		if item.Kind == wiring.NoteKind && p.wired(item) {
			chest := p.in.Chests[item.Index]
			division := item.Of
			if division == console.None {
				division = chest.Plays[0]
			}
			w, ok := p.toLine(division, console.Note(item.Note), 1)
			p.magnet(NoteLines, chest.ID, item, w, ok, oneClick)
		}
	}
	for _, item := range needed {
		if item.Kind != wiring.ActionKind {
			continue
		}
		for _, kind := range []wiring.Kind{wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind} {
			if item.Kind = kind; p.r == nil && kind != wiring.ActionKind || !p.wired(item) {
				continue
			}
			w, ok := p.toAction(item.Index, item.Of)
			expect := "the action goes all the way"
			if kind == wiring.ActionOffKind {
				expect = "the action goes all the way off, as the stop does"
			}
			p.magnet(Actions, "actions", item, w, ok, expect)
		}
	}
	for _, v := range p.in.Ventils {
		if item := item(wiring.VentilKind, v.Control, 0); p.wired(item) {
			p.magnet(Actions, "ventils", item, way{drawn: []int{v.Control}}, true, "the ventil goes all the way")
		}
	}
}

// magnet adds the step of one magnet, told by itself where that can be, or by
// the keys and stops that reach it.
func (p *planner) magnet(phase Phase, group string, item wiring.Item, w way, ok bool, expect string) {
	s := Step{ID: p.words(item), Phase: phase, Group: group, Do: "turn on " + p.words(item), Expect: expect, Items: []wiring.Item{item}, Ask: phase == Actions}
	switch {
	case p.o.Direct != nil && p.o.Direct(item):
		s.Moves = []Move{{item, 1}}
		s.Amps = p.meter.expect(item, nil)
	case ok:
		state := w.state(p.in)
		s.Moves = w.moves()
		s.Amps = p.meter.expect(item, &state)
	default:
		s.Do += " by hand at its pin: no key and stop reach it"
		s.Amps = p.meter.expect(item, nil)
	}
	if isPulsed(item.Kind) && p.limit(item) == 0 {
		s.Pulse = ShortPulse
	}
	p.add(s)
}

// isPulsed reports coils of pairs, one of which draws and one cancels.
func isPulsed(kind wiring.Kind) bool {
	switch kind {
	case wiring.ActionOnKind, wiring.ActionOffKind, wiring.KnobOnKind, wiring.KnobOffKind:
		return true
	}
	return false
}
