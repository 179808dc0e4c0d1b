// Package gen makes instruments of any size, the relays that play them, and
// faults in those relays, for tests and benchmarks. The same seed always makes
// the same.
//
// Instrument makes organs as they are built, in which no rule finds an error,
// Design a relay that plays one, and Plant one mistake of a class in it. Minute
// and Wild make what nobody builds: instruments so small that every state can
// be tried, with whatever the definition of what sounds allows, and relays with
// rows that no rule has kept in order. What no valve depends on, such as
// sostenuto, levels or the code of a box, is not made.
package gen

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"trundle/console"
)

// maker holds what is made so far.
type maker struct {
	*rand.Rand
	seed  uint64
	size  Size
	in    *console.Instrument
	taken map[string]int // ids in use, with the name space in front
	dealt map[string]int // what deal has given out

	lines [][]int // by division: its chests with note lines
	units [][]int // by division: its unit chests
}

// Instrument is the instrument of a seed and a size.
func Instrument(seed uint64, size Size) *console.Instrument {
	m := &maker{
		Rand:  rand.New(rand.NewPCG(seed, 0)),
		seed:  seed,
		size:  size,
		in:    &console.Instrument{Name: fmt.Sprintf("Instrument %d", seed)},
		taken: map[string]int{},
		dealt: map[string]int{},
	}
	m.pitch()
	m.keyboards()
	m.divisions()
	m.chests()
	m.ranks()
	m.stops()
	m.couplers()
	m.unisonOffs()
	m.winds()
	m.exchanges()
	m.controls()
	m.shoes()
	m.blinds()
	m.buttons()
	return m.in
}

func (m *maker) pitch() {
	m.in.Pitch.A4 = pick(m, []float64{440, 440, 435, 415.3})
	if m.oneIn(4) {
		for i := range m.in.Pitch.Temperament {
			m.in.Pitch.Temperament[i] = float64(m.IntN(25)-12) / 2
		}
	}
}

// oneIn is true once in n times.
func (m *maker) oneIn(n int) bool { return m.IntN(n) == 0 }

// count chooses a number.
func (m *maker) count(b Between) int { return b.Low + m.IntN(b.High-b.Low+1) }

// pick chooses one of list.
func pick[T any](r interface{ IntN(int) int }, list []T) T { return list[r.IntN(len(list))] }

// deal goes round list from a chosen start, so that the shares of what it
// gives out stay those of list: large instruments differ little in size.
func deal[T any](m *maker, what string, list []T) T {
	if _, begun := m.dealt[what]; !begun {
		m.dealt[what] = m.IntN(len(list))
	}
	m.dealt[what]++
	return list[m.dealt[what]%len(list)]
}

// id is base as an id, numbered when that name space has it already.
func (m *maker) id(space, base string) string {
	base = strings.NewReplacer(" ", "-", "/", "-").Replace(strings.ToLower(base))
	m.taken[space+":"+base]++
	n := m.taken[space+":"+base]
	if n == 1 {
		return base
	}
	return m.id(space, fmt.Sprintf("%s-no%d", base, n))
}

// title is an id as a name.
func title(id string) string {
	words := strings.Split(id, "-")
	for i, w := range words {
		words[i] = strings.ToUpper(w[:1]) + w[1:]
	}
	return strings.Join(words, " ")
}
