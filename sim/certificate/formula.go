package certificate

import (
	"bytes"
	"strconv"

	"trundle/console"
)

// dimacs is a formula in the DIMACS form: variables from 1, a clause a line,
// 0 at its end. The inputs have the same numbers in every formula of a
// certificate; gates are numbered anew in each.
type dimacs struct {
	variables, clauses int
	text               bytes.Buffer // the clauses
	number             map[lit]lit  // of the circuit's gates that stand here
	wanted, opened     []lit        // by output
	differs            []lit        // by output: a variable that is true only while both differ
}

// formula writes the clauses of a group of outputs: what every gate is that
// they depend on, that an output which differs really does, and that one of
// them differs.
func (c *Certificate) formula(valves []int) *dimacs {
	d := &dimacs{variables: c.circuit.free, number: map[lit]lit{}}
	d.clause(yes)
	for _, clause := range c.inputs.deep() {
		d.clause(clause...)
	}
	for _, v := range valves {
		d.wanted = append(d.wanted, d.of(&c.circuit, c.wanted[v]))
		d.opened = append(d.opened, d.of(&c.circuit, c.opened[v]))
	}
	for i := range valves {
		d.variables++
		differs := lit(d.variables)
		d.differs = append(d.differs, differs)
		d.clause(-differs, d.wanted[i], d.opened[i])
		d.clause(-differs, -d.wanted[i], -d.opened[i])
	}
	d.clause(d.differs...)
	return d
}

func (d *dimacs) clause(of ...lit) {
	line := d.text.AvailableBuffer()
	for _, l := range of {
		line = strconv.AppendInt(line, int64(l), 10)
		line = append(line, ' ')
	}
	d.text.Write(append(line, '0', '\n'))
	d.clauses++
}

// of is a literal of the circuit as it is numbered here; a gate's clauses are
// written when it is first asked for, after those of the gates before it.
func (d *dimacs) of(c *circuit, l lit) lit {
	if l < 0 {
		return -d.of(c, -l)
	}
	of := c.gate(l)
	if of == nil {
		return l
	}
	if n, known := d.number[l]; known {
		return n
	}
	any := make([]lit, 1, 1+len(of))
	for _, m := range of {
		any = append(any, d.of(c, m))
	}
	d.variables++
	gate := lit(d.variables)
	d.number[l] = gate
	any[0] = -gate
	d.clause(any...)
	for _, m := range any[1:] {
		d.clause(gate, -m)
	}
	return gate
}

// assignment is what the formula's variables are in a state, as literals in
// ascending order.
func (d *dimacs) assignment(c *Certificate, s console.State) []lit {
	value := c.circuit.values(c.inputs.on(c.in, s))
	all := make([]lit, d.variables)
	set := func(v lit, on bool) {
		if all[v-1] = -v; on {
			all[v-1] = v
		}
	}
	for v := yes; int(v) <= c.circuit.free; v++ {
		set(v, value[v])
	}
	for gate, v := range d.number {
		set(v, value[gate])
	}
	for i, differs := range d.differs {
		is := func(l lit) bool { return all[max(l, -l)-1] == l }
		set(differs, is(d.wanted[i]) != is(d.opened[i]))
	}
	return all
}
