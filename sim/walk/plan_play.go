package walk

import (
	"fmt"
	"slices"

	"trundle/console"
)

// wind has wind on and nothing drawn, then each stop drawn without keys.
func (p *planner) wind() {
	p.add(Step{ID: "ciphers", Phase: Ciphers, Group: "ciphers", Do: "have the blower started at its own switch; nothing drawn, nothing held", Expect: silence, Ask: true})
	for _, stop := range p.in.Stops {
		w := p.drawing(stop)
		p.add(Step{ID: "runs " + stop.ID, Phase: Runs, Group: "runs", Do: "draw " + stop.ID + ", no key", Expect: silence + ", nothing murmurs",
			Moves: w.moves(), Ask: p.loud(stop) || p.slides(stop)})
	}
}

// drawing draws a stop, and what gives its ranks wind.
func (p *planner) drawing(stop console.Stop) way {
	w := way{drawn: []int{stop.Control}}
	for _, t := range stop.Takes {
		for _, c := range p.admitted(t.Rank) {
			if !slices.Contains(w.drawn, c) {
				w.drawn = append(w.drawn, c)
			}
		}
	}
	return w
}

// pipes plays each stop by the keys of its division.
func (p *planner) pipes() {
	for _, stop := range p.in.Stops {
		division := p.in.Divisions[stop.Division]
		span := division.Notes.Cut(stop.Notes)
		if division.Keyboard != console.None {
			span = span.Cut(p.in.Keyboards[division.Keyboard].Keys)
		}
		for n := span.From; n <= span.To; n++ {
			w, ok := p.toLine(stop.Division, n, stop.Touch)
			if !ok {
				continue
			}
			w.drawn = append(w.drawn, p.drawing(stop).drawn...)
			items := p.opens(w, stop.Division)
			if len(items) == 0 {
				continue
			}
			p.add(Step{ID: fmt.Sprintf("pipe %s %s", stop.ID, n), Phase: Pipes, Group: stop.ID, Good: Speaks,
				Do: fmt.Sprintf("%s, %s", stop.ID, n), Expect: "it speaks, it alone, and stops", Items: items, Moves: w.moves(), Ask: p.loud(stop) || p.slides(stop)})
		}
	}
}

// firstStop is the stop by which a division is heard: its first that is not loud.
func (p *planner) firstStop(division, touch int) (console.Stop, bool) {
	best := -1
	for i, stop := range p.in.Stops {
		if stop.Division != division || stop.Touch > max(touch, 1) {
			continue
		}
		if best < 0 || p.loud(p.in.Stops[best]) && !p.loud(stop) {
			best = i
		}
	}
	if best < 0 {
		return console.Stop{}, false
	}
	return p.in.Stops[best], true
}
