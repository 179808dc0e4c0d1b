package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// itemName is an item in words, with its id where files name it by one.
func (m *Model) itemName(i Item) string {
	switch i.Kind {
	case KeyItem:
		return m.keyboardName(i.Index) + " " + m.signs.note(i.Note)
	case ControlItem:
		s, _ := m.layout.Spot(i)
		return s.Label + " (" + m.in.Controls[i.Index].ID + ")"
	case ButtonItem:
		b := m.in.Combination.Buttons[i.Index]
		name, kind := m.signs.text(b.Name), string(m.buttonKind(i.Index))
		if !strings.EqualFold(name, kind) {
			name = kind + " " + name
		}
		return name + " (" + b.ID + ")"
	case ShoeItem:
		return m.signs.text(m.in.Shoes[i.Index].Name) + " shoe"
	case PipeItem:
		rank := m.in.Ranks[m.in.RankOf(i.Index)]
		return fmt.Sprintf("%s:%d", rank.ID, i.Index-rank.First+1)
	case MemoryItem:
		return "memory"
	case TuttiItem:
		return "tutti"
	case SetItem:
		return "set: hold it, and press what is to be captured"
	case CrescendoItem:
		return "crescendo"
	case SequenceItem:
		return "the crescendo's order"
	case TransposerItem:
		return "transposer, in semitones"
	case SpeedItem:
		return "speed of " + m.signs.text(m.in.Tremulants[i.Index].Name)
	}
	return ""
}

func (m *Model) keyboardName(k int) string {
	return m.signs.name(m.in.Keyboards[k].ID, m.in.Keyboards[k].Name)
}

// helpLines are all keys and what they do.
func (m *Model) helpLines() []line {
	var lines []line
	add := func(keys, what string) {
		lines = append(lines, line{text: fmt.Sprintf("  %-18s %s", keys, what)})
	}
	for _, a := range Actions {
		if head := heads[a.Action]; head != "" {
			lines = append(lines, line{text: head, ink: Title})
		}
		if a.Action == "octave-down" {
			for side := 1; side >= 0; side-- {
				add(m.lettersOf(side))
			}
		}
		add(strings.Join(m.keys.of(a.Action), " "), a.What)
	}
	lines = append(lines, line{text: "The mouse", ink: Title})
	for _, l := range [][2]string{
		{"press on a key", "holds it until the release; it may be drawn along"},
		{"second button", "holds a key until again; elsewhere it only puts the cursor"},
		{"click", "draws a stop or coupler, presses a button, shows a pane"},
		{"drag on a shoe", "moves it; the wheel moves it by stages"},
		{"wheel", "scrolls the console, or the pane"},
	} {
		add(l[0], l[1])
	}
	lines = append(lines, line{text: "Signs", ink: Title})
	s := m.signs
	for _, l := range [][2]string{
		{s.held, "a key that is held"}, {s.mute, "held, and cut off from its own division"}, {s.deep, "held to its second contact"},
		{s.moved, "a key that a coupler moves"}, {s.coupled, "a note that a coupler plays"},
		{s.drawn, "drawn"}, {s.blind, "on without being drawn: by crescendo or tutti"}, {s.dropped, "drawn, and put off by crescendo or tutti"},
		{s.stuck, "did not arrive where a button sent it"}, {s.lamp, "lit"}, {"< >", "a piston that is marked to be copied or swapped"},
		{s.above + " " + s.below, "at the right edge: more above, more below"},
	} {
		add(l[0], l[1])
	}
	return slices.Clip(lines)
}

// lettersOf are the letters of a row, and the notes that they play: 0 begins
// with C, 1 with C sharp.
func (m *Model) lettersOf(side int) (letters, played string) {
	var keys, names []string
	for above := side; above < len(notes); above += 2 {
		keys = append(keys, strings.Join(m.keys.of(notes[above]), "/"))
		names = append(names, strings.TrimRight(m.signs.note(console.Note(above%12)), "-0123456789"))
	}
	return strings.Join(keys, " "), strings.Join(names, " ")
}
