package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// aboutLines say what the item under the cursor is for and, where it moves many
// things at once, which they would be.
func (m *Model) aboutLines() []line {
	switch i := m.cursor; i.Kind {
	case ControlItem:
		return m.aboutControl(i.Index)
	case ButtonItem, TuttiItem, SetItem:
		return m.aboutButton()
	case CrescendoItem, SequenceItem:
		return m.aboutCrescendo()
	case ShoeItem:
		if m.in.Shoes[i.Index].Crescendo {
			return m.aboutCrescendo()
		}
		return m.aboutShoe(i.Index)
	case MemoryItem:
		return m.aboutMemory()
	case TransposerItem:
		return plain("the keys are heard so many semitones higher; a relay knows nothing of it")
	}
	return nil
}

func plain(texts ...string) []line {
	var lines []line
	for _, text := range texts {
		lines = append(lines, line{text: text})
	}
	return lines
}

// aboutButton is what pressing it would change, and what it was set to.
func (m *Model) aboutButton() []line {
	o := m.outlook()
	if o == nil {
		return append(plain("set is held together with another piston, which captures what is drawn:"), m.byGroup("drawn", m.drawnControls())...)
	}
	lines := plain(o.says...)
	for _, does := range o.does {
		lines = append(lines, line{text: "pressed now it " + does})
	}
	changes := slices.Concat(m.byGroup("draws", o.draws), m.byGroup("pushes in", o.pushes), m.byGroup("turns on", o.adds), m.byGroup("turns off", o.drops))
	switch {
	case changes != nil:
		lines = append(lines, line{text: "pressed now, " + o.pipesText(), ink: Blind})
		lines = append(lines, changes...)
	case o.does == nil && o.says == nil:
		lines = append(lines, line{text: "pressed now it changes nothing", ink: Blind})
	}
	return append(lines, m.setTo()...)
}

// pipesText is what becomes of the pipes that speak.
func (o *outlook) pipesText() string {
	if o.comes+o.goes+o.stays == 0 {
		return "with no pipe speaking"
	}
	return fmt.Sprintf("%s, %d fall silent, %d go on", verb(o.comes, "1 pipe begins", fmt.Sprintf("%d pipes begin", o.comes)), o.goes, o.stays)
}

// setTo is what the general or divisional under the cursor keeps.
func (m *Model) setTo() []line {
	slot, ok := m.slotOf(m.cursor)
	if !ok || m.in.Combination.Buttons[slot.Button].Fixed {
		return nil
	}
	set := m.console.Memories().Combination(slot)
	switch {
	case set == nil:
		return plain(fmt.Sprintf("to set it: draw what it should keep, press %s, this piston, and %s again", m.firstKey("set"), m.firstKey("set")))
	case len(set.On) == 0:
		return plain(fmt.Sprintf("memory %d keeps nothing drawn on it", slot.Memory))
	}
	return append(plain(fmt.Sprintf("memory %d keeps %d of %d drawn on it", slot.Memory, len(set.On), len(set.On)+len(set.Off))), m.byGroup("", set.On)...)
}

// aboutCrescendo is what the stage where it stands adds, and the next.
func (m *Model) aboutCrescendo() []line {
	sequence, stage := m.console.Machine().Crescendo()
	at := func(stage int) standing {
		c := m.twin(m.drawn(), m.console.Machine().Tutti())
		c.Do(0, console.Event{Kind: console.StageEvent, Value: stage})
		return m.standing(c)
	}
	stages := fmt.Sprintf("stage %d of %d", stage, m.stages())
	if name := m.in.Crescendo[sequence].Name; name != "" {
		stages += ", in the order " + m.signs.text(name)
	}
	lines := []line{{text: stages + "; no knob moves", ink: Blind}}
	shut, here := at(0), at(stage)
	if stage > 0 {
		var o outlook
		o.compare(m.in, shut, here)
		lines = append(lines, m.byGroup("on by it", o.adds)...)
		lines = append(lines, m.byGroup("off by it", o.drops)...)
		if o.adds == nil && o.drops == nil {
			lines = append(lines, line{text: "  all of it is drawn already"})
		}
	}
	if stage < m.stages() {
		var o outlook
		o.compare(m.in, here, at(stage+1))
		lines = append(lines, line{text: fmt.Sprintf("stage %d:", stage+1)})
		lines = append(lines, m.byGroup("turns on", o.adds)...)
		lines = append(lines, m.byGroup("turns off", o.drops)...)
		if o.adds == nil && o.drops == nil {
			lines = append(lines, line{text: "  changes nothing: it is on already"})
		}
	}
	return lines
}

