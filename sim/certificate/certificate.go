// Package certificate writes the question whether a relay plays an instrument
// as formulas that any SAT solver can answer, so that nobody has to trust the
// proof of this program.
//
// It shares no code with that proof. What should sound it takes from the
// definition as console/plain reads it, what the relay does from the relay's
// own definition, both as gates over the same inputs: controls that are on
// and contacts under keys. A formula asks for a state in which some output of
// a group differs; it has none exactly when all of them agree.
package certificate

import (
	"cmp"
	"slices"

	"trundle/console"
	"trundle/sim/wiring"
)

// MaxFormulas is the most formulas of a certificate.
const MaxFormulas = 400

// smallGroup is the fewest outputs of a formula, where there are so many.
const smallGroup = 16

// Certificate is the question about every valve of an instrument.
type Certificate struct {
	in      *console.Instrument
	circuit circuit
	inputs  inputs
	wanted  []lit // by valve: open in the instrument
	opened  []lit // by valve: opened by the relay
	pins    []pin
}

// pin is an input pin that contacts are wired to, or an output pin that is
// driven, and its literal.
type pin struct {
	name string
	on   lit
}

// New makes the certificate of a relay with the wiring as soldered. An error
// means that the relay's definition does not say what it does.
func New(in *console.Instrument, r *wiring.Relay) (*Certificate, error) {
	c := &Certificate{in: in}
	c.circuit.input() // yes
	c.inputs = newInputs(&c.circuit, in)
	c.circuit.forget()
	c.wanted = organ{in, &c.circuit, c.inputs}.open()
	c.circuit.forget()
	b := bench{Relay: r, circuit: &c.circuit, inputs: c.inputs, in: in, nets: wiring.Nets(r)}
	opened, err := b.open()
	if err != nil {
		return nil, err
	}
	c.opened = opened
	c.pins = b.named()
	return c, nil
}

// groups are the valves of each formula. Those that are played by the same
// notes stand together: by the pitch class, the division and the line note of
// the first stop that takes a valve.
func (c *Certificate) groups() [][]int {
	type played struct{ class, division, note, valve int }
	first := make([]played, c.in.Valves)
	for v := range first {
		first[v] = played{12, 0, 0, v} // no stop takes it
	}
	o := organ{Instrument: c.in}
	for _, stop := range slices.Backward(c.in.Stops) {
		for _, take := range stop.Takes {
			notes := c.in.Divisions[stop.Division].Notes
			for n := notes.From; n <= notes.To; n++ {
				if v, ok := o.valve(take, n); ok {
					first[v] = played{int(n) % 12, stop.Division, int(n), v}
				}
			}
		}
	}
	slices.SortFunc(first, func(a, b played) int {
		return cmp.Or(a.class-b.class, a.division-b.division, a.note-b.note, a.valve-b.valve)
	})
	size := max(smallGroup, (len(first)+MaxFormulas-1)/MaxFormulas)
	var groups [][]int
	for chunk := range slices.Chunk(first, size) {
		valves := make([]int, len(chunk))
		for i, p := range chunk {
			valves[i] = p.valve
		}
		groups = append(groups, valves)
	}
	return groups
}

// Differing are the valves in which instrument and relay differ in a state,
// by the gates of the certificate.
func (c *Certificate) Differing(s console.State) []int {
	value := c.circuit.values(c.inputs.on(c.in, s))
	var differing []int
	for v := range c.wanted {
		if holds(value, c.wanted[v]) != holds(value, c.opened[v]) {
			differing = append(differing, v)
		}
	}
	return differing
}

func holds(value []bool, l lit) bool { return value[max(l, -l)] == (l > 0) }
