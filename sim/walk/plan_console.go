package walk

import (
	"fmt"
	"math"
	"slices"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

func item(kind wiring.Kind, index, note int) wiring.Item {
	return wiring.Item{Kind: kind, Index: index, Of: console.None, Note: note}
}

// knobs pulses both coils of each knob. The relay makes the pulse itself: it is
// told how the knob is to stand.
func (p *planner) knobs() {
	for c, control := range p.in.Controls {
		if control.Style != console.Moving {
			continue
		}
		for _, coil := range []struct {
			kind   wiring.Kind
			value  int
			expect string
		}{
			{wiring.KnobOnKind, 1, "it comes out, it alone, and its contact says so"},
			{wiring.KnobOffKind, 0, "it goes in, it alone, and its contact says so"},
		} {
			of := item(coil.kind, c, 0)
			if !p.wired(of) {
				continue
			}
			pulse := 0.0
			if p.limit(of) == 0 {
				pulse = ShortPulse
			}
			p.add(Step{ID: p.words(of), Phase: Knobs, Group: "knobs", Do: p.words(of), Expect: coil.expect,
				Items: []wiring.Item{of, item(wiring.ControlKind, c, 0)}, Moves: []Move{{of, coil.value}}, Comes: []Move{{item(wiring.ControlKind, c, 0), coil.value}}, Amps: p.meter.expect(of, nil), Pulse: pulse})
		}
	}
}

func (p *planner) lamps() {
	buttons := 0
	if p.in.Combination != nil {
		buttons = len(p.in.Combination.Buttons)
	}
	for i := range len(p.in.Controls) + buttons {
		of := item(wiring.LampKind, i, 0)
		if p.r != nil && !p.wired(of) || p.r == nil && (i >= len(p.in.Controls) || p.in.Controls[i].Style != console.Lit) {
			continue
		}
		p.add(Step{ID: p.words(of), Phase: Lamps, Group: "lamps", Do: "light " + p.words(of), Expect: "it lights, it alone", Items: []wiring.Item{of},
			Moves: []Move{{of, 1}}, Amps: p.meter.expect(of, nil)})
	}
}

// shades brings each box to each of its stages, from shut.
func (p *planner) shades() {
	for b, box := range p.in.Boxes {
		for stage := range box.Stages + 1 {
			var items []wiring.Item
			for m := 1; m <= box.Magnets(); m++ {
				if box.Energized(stage, m) {
					items = append(items, item(wiring.ShadeKind, b, m))
				}
			}
			expect := fmt.Sprintf("open by %d of %d, without noise", stage, box.Stages)
			if stage == 0 {
				expect = "shut"
			}
			s := Step{ID: fmt.Sprintf("shades %s:%d", box.ID, stage), Phase: Shades, Group: box.ID, Do: fmt.Sprintf("%s to stage %d", box.ID, stage), Expect: expect, Items: items, Ask: true}
			for i, shoe := range p.in.Shoes {
				if slices.Contains(shoe.Boxes, b) {
					s.Moves = []Move{{item(wiring.ShoeKind, i, 0), positionOf(stage, box.Stages)}}
				}
			}
			p.add(s)
		}
	}
}

// positionOf is a shoe's position in the middle of a stage: stage is
// floor(position * (stages + 1) / (most + 1)).
func positionOf(stage, stages int) int {
	return (2*stage + 1) * (console.ShoeMost + 1) / (2 * (stages + 1))
}

func (p *planner) tremulants() {
	for _, t := range p.in.Tremulants {
		p.add(Step{ID: "tremulant " + t.ID, Phase: Tremulants, Group: "tremulants", Do: "draw " + t.ID, Expect: "it beats evenly, and stops",
			Items: []wiring.Item{item(wiring.TremulantKind, t.Control, 0)}, Moves: way{drawn: []int{t.Control}}.moves(), Ask: true})
	}
}

// signID is the step that is answered by a name.
const signID = "sign"

// full has all stops on with a chord on every keyboard, and the volts measured
// at the coil that is left the least.
func (p *planner) full() {
	w := way{}
	for c, control := range p.in.Controls {
		if control.Kind == console.StopControl || control.Kind == console.CouplerControl {
			w.drawn = append(w.drawn, c)
		}
	}
	for _, v := range p.in.Ventils {
		if len(v.Admits) > 0 {
			w.drawn = append(w.drawn, v.Control)
		}
	}
	for k, keyboard := range p.in.Keyboards {
		low := keyboard.Keys.From
		for _, n := range []console.Note{low, low + 12} {
			if keyboard.Keys.Has(n) {
				w.held = append(w.held, console.Held{Key: console.Key{Keyboard: k, Note: n}})
			}
		}
	}
	s := Step{ID: "full", Phase: Full, Group: "full", Do: "all stops and couplers, an octave on every keyboard: measure the volts at the far magnet",
		Expect: "the volts that it needs to pull in, and more", Moves: w.moves(), Ask: true}
	if p.c != nil {
		flow := p.c.Flow(p.meter.search.OnIn(w.state(p.in)), true)
		far, least := -1, math.Inf(1)
		for i, volts := range flow.Coil {
			if flow.Load[i] <= 0 || p.c.Loads[i].Magnet == circuit.None || isPulsed(p.c.Loads[i].Item.Kind) {
				continue
			}
			if spare := volts - p.c.Magnets[p.c.Loads[i].Magnet].PullIn; spare < least {
				far, least = i, spare
			}
		}
		if far >= 0 {
			l := p.c.Loads[far]
			s.Do = "all stops and couplers, an octave on every keyboard: measure the volts at " + p.words(l.Item)
			s.Expect = fmt.Sprintf("%.1f V when it is warm", flow.Coil[far])
			if needs := p.c.Magnets[l.Magnet].PullIn; needs > 0 {
				s.Expect += fmt.Sprintf("; it pulls in at %.1f V", needs)
				s.Needs = needs
			}
			s.Items = []wiring.Item{l.Item}
			s.Volts = flow.Coil[far]
		}
	}
	p.add(s)
	p.add(Step{ID: "save", Phase: Sign, Group: "sign", Do: "save the memories where the relay keeps them, switch off and on", Expect: "pistons are as they were set"})
	p.add(Step{ID: signID, Phase: Sign, Group: "sign", Do: "read the open faults, and sign with your name", Expect: "a name"})
}
