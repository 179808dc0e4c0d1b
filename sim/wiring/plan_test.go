package wiring_test

import (
	"math/rand/v2"

	"trundle/console"
	"trundle/sim/wiring"
)

// planner wires an instrument completely, in no order that would help: on two
// boards of each direction, now and then by a strip, some contacts and magnets
// doubled, actions of both kinds.
type planner struct {
	*rand.Rand
	in *console.Instrument
	r  *wiring.Relay
}

func planned(in *console.Instrument, seed uint64) *wiring.Relay {
	p := &planner{rand.New(rand.NewPCG(seed, 7)), in, &wiring.Relay{File: "relay.yaml", Derived: true}}
	p.r.Boards = []wiring.Board{
		{ID: "K1", Direction: wiring.Input}, {ID: "K2", Direction: wiring.Input},
		{ID: "X1", Direction: wiring.Output}, {ID: "X2", Direction: wiring.Output},
	}
	p.r.Strips = []wiring.Strip{{ID: "J1"}}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			p.wire(wiring.Input, item(wiring.KeyKind, k, console.None, int(n)))
			if keyboard.Touches == 2 {
				p.wire(wiring.Input, item(wiring.Key2Kind, k, console.None, int(n)))
			}
		}
	}
	for c := range in.Controls {
		p.wire(wiring.Input, item(wiring.ControlKind, c, console.None, 0))
	}
	for c, chest := range in.Chests {
		for _, division := range chest.Plays {
			of := console.None
			if len(chest.Plays) > 1 {
				of = division
			}
			for n := chest.Notes.From; n <= chest.Notes.To && chest.HasNoteLines(); n++ {
				p.wire(wiring.Output, item(wiring.NoteKind, c, of, int(n)))
			}
		}
	}
	for r, rank := range in.Ranks {
		plays := map[int]bool{}
		for _, stand := range rank.Stands {
			if chest := in.Chests[stand.Chest]; !chest.HasNoteLines() {
				for v := stand.From; v <= stand.To; v++ {
					p.wire(wiring.Output, item(wiring.ValveKind, r, console.None, v))
				}
			} else {
				for _, d := range chest.Plays {
					plays[d] = true
				}
			}
		}
		for d := range in.Divisions {
			of := d
			if len(plays) == 1 {
				of = console.None
			}
			if plays[d] && p.IntN(3) == 0 {
				p.wire(wiring.Output, item(wiring.ActionOnKind, r, of, 0))
				p.wire(wiring.Output, item(wiring.ActionOffKind, r, of, 0))
			} else if plays[d] {
				p.wire(wiring.Output, item(wiring.ActionKind, r, of, 0))
			}
		}
	}
	return p.r
}

func item(kind wiring.Kind, index, of, note int) wiring.Item {
	return wiring.Item{Kind: kind, Index: index, Of: of, Note: note}
}

// wire hangs an item on a free pin, one in twelve on two.
func (p *planner) wire(d wiring.Direction, item wiring.Item) {
	for range 1 + p.IntN(12)/11 {
		on := p.IntN(2)
		if d == wiring.Output {
			on += 2
		}
		p.r.Boards[on].Pins++
		at := wiring.Terminal{On: on, Pin: p.r.Boards[on].Pins}
		if p.IntN(8) == 0 {
			p.r.Strips[0].Pins++
			terminal := wiring.Terminal{On: len(p.r.Boards), Pin: p.r.Strips[0].Pins}
			p.r.Joins = append(p.r.Joins, wiring.Join{From: []wiring.Terminal{terminal}, To: []wiring.Terminal{at}})
			at = terminal
		}
		p.r.Plan = append(p.r.Plan, wiring.Row{Kind: item.Kind, Pins: []wiring.Terminal{at}, Items: []wiring.Item{item}})
	}
}

// stir gives a generated instrument more of what meets seldom in one: second
// touches, couplers that pick, several divides of a keyboard.
func stir(rng *rand.Rand, in *console.Instrument) {
	for k := range in.Keyboards {
		in.Keyboards[k].Touches = 1 + rng.IntN(2)
	}
	for i := range in.Couplers {
		c := &in.Couplers[i]
		c.Touch = 1 + rng.IntN(3)/2
		if c.Keyboard != console.None && c.Carries == console.CarriesNone {
			c.Picks = []console.Picks{console.PicksAll, console.PicksLowest, console.PicksHighest}[rng.IntN(3)]
		}
	}
	for i := range in.Divides {
		keyboard := in.Keyboards[in.Divides[0].Keyboard]
		in.Divides[i].Keyboard = in.Divides[0].Keyboard
		in.Divides[i].Split = keyboard.Keys.From + console.Note(rng.IntN(keyboard.Keys.Len()+1))
	}
	for c := range in.Controls { // some ventils divide a keyboard as well
		if control := &in.Controls[c]; control.Kind == console.VentilControl && rng.IntN(2) == 0 {
			k := rng.IntN(len(in.Keyboards))
			in.Divides = append(in.Divides, console.Divide{Keyboard: k, Split: in.Keyboards[k].Keys.From + 2, Control: c})
		}
	}
}

// anyState is a state with few or many keys and controls.
func anyState(rng *rand.Rand, in *console.Instrument) console.State {
	s := console.State{Drawn: make([]bool, len(in.Controls))}
	draws, presses := rng.Float64(), rng.Float64()*0.3
	for c := range s.Drawn {
		s.Drawn[c] = rng.Float64() < draws
	}
	for k, keyboard := range in.Keyboards {
		for n := keyboard.Keys.From; n <= keyboard.Keys.To; n++ {
			if rng.Float64() < presses {
				s.Held = append(s.Held, console.Held{Key: console.Key{Keyboard: k, Note: n}, Deep: keyboard.Touches == 2 && rng.IntN(2) == 0})
			}
		}
	}
	if len(in.Crescendo) > 0 && rng.IntN(4) == 0 {
		s.Sequence = rng.IntN(len(in.Crescendo))
		s.Stage = rng.IntN(len(in.Crescendo[s.Sequence].Stages) + 1)
	}
	s.Tutti = rng.IntN(8) == 0
	return s
}
