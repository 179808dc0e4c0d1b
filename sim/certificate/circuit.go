package certificate

import (
	"encoding/binary"
	"slices"
)

// lit is a literal as DIMACS writes it: a variable, counted from 1, or its
// negation.
type lit int32

// Variable 1 is true in every file, so that what is always or never so has a
// literal as well.
const (
	yes lit = 1
	no  lit = -yes
)

// circuit is variables that are free, and behind them gates, each the OR of
// literals before it. An AND is an OR turned over.
type circuit struct {
	free  int     // variables without a gate: yes, then the inputs
	gates [][]lit // of the variables after those
	known map[string]lit
}

// input is a new free variable. There are none once there is a gate.
func (c *circuit) input() lit {
	c.free++
	return lit(c.free)
}

// forget makes every gate from here on a new one, so that instrument and
// relay share nothing but their inputs and the solver has all of the work.
func (c *circuit) forget() { c.known = map[string]lit{} }

func (c *circuit) or(of ...lit) lit {
	set := slices.Clone(of)
	slices.Sort(set)
	set = slices.Compact(set)
	set = slices.DeleteFunc(set, func(l lit) bool { return l == no })
	key := make([]byte, 0, 4*len(set))
	for _, l := range set {
		if _, both := slices.BinarySearch(set, -l); both || l == yes {
			return yes
		}
		key = binary.LittleEndian.AppendUint32(key, uint32(l))
	}
	switch len(set) {
	case 0:
		return no
	case 1:
		return set[0]
	}
	gate, known := c.known[string(key)]
	if !known {
		c.gates = append(c.gates, set)
		gate = lit(c.free + len(c.gates))
		c.known[string(key)] = gate
	}
	return gate
}

func (c *circuit) and(of ...lit) lit {
	turned := make([]lit, len(of))
	for i, l := range of {
		turned[i] = -l
	}
	return -c.or(turned...)
}

// gate is the literals of a variable's gate, nil when it is free.
func (c *circuit) gate(v lit) []lit {
	if int(v) <= c.free {
		return nil
	}
	return c.gates[int(v)-c.free-1]
}

// values is what every variable is, by number, when just these inputs are true.
func (c *circuit) values(on map[lit]bool) []bool {
	value := make([]bool, 1+c.free+len(c.gates))
	value[yes] = true
	for l := range on {
		value[l] = true
	}
	holds := func(l lit) bool { return value[max(l, -l)] == (l > 0) }
	for i, set := range c.gates {
		value[1+c.free+i] = slices.ContainsFunc(set, holds)
	}
	return value
}
