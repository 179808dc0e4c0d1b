package walk

import (
	"math/bits"
	"slices"

	"trundle/sim/wiring"
)

// KnobPlan tries the coils and contacts of n knobs, numbered from 0, in few
// rounds. Each knob has a number as code, none of which is all zeros or all ones;
// a round moves the knobs whose code has a bit, and another those that lack it
// (the counting sequence of Kautz 1974, with the complements of Wagner 1987). So
// of any two knobs there is a round that moves the one and not the other, and
// what a contact says over all rounds tells whose coils moved its knob.
//
// Before the rounds of each way all knobs are moved by hand: a coil that is dead
// and a contact that is open say the same otherwise.
type KnobPlan struct {
	Knobs int
	Moves []KnobMove
}

// KnobMove moves knobs, group after group; then all contacts are read.
type KnobMove struct {
	Hand   bool // by hand, not by coils
	On     bool // out, or in
	Groups [][]int
}

// NewKnobPlan plans the test of n knobs, of which at most so many are pulsed at
// once; 0 is all of them.
func NewKnobPlan(n, group int) KnobPlan {
	p := KnobPlan{Knobs: n}
	if n == 0 {
		return p
	}
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	for _, on := range []bool{true, false} {
		p.Moves = append(p.Moves, KnobMove{true, !on, [][]int{all}})
		for r := range p.Rounds() {
			set := slices.DeleteFunc(slices.Clone(all), func(i int) bool { return !inRound(i, r) })
			p.Moves = append(p.Moves, KnobMove{false, !on, groups(all, group)}, KnobMove{false, on, groups(set, group)})
		}
	}
	return p
}

// Rounds is how many rounds there are each way.
func (p KnobPlan) Rounds() int { return 2 * bits.Len(uint(p.Knobs+1)) }

// inRound reports whether a round moves a knob: those by a bit of its code come
// before those by the lack of it.
func inRound(knob, round int) bool { return (knob+1)>>(round/2)&1 != round%2 }

func groups(knobs []int, size int) [][]int {
	if size <= 0 || len(knobs) <= size {
		return [][]int{knobs}
	}
	return slices.Collect(slices.Chunk(knobs, size))
}

// KnobFault is what is wrong with a knob, or two.
type KnobFault string

// What can be wrong with knobs.
const (
	OnCoilDead       KnobFault = "its coil that draws it is dead"
	OffCoilDead      KnobFault = "its coil that cancels it is dead"
	ContactOpen      KnobFault = "its contact never makes"
	ContactShut      KnobFault = "its contact never breaks"
	CoilsCrossed     KnobFault = "its two coils are exchanged"
	KnobsExchanged   KnobFault = "the coils of the two, or their contacts, are exchanged"
	OnCoilsExchanged KnobFault = "the coils that draw the two are exchanged"
	OffExchanged     KnobFault = "the coils that cancel the two are exchanged"
	Unexplained      KnobFault = "no single fault explains what its contact says"
)

// Where is what to look at for a fault, of each knob that it is at.
func (f KnobFault) Where() []wiring.Kind {
	switch f {
	case OnCoilDead, OnCoilsExchanged:
		return []wiring.Kind{wiring.KnobOnKind}
	case OffCoilDead, OffExchanged:
		return []wiring.Kind{wiring.KnobOffKind}
	case ContactOpen, ContactShut:
		return []wiring.Kind{wiring.ControlKind}
	case CoilsCrossed:
		return []wiring.Kind{wiring.KnobOnKind, wiring.KnobOffKind}
	}
	return []wiring.Kind{wiring.KnobOnKind, wiring.KnobOffKind, wiring.ControlKind}
}

// KnobFinding is a fault and the knobs it is at, ascending.
type KnobFinding struct {
	Fault KnobFault
	Knobs []int
}

// Decode finds what is wrong, given what each contact read after each move of the
// plan: read[move][knob].
func (p KnobPlan) Decode(read [][]bool) []KnobFinding {
	var found []KnobFinding
	other := map[int]KnobFinding{} // exchanges, as the one contact tells of them
	for k := range p.Knobs {
		says := make([]bool, len(read))
		for m := range read {
			says[m] = read[m][k]
		}
		fault, with := p.explain(k, says)
		switch {
		case fault == "":
		case with == k:
			found = append(found, KnobFinding{fault, []int{k}})
		default:
			other[k] = KnobFinding{fault, []int{min(k, with), max(k, with)}}
		}
	}
	for k := range p.Knobs {
		f, exchanged := other[k]
		if !exchanged {
			continue
		}
		with := f.Knobs[0] + f.Knobs[1] - k
		if back := other[with]; back.Fault != f.Fault || !slices.Equal(back.Knobs, f.Knobs) {
			found = append(found, KnobFinding{Unexplained, []int{k}})
		} else if k < with {
			found = append(found, f)
		}
	}
	slices.SortFunc(found, func(a, b KnobFinding) int { return a.Knobs[0] - b.Knobs[0] })
	return found
}

// Should is what the contact of a knob says after each move when all is well.
func (p KnobPlan) Should(knob int) []bool { return p.contact(knob, knob, false) }

// explain is the fault by which a contact says what it says, and the knob that is
// exchanged with its own; "" for none.
func (p KnobPlan) explain(k int, says []bool) (KnobFault, int) {
	is := func(on, off int) bool { return slices.Equal(says, p.contact(on, off, false)) }
	switch {
	case is(k, k):
		return "", k
	case !slices.Contains(says, true):
		return ContactOpen, k
	case !slices.Contains(says, false):
		return ContactShut, k
	case is(dead, k):
		return OnCoilDead, k
	case is(k, dead):
		return OffCoilDead, k
	case slices.Equal(says, p.contact(k, k, true)):
		return CoilsCrossed, k
	}
	for j := range p.Knobs {
		switch {
		case is(j, j):
			return KnobsExchanged, j
		case is(j, k):
			return OnCoilsExchanged, j
		case is(k, j):
			return OffExchanged, j
		}
	}
	return Unexplained, k
}

const dead = -1

// contact is what a good contact says after each move, when its knob is drawn by
// the coil of one knob and cancelled by that of another.
func (p KnobPlan) contact(on, off int, crossed bool) []bool {
	says := make([]bool, len(p.Moves))
	out := false
	for m, move := range p.Moves {
		coil := off
		if move.On {
			coil = on
		}
		moved := move.Hand
		for _, group := range move.Groups {
			moved = moved || slices.Contains(group, coil)
		}
		if moved {
			out = move.On != (crossed && !move.Hand)
		}
		says[m] = out
	}
	return says
}
