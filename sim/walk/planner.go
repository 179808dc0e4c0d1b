package walk

import (
	"math"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// planner makes a plan.
type planner struct {
	in     *console.Instrument
	r      *wiring.Relay
	c      *circuit.Circuit
	o      Options
	steps  []Step
	sound  *console.Sounding
	search *circuit.Search
	hung   map[wiring.Item][]wiring.Terminal // the output pins of items, and the input pins
	loads  map[wiring.Item][]int
}

func newPlanner(in *console.Instrument, r *wiring.Relay, c *circuit.Circuit, o Options) *planner {
	p := &planner{in: in, r: r, c: c, o: o, sound: console.NewSounding(in), loads: map[wiring.Item][]int{}}
	if r != nil {
		p.hung = wiring.PinsOf(r, r.Soldered())
	}
	if c != nil {
		p.search = circuit.NewSearch(c, in, circuit.OnePlayer)
		for i, l := range c.Loads {
			p.loads[l.Item] = append(p.loads[l.Item], i)
		}
	}
	return p
}

func (p *planner) add(s Step) {
	if s.Good == "" {
		s.Good = Good
	}
	for _, item := range s.Items {
		s.Pins = append(s.Pins, p.hung[item]...)
		if limit := p.limit(item); limit > 0 && (s.Pulse == 0 || limit < s.Pulse) {
			s.Pulse = limit
		}
	}
	p.steps = append(p.steps, s)
}

// limit is how long the magnets of an item may be on, in ms; 0 for as long as one
// likes.
func (p *planner) limit(item wiring.Item) (least float64) {
	for _, l := range p.loads[item] {
		if class := p.c.Loads[l].Magnet; class != circuit.None {
			if pulse := p.c.Magnets[class].Pulse; pulse > 0 && (least == 0 || pulse < least) {
				least = pulse
			}
		}
	}
	return least
}

// wired reports whether an item hangs on a pin; without a relay everything may.
func (p *planner) wired(item wiring.Item) bool { return p.r == nil || len(p.hung[item]) > 0 }

// words is an item as an id: valve bourdon:14.
func (p *planner) words(item wiring.Item) string {
	return Words(p.in, item)
}

// expect is what a meter shows at the fuse that an item is behind, while the item
// is on, in a state if there is one; nil where nothing is known.
func (p *planner) expect(item wiring.Item, state *console.State) *Amps {
	if p.c == nil || len(p.loads[item]) == 0 {
		return nil
	}
	on := make([]bool, len(p.c.Loads))
	if state != nil {
		on = p.search.OnIn(*state)
	}
	for _, l := range p.loads[item] {
		on[l] = true
	}
	mine := p.c.Loads[p.loads[item][0]]
	cold, hot := p.c.Flow(on, false), p.c.Flow(on, true)
	amps := &Amps{}
	for i, l := range p.c.Loads {
		if p.behind(l.Board) == p.behind(mine.Board) {
			amps.Cold += cold.Load[i]
			amps.Hot += hot.Load[i]
		}
	}
	for _, l := range p.loads[item] {
		amps.One += cold.Load[l]
	}
	return amps
}

// behind says which boards share a fuse: those with the same number.
func (p *planner) behind(board int) int {
	if f := p.c.Boards[board].Fuse; f != circuit.None {
		return f
	}
	return len(p.c.Fuses) + board
}

// verdict is what a reading says: open, bridged, or what is good. Half of what one magnet draws is the border, so coils that are warm,
// and meters that are not the best, do not count.
func (a Amps) verdict(reading float64, good Verdict) Verdict {
	switch margin := 0.6 * a.One; {
	case reading < a.Hot-margin || math.IsNaN(reading):
		return Open
	case reading > a.Cold+margin:
		return Bridged
	}
	return good
}

// admitted are the ventils that must be on for a rank to have wind.
func (p *planner) admitted(rank int) (controls []int) {
	for _, v := range p.in.Ventils {
		if slices.Contains(v.Admits, rank) {
			controls = append(controls, v.Control)
		}
	}
	return controls
}

// loud reports a stop that takes a reed. Common practice, no source.
func (p *planner) loud(stop console.Stop) bool {
	return slices.ContainsFunc(stop.Takes, func(t console.Take) bool { return strings.Contains(p.in.Ranks[t.Rank].Family, "reed") })
}

// slides reports whether a stop moves a slider or another stop action.
func (p *planner) slides(stop console.Stop) bool {
	for _, t := range stop.Takes {
		for _, stand := range p.in.Ranks[t.Rank].Stands {
			if p.in.Chests[stand.Chest].HasNoteLines() {
				return true
			}
		}
	}
	return false
}
