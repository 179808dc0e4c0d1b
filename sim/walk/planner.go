package walk

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
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
	played way                               // what it plays
	meter  *meter                            // nil without a circuit
	hung   map[wiring.Item][]wiring.Terminal // the output pins of items, and the input pins
}

func newPlanner(in *console.Instrument, r *wiring.Relay, c *circuit.Circuit, o Options) *planner {
	p := &planner{in: in, r: r, c: c, o: o, sound: console.NewSounding(in)}
	if r != nil {
		p.hung = wiring.PinsOf(r, r.Soldered())
	}
	if c != nil {
		p.meter = newMeter(c, in)
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
	s.Sum = p.sum(s)
	p.steps = append(p.steps, s)
}

// sum is a digest of what a person reads and of what hangs where: the first digits of
// a SHA-256.
func (p *planner) sum(s Step) string {
	text := []string{s.First, s.Do, s.Expect}
	for _, item := range s.Items {
		text = append(text, p.words(item))
	}
	for _, m := range s.Comes {
		text = append(text, fmt.Sprintf("%s comes %d", p.words(m.Item), m.Value))
	}
	for _, pin := range s.Pins {
		text = append(text, p.r.Name(pin))
	}
	sum := sha256.Sum256([]byte(strings.Join(text, "\n")))
	return hex.EncodeToString(sum[:8])
}

// limit is how long the magnets of an item may be on, in ms; 0 for as long as one
// likes.
func (p *planner) limit(item wiring.Item) (least float64) {
	if p.c == nil {
		return 0
	}
	for _, l := range p.meter.loads[item] {
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
