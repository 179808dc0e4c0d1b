package probe

import (
	"math/rand/v2"
	"slices"

	"trundle/console"
)

// chance are steps of controls drawn by chance, the same ones every time, with
// one chord each of a keyboard, and one for a control that picks, by turns: first
// of stops and what should be nothing to them, then of all.
func (p *planner) chance() {
	r := rand.New(rand.NewPCG(1, uint64(len(p.in.Controls))))
	var picking []mover
	for _, m := range p.movers {
		if m.picks {
			picking = append(picking, m)
		}
	}
	stops, keyboards := 6*len(p.in.Stops), len(p.in.Keyboards)
	for i := range stops + 24*len(p.movers) {
		var draw []int
		for c, control := range p.in.Controls {
			odds := 2
			switch control.Kind {
			case console.StopControl:
			case console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
				if odds = 3; i < stops {
					continue
				}
			}
			if r.IntN(odds) == 0 {
				draw = append(draw, c)
			}
		}
		p.some(slices.Clone(draw), i%keyboards, i/keyboards)
		if len(picking) == 0 {
			continue
		}
		m := picking[i%len(picking)]
		if chords := p.choices(draw, m, m.from[0]); len(chords) > 0 {
			p.add(draw, chords[r.IntN(len(chords)):][:1])
		}
	}
}
