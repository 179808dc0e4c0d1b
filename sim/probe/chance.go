package probe

import (
	"slices"

	"trundle/console"
)

// chance are steps of controls drawn by chance, the same ones every time, with
// one chord each of a keyboard, and one for a control that picks, by turns: first
// of stops and what should be nothing to them, then of all.
func (p *planner) chance() {
	var picking []mover
	for _, m := range p.movers {
		if m.picks {
			picking = append(picking, m)
		}
	}
	stops, keyboards := 6*len(p.in.Stops), len(p.in.Keyboards)
	for i := range stops + 24*len(p.movers) {
		movers := 3
		if i < stops {
			movers = 0
		}
		draw := p.drawn(nil, 2, movers)
		p.some(draw, i%keyboards, i/keyboards)
		if len(picking) == 0 {
			continue
		}
		m := picking[i%len(picking)]
		if chords := p.choices(draw, m, m.from[0]); len(chords) > 0 {
			p.add(draw, chords[p.luck.IntN(len(chords)):][:1])
		}
	}
}

// drawn are some controls, and of the others by chance one in so many of the
// stops, one in so many of those that move keys, 0 for none, and every other one
// that should be nothing to them.
func (p *planner) drawn(some []int, stops, movers int) []int {
	draw := slices.Clone(some)
	for c, control := range p.in.Controls {
		odds := 2
		switch control.Kind {
		case console.StopControl:
			odds = stops
		case console.CouplerControl, console.UnisonOffControl, console.TransferControl, console.DivideControl:
			odds = movers
		}
		if odds > 0 && p.luck.IntN(odds) == 0 {
			draw = append(draw, c)
		}
	}
	return draw
}
