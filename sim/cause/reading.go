package cause

import (
	"cmp"
	"slices"
	"strings"

	"trundle/console/finding"
	"trundle/sim/wiring"
)

// reading is a suspect that would account for all, with what it takes to write
// its cure.
type reading struct {
	suspect
	takes   int // effort, but for spare pins
	rows    int // of files, with those of spare pins
	strange int // rows that the table then has and that do not follow from the wiring, or lead to what is read
	wind    int // magnets of ventils and tremulants that their own knob does not work then
	cells   int // of the table or the joins that are written otherwise
}

// readings are suspects by what they take to write.
func (m *model) readings(open []suspect) []reading {
	p := m.paper()
	var all []reading
	for _, s := range open {
		s = p.widened(s)
		cure := p.onOwnWires(s.cure)
		r := reading{suspect: s, takes: p.effort(cure)}
		r.wind, r.strange = m.unlike(with(m.r, cure))
		old, fresh := 0, 0
		for _, e := range p.edits(tidied(m.r, []change{cure})[0]) {
			if fresh += len(e.New); e.Old != "" {
				old++
			}
			for _, row := range e.New {
				if s.layer != inWiring {
					r.cells += cellsApart(e.Old, row)
				}
			}
		}
		r.rows = max(old, fresh)
		all = append(all, r)
	}
	slices.SortStableFunc(all, func(a, b reading) int {
		return cmp.Or(a.wind-b.wind, a.takes-b.takes, a.rows-b.rows, a.strange-b.strange, a.cells-b.cells)
	})
	return all
}

// worseThan reports whether a reading need not be offered beside another: it
// leaves a ventil or tremulant without its knob, takes rows more than a row of
// spare pins, or is of the same file, not of joins, and what is written is less usual, or more.
func (r reading) worseThan(other reading) bool {
	if r.wind > other.wind || r.rows > other.rows+1 {
		return true
	}
	return r.layer == other.layer && r.layer != inJoins && cmp.Or(other.strange-r.strange, other.cells-r.cells) < 0
}

// mayBeMeant reports whether a reading is offered though it takes more than
// another: pins by the sides of a chest are often meant, and the table to follow.
func (r reading) mayBeMeant(other reading) bool {
	const little = 10 // more effort than another; single pins take far more
	return r.rule == "sides-mixed" && r.layer != other.layer && r.rows <= other.rows && r.takes <= other.takes+little
}

// cellsApart is in how many cells two rows of a table differ.
func cellsApart(a, b string) int {
	x, y := strings.Split(a, ","), strings.Split(b, ",")
	n := max(len(x), len(y)) - min(len(x), len(y))
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			n++
		}
	}
	return n
}

// broken is how often a relay breaks each rule of the wiring.
func (m *model) broken(r *wiring.Relay) map[string]int {
	n := map[string]int{}
	for _, f := range wiring.Check(r, m.in) {
		if f.Severity == finding.Error {
			n[f.Rule]++
		}
	}
	return n
}

// faulty reports whether a relay that is cured breaks a rule of the wiring
// oftener than before.
func (m *model) faulty(s suspect, before map[string]int) bool {
	for rule, n := range m.broken(with(m.r, tidied(m.r, []change{s.cure})[0])) {
		if n > before[rule] {
			return true
		}
	}
	return false
}

// tidiest are the readings that leave least amiss: of what the rules find, of cables
// that are listed and used nowhere, and of such as begin at several boards. Of those
// in the joins, they are the ones in which least is written.
func (m *model) tidiest(tied []reading) (least []reading) {
	best := 0
	for _, r := range tied {
		cured := with(m.r, tidied(m.r, []change{m.paper().onOwnWires(r.cure)})[0])
		amiss := len(idleCables(cured)) + cablesParted(cured)
		for _, f := range wiring.Check(cured, m.in) {
			if f.Severity != finding.Note {
				amiss++
			}
		}
		if least == nil || amiss < best {
			least, best = nil, amiss
		}
		if amiss == best {
			least = append(least, r)
		}
	}
	return slices.DeleteFunc(slices.Clone(least), func(r reading) bool {
		return slices.ContainsFunc(least, func(other reading) bool { return r.layer == inJoins && other.layer == inJoins && other.cells < r.cells })
	})
}

// cablesParted counts the boards and strips at which cables begin, but for one each.
func cablesParted(r *wiring.Relay) (parted int) {
	at := map[string][]int{}
	begins := func(cable string, pins []wiring.Terminal) {
		if cable == "" || len(pins) == 0 || slices.Contains(at[cable], pins[0].On) {
			return
		}
		if at[cable] = append(at[cable], pins[0].On); len(at[cable]) > 1 {
			parted++
		}
	}
	for _, row := range r.Soldered() {
		begins(row.Cable, row.Pins)
	}
	for _, j := range r.Joins {
		begins(j.Cable, j.From)
	}
	return parted
}