func (m *Model) aboutShoe(shoe int) []line {
	var lines []line
	for _, b := range m.in.Shoes[shoe].Boxes {
		var of []string
		for d, division := range m.in.Divisions {
			if division.Box == b {
				of = append(of, m.divisionName(d))
			}
		}
		box := m.in.Boxes[b]
		lines = append(lines, line{text: fmt.Sprintf("%s, with the %s in it: stage %d of %d, 0 is shut", m.signs.name(box.ID, box.Name), strings.Join(of, ", "), m.console.Machine().BoxStage(b), box.Stages)})
	}
	return lines
}

// aboutMemory is what was set in the current memory.
func (m *Model) aboutMemory() []line {
	memory, memories := m.console.Memory(), m.console.Memories()
	var set []string
	for _, slot := range memories.Set() {
		if slot.Memory == memory {
			set = append(set, m.in.Combination.Buttons[slot.Button].ID)
		}
	}
	lines := plain(fmt.Sprintf("memory %d of %d: nothing is set", memory, m.in.Combination.Memories))
	if set != nil {
		lines = plain(fmt.Sprintf("memory %d of %d: set are %s", memory, m.in.Combination.Memories, strings.Join(set, ", ")))
	}
	if memories.Locked(memory) {
		lines = append(lines, line{text: "it is locked: a piston recalls, and captures nothing", ink: Blind})
	}
	return lines
}

func (m *Model) drawnControls() []int {
	var list []int
	for c, drawn := range m.drawn() {
		if drawn {
			list = append(list, c)
		}
	}
	return list
}

// byGroup lists controls, a line for the stops of each division, one for
// couplers and one for the rest, behind a word that says what of them.
func (m *Model) byGroup(what string, controls []int) []line {
	var groups []string
	names := map[string][]string{}
	for _, c := range controls {
		g := m.groupOf(c)
		if names[g] == nil {
			groups = append(groups, g)
		}
		names[g] = append(names[g], tied(m.controlName(c)))
	}
	var lines []line
	for _, g := range groups {
		lines = append(lines, line{text: fmt.Sprintf("  %-9s %s: %s", what, g, strings.Join(names[g], ", ")), hang: 14})
		what = ""
	}
	return lines
}

// groupOf is where a control stands on the console.
func (m *Model) groupOf(c int) string {
	switch control := m.in.Controls[c]; control.Kind {
	case console.StopControl:
		return m.divisionName(m.in.Stops[control.Index].Division)
	case console.TremulantControl:
		if d := m.in.Tremulants[control.Index].Divisions; len(d) > 0 {
			return m.divisionName(d[0])
		}
	case console.CouplerControl, console.UnisonOffControl:
		return "couplers"
	}
	return "organ"
}

// controlName is a control as its knob says it.
func (m *Model) controlName(c int) string {
	switch control := m.in.Controls[c]; control.Kind {
	case console.StopControl:
		return withFeet(m.signs, control.Name, m.signs.feet(m.in.Stops[control.Index].Feet))
	case console.CouplerControl:
		return withFeet(m.signs, control.Name, couplerPitch(m.signs, m.in.Couplers[control.Index]))
	default:
		return m.signs.text(control.Name)
	}
}

// blindly says what has a control on that is not drawn, or off that is; "" when
// its knob says how it is.
func (m *Model) blindly(control int) string {
	machine := m.console.Machine()
	drawn, on := machine.Drawn(control), machine.On(control)
	if drawn == on {
		return ""
	}
	by := "the crescendo"
	if machine.Tutti() && m.twin(m.drawn(), false).Machine().On(control) != on {
		by = "the tutti"
	}
	if on {
		return "on by " + by + ", not drawn"
	}
	return "drawn, and kept off by " + by
}
