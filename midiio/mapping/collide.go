package mapping

import (
	"fmt"
	"slices"

	"trundle/console/finding"
)

// Rules are those that a map is checked by.
var Rules = []string{"map-collides", "link-slow"}

// builder fills an index and finds what collides in it.
type builder struct {
	m       *Map
	way     Way
	numbers map[address]meaning // by status and number: one that has a value of its own
	clashes []clash
}

// clash is two entries of one message, by the lines that give them.
type clash struct {
	first, second int // entries
	shape         shape
	more          int // other messages of the same two lines
}

// index makes the index of one way.
func (m *Map) index(way Way) []clash {
	b := builder{m: m, way: way, numbers: map[address]meaning{}}
	m.heard[way] = index{channel: map[address]meaning{}, system: map[string]meaning{}}
	for i, e := range m.Entries {
		if e.forms[way] == nil {
			continue
		}
		for _, p := range e.forms[way].parts() {
			b.add(p.shape, meaning{i, p.role})
		}
	}
	b.crossings()
	return b.clashes
}

func (b *builder) add(s shape, of meaning) {
	x := &b.m.heard[b.way]
	if s.status == sysEx {
		key := s.key()
		if before, taken := x.system[key]; taken {
			b.clash(before, of, s)
			return
		}
		x.system[key] = of
		if s.hole != open && !slices.Contains(x.holes, s.hole) {
			x.holes = append(x.holes, s.hole)
		}
		return
	}
	a := s.address()
	before, taken := x.channel[a]
	if a.value != open && !taken {
		before, taken = x.channel[address{a.status, a.number, open}]
	}
	any := address{a.status, a.number, open}
	if a.value == open && !taken {
		before, taken = b.numbers[any]
	}
	if taken {
		if before.role != choose || of.role != choose {
			b.clash(before, of, s)
		}
		return
	}
	x.channel[a] = of
	if a.value != open {
		b.numbers[any] = of
	}
}

// crossings finds system exclusive messages that are one when an open place has
// the byte that stands there in another.
func (b *builder) crossings() {
	x := &b.m.heard[b.way]
	type opened struct {
		meaning
		hole int
	}
	seen := map[string]opened{} // with two places open, one of them its own
	for i, e := range b.m.Entries {
		if e.forms[b.way] == nil {
			continue
		}
		for _, p := range e.forms[b.way].parts() {
			for _, at := range x.holes {
				if p.status != sysEx || at >= len(p.body) || p.hole == at {
					continue
				}
				marked := []byte(p.key())
				marked[at] = hole
				of := meaning{i, p.role}
				if p.hole == open {
					if other, taken := x.system[string(marked)]; taken {
						b.clash(other, of, p.shape)
					}
				} else if other, taken := seen[string(marked)]; !taken {
					seen[string(marked)] = opened{of, p.hole}
				} else if other.hole != p.hole {
					b.clash(other.meaning, of, p.shape)
				}
			}
		}
	}
}

func (b *builder) clash(first, second meaning, s shape) {
	one, two := b.m.Entries[first.entry], b.m.Entries[second.entry]
	for i, c := range b.clashes {
		if b.m.Entries[c.first].At == one.At && b.m.Entries[c.second].At == two.At {
			b.clashes[i].more++
			return
		}
	}
	b.clashes = append(b.clashes, clash{first: first.entry, second: second.entry, shape: s})
}

// collisions indexes both ways and gives a finding for every two lines of the
// file that share a message.
func (m *Map) collisions() []finding.Finding {
	var found []finding.Finding
	told := map[[2]finding.Place]bool{}
	for _, way := range []Way{ToOrgan, ToConsole} {
		for _, c := range m.index(way) {
			first, second := m.Entries[c.first], m.Entries[c.second]
			if told[[2]finding.Place{first.At, second.At}] {
				continue
			}
			told[[2]finding.Place{first.At, second.At}] = true
			message := fmt.Sprintf("%s and %s are both %s %s", first.Name(m.in), second.Name(m.in), c.shape, way)
			if c.first == c.second {
				message = fmt.Sprintf("two states of %s are both %s %s", first.Name(m.in), c.shape, way)
			}
			if c.more > 0 {
				message += fmt.Sprintf(", and so it is with %d more", c.more)
			}
			f := finding.Finding{Rule: "map-collides", Severity: finding.Error, Place: second.At, Message: message, Fix: "give one of them another channel or number"}
			if first.At != second.At {
				f.Related = []finding.Related{{Place: first.At, Message: "the first"}}
			}
			found = append(found, f)
		}
	}
	return found
}

// String is where messages go, for people.
func (w Way) String() string {
	return [...]string{"to the organ", "to the console"}[w]
}
