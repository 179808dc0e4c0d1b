package probe

import (
	"trundle/console"
	"trundle/sim/wiring"
)

// Answers are the valves that open, by step and chord; with a plug in, what is
// driven through it, in two halves (Loop.Half).
type Answers [][]Set

// Simulate is what a relay answers to a plan.
func Simulate(p Plan, r *wiring.Relay, in *console.Instrument) Answers {
	x := CompileWith(r, in, p.Loop)
	answers := make(Answers, len(p.Steps))
	for i, s := range p.Steps {
		answers[i] = make([]Set, len(s.Chords))
	}
	var s space
	for _, b := range x.blocks(p, p.chords()) {
		for i, open := range columns(s.run(x, b.contacts), len(b.chords)) {
			answers[b.chords[i].step][b.chords[i].chord] = open
		}
	}
	return answers
}

// chordAt is where a chord stands in a plan.
type chordAt struct{ step, chord int }

func (p Plan) chords() []chordAt {
	var list []chordAt
	for s, step := range p.Steps {
		for c := range step.Chords {
			list = append(list, chordAt{s, c})
		}
	}
	return list
}

// block is up to 64 chords of a plan, and the contacts that are made in each.
type block struct {
	chords   []chordAt
	contacts []word
}

// mask has the bits of the chords.
func (b block) mask() word { return ^word(0) >> (64 - len(b.chords)) }

func (x *Running) blocks(p Plan, chords []chordAt) []block {
	var list []block
	for len(chords) > 0 {
		n := min(64, len(chords))
		b := block{chords[:n], make([]word, len(x.contacts)+1)}
		for i, at := range b.chords {
			x.set(b.contacts, 1<<i, p.Steps[at.step].Chords[at.chord], p.Steps[at.step].Draw)
		}
		list, chords = append(list, b), chords[n:]
	}
	return list
}

// columns are the first so many columns of a matrix of bits, of which each word
// is a row.
func columns(rows []word, count int) []Set {
	sets := make([]Set, count)
	for i := range sets {
		sets[i] = newSet(len(rows))
	}
	for w := range (len(rows) + 63) / 64 {
		square := turned(rows[w*64 : min(len(rows), w*64+64)])
		for i := range sets {
			sets[i][w] = square[i]
		}
	}
	return sets
}

// rowsOf is the matrix of which sets are the columns.
func rowsOf(sets []Set, count int) []word {
	rows := make([]word, 0, count+63)
	for w := range (count + 63) / 64 {
		var square [64]word
		for i, set := range sets {
			square[i] = set[w]
		}
		square = turned(square[:])
		rows = append(rows, square[:]...)
	}
	return rows[:count]
}

// turned is a square of 64 by 64 bits with its rows as columns, by exchanging
// ever smaller corners (Warren, Hacker's Delight, 7-3).
func turned(rows []word) (square [64]word) {
	copy(square[:], rows)
	for width, low := 32, word(1)<<32-1; width > 0; width, low = width/2, low^low<<(width/2) {
		for i := range square {
			if i&width == 0 {
				swap := (square[i]>>width ^ square[i+width]) & low
				square[i] ^= swap << width
				square[i+width] ^= swap
			}
		}
	}
	return square
}
