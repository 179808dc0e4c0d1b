package combination

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"trundle/console/yamldoc"
)

const head = `# Combinations, by memory and button. They are written anew at every capture;
# a control that a combination does not name is left alone by it.
format: 1
`

// Text is the memory file: as it was read where nothing was changed since, so
// that taking a change back restores it to the byte.
func (m *Memories) Text() []byte {
	if m.text == nil {
		m.text = m.write()
	}
	return m.text
}

func (m *Memories) write() []byte {
	var b bytes.Buffer
	b.WriteString(head)
	fmt.Fprintf(&b, "instrument: %s\n", yamldoc.Quoted(m.in.Name))
	if len(m.locked) > 0 {
		var numbers []string
		for _, memory := range slices.Sorted(maps.Keys(m.locked)) {
			numbers = append(numbers, strconv.Itoa(memory))
		}
		fmt.Fprintf(&b, "locked: [%s]\n", strings.Join(numbers, ", "))
	}
	if m.tutti != nil {
		fmt.Fprintf(&b, "tutti: %s\n", m.ids(m.tutti.On, m.tutti.StrangeOn))
	}
	if len(m.stages) > 0 {
		b.WriteString("crescendo:\n")
	}
	for _, sequence := range slices.Sorted(maps.Keys(m.stages)) {
		fmt.Fprintf(&b, "  %s:\n", yamldoc.Quoted(sequence))
		for _, stage := range slices.Sorted(maps.Keys(m.stages[sequence])) {
			set := m.stages[sequence][stage]
			fmt.Fprintf(&b, "    %d: %s\n", stage, m.ids(set.On, set.StrangeOn))
		}
	}
	if len(m.reverse) > 0 {
		b.WriteString("reversibles:\n")
	}
	for _, button := range slices.Sorted(maps.Keys(m.reverse)) {
		fmt.Fprintf(&b, "  %s: %s\n", yamldoc.Quoted(button), yamldoc.Quoted(m.reverse[button]))
	}
	m.writeMemories(&b)
	return b.Bytes()
}

// writeMemories writes combinations by memory: those of the instrument's
// buttons in their order, then those of buttons it does not have.
func (m *Memories) writeMemories(b *bytes.Buffer) {
	type entry struct {
		button string
		set    *Combination
	}
	memories := map[int][]entry{}
	for _, s := range m.Set() {
		memories[s.Memory] = append(memories[s.Memory], entry{m.in.Combination.Buttons[s.Button].ID, m.sets[s]})
	}
	for _, s := range m.strange {
		memories[s.memory] = append(memories[s.memory], entry{s.button, s.set})
	}
	if len(memories) > 0 {
		b.WriteString("memories:\n")
	}
	for _, memory := range slices.Sorted(maps.Keys(memories)) {
		fmt.Fprintf(b, "  %d:\n", memory)
		for _, e := range memories[memory] {
			fmt.Fprintf(b, "    %s: {on: %s, off: %s}\n", yamldoc.Quoted(e.button), m.ids(e.set.On, e.set.StrangeOn), m.ids(e.set.Off, e.set.StrangeOff))
		}
	}
}

// ids is a list of controls, with those that the instrument does not have.
func (m *Memories) ids(controls []int, strange []string) string {
	list := make([]string, 0, len(controls)+len(strange))
	for _, c := range controls {
		list = append(list, yamldoc.Quoted(m.in.Controls[c].ID))
	}
	for _, id := range strange {
		list = append(list, yamldoc.Quoted(id))
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// Controls lists the ids of a combination's controls, those unknown too.
func (m *Memories) Controls(set *Combination) (on, off []string) {
	name := func(controls []int, strange []string) []string {
		var list []string
		for _, c := range controls {
			list = append(list, m.in.Controls[c].ID)
		}
		return append(list, strange...)
	}
	return name(set.On, set.StrangeOn), name(set.Off, set.StrangeOff)
}
