package combination

import (
	"fmt"
	"slices"
	"strconv"

	"trundle/console"
	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// Rules of what is worth knowing about a memory file that can be read.
const (
	StrangeID       = "strange-id"       // an id that the instrument does not have: kept
	OtherInstrument = "other-instrument" // it was captured on another instrument
)

// Read reads a memory file; file is its name in findings. On an error finding
// there are no memories. Ids that the instrument does not have are kept, with
// a warning each.
func Read(in *console.Instrument, file string, data []byte) (*Memories, []finding.Finding) {
	root, source := yamldoc.Parse(file, data)
	r := &reader{Source: source, ids: idsOf(in), m: NewMemories(in)}
	r.m.text = data
	if root != nil {
		r.file(root)
	}
	finding.Sort(r.Findings)
	if finding.Count(r.Findings, finding.Error) > 0 {
		return nil, r.Findings
	}
	return r.m, r.Findings
}

// ids are the controls of an instrument, and the buttons that keep combinations
// of their own, by id.
type ids struct{ controls, buttons map[string]int }

func idsOf(in *console.Instrument) ids {
	of := ids{map[string]int{}, map[string]int{}}
	for c, control := range in.Controls {
		of.controls[control.ID] = c
	}
	if in.Combination != nil {
		for b, button := range in.Combination.Buttons {
			if (button.Kind == console.General || button.Kind == console.Divisional) && button.Repeats == console.None {
				of.buttons[button.ID] = b
			}
		}
	}
	return of
}

type reader struct {
	*yamldoc.Source
	ids
	m *Memories
}

func (r *reader) warn(n *yamldoc.Node, rule, fix, format string, args ...any) {
	r.Findings = append(r.Findings, finding.Finding{Rule: rule, Severity: finding.Warning, Place: r.Place(n),
		Message: fmt.Sprintf(format, args...), Fix: fix})
}

func (r *reader) file(root *yamldoc.Node) {
	f := r.Fields(root, "a memory file", []string{"format", "instrument", "locked", "tutti", "crescendo", "reversibles", "memories"})
	if !f.OK() || !f.Format() {
		return
	}
	if name := f.Text("instrument"); name != "" && name != r.m.in.Name {
		r.warn(f.Node("instrument"), OtherInstrument, "", "these memories are of %s, not of %s", name, r.m.in.Name)
	}
	for _, n := range f.Texts("locked") {
		if memory, ok := r.number(n, "a memory"); ok {
			r.m.locked[memory] = true
		}
	}
	if n := f.Node("tutti"); n != nil {
		r.m.tutti = &Combination{}
		r.m.tutti.On, r.m.tutti.StrangeOn = r.list(n, map[string]bool{})
	}
	r.crescendo(f.Map("crescendo"))
	for _, p := range f.Map("reversibles") {
		id := r.Text(p.Value)
		r.m.reverse[p.Key.Text] = id
		if _, known := r.controls[id]; !known {
			r.strange(p.Value, "control", id)
		}
	}
	r.numbered(f.Map("memories"), "a memory", r.memory)
}

func (r *reader) number(n *yamldoc.Node, what string) (int, bool) {
	i, err := strconv.Atoi(n.Text)
	if err != nil || i < 1 || i > mostNumber {
		r.Wrong(n, "", "%s is a number from 1 to %d, not %q", what, mostNumber, n.Text)
		return 0, false
	}
	return i, true
}

// numbered hands on what stands under each number, which may be written in more
// ways than one: 1 and 01 are one memory.
func (r *reader) numbered(pairs []yamldoc.Pair, what string, each func(int, *yamldoc.Node)) {
	seen := map[int]bool{}
	for _, p := range pairs {
		i, ok := r.number(p.Key, what)
		switch {
		case !ok:
		case seen[i]:
			r.Wrong(p.Key, "take it away", "%s with the number %d stands here a second time", what, i)
		default:
			seen[i] = true
			each(i, p.Value)
		}
	}
}

// mostNumber bounds the numbers of memories and stages.
const mostNumber = 9999

func (r *reader) crescendo(sequences []yamldoc.Pair) {
	for _, sequence := range sequences {
		if !r.hasSequence(sequence.Key.Text) {
			r.strange(sequence.Key, "sequence", sequence.Key.Text)
		}
		of := map[int]*Combination{}
		r.numbered(r.Map(sequence.Value), "a stage", func(stage int, n *yamldoc.Node) {
			on, strange := r.list(n, map[string]bool{})
			of[stage] = &Combination{On: on, StrangeOn: strange}
		})
		r.m.stages[sequence.Key.Text] = of
	}
}

func (r *reader) hasSequence(name string) bool {
	for i := range r.m.in.Crescendo {
		if sequenceKey(r.m.in, i) == name {
			return true
		}
	}
	return false
}

func (r *reader) memory(memory int, n *yamldoc.Node) {
	for _, p := range r.Map(n) {
		f := r.Fields(p.Value, "a combination", []string{"on", "off"})
		set, seen := &Combination{}, map[string]bool{}
		set.On, set.StrangeOn = r.list(f.Node("on"), seen)
		set.Off, set.StrangeOff = r.list(f.Node("off"), seen)
		if b, known := r.buttons[p.Key.Text]; known {
			r.m.sets[console.Slot{Memory: memory, Button: b}] = set
			continue
		}
		r.strange(p.Key, "button", p.Key.Text)
		r.m.strange = append(r.m.strange, strangeSet{memory, p.Key.Text, set})
	}
}

// list reads ids of controls: those of the instrument, and the others.
func (r *reader) list(n *yamldoc.Node, seen map[string]bool) (known []int, strange []string) {
	for _, item := range r.Texts(n) {
		id := item.Text
		if seen[id] {
			r.Wrong(item, "take it away", "%s stands in this combination a second time", id)
			continue
		}
		seen[id] = true
		if c, ok := r.controls[id]; ok {
			known = append(known, c)
			continue
		}
		r.strange(item, "control", id)
		strange = append(strange, id)
	}
	slices.Sort(known)
	return known, strange
}

func (r *reader) strange(n *yamldoc.Node, kind, id string) {
	r.warn(n, StrangeID, "it is kept as it stands", "the instrument has no %s %s", kind, id)
}
