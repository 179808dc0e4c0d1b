package desk

import (
	"fmt"
	"strings"

	"trundle/console"
)

// Draw draws a model on a screen of its size.
func Draw(m *Model, g *Grid) {
	g.Clear()
	v := view{m, area{g, 0, 0, g.W, g.H}}
	switch {
	case m.tooSmall():
		v.sentence(fmt.Sprintf("The desk needs a screen of %d columns and %d rows; this one has %d and %d.", SmallestWidth, SmallestHeight, m.w, m.h))
		return
	case m.help:
		v.help()
		return
	}
	f := m.frame()
	v.head()
	v.console(f.console)
	v.pane(f)
	v.foot()
}

// view draws a model.
type view struct {
	*Model
	screen area
}

// sentence writes one sentence, on as many rows as it takes.
func (v view) sentence(text string) {
	x, y := 0, 0
	for _, word := range strings.Fields(text) {
		if x > 0 && x+1+len(word) > v.screen.w {
			x, y = 0, y+1
		} else if x > 0 {
			x++
		}
		x = v.screen.put(x, y, word, Plain)
	}
}

// head is the top row: the name of the instrument, and what holds for all of it.
func (v view) head() {
	row := v.screen.part(0, 0, v.w, 1)
	room := v.layout.W
	for _, s := range v.layout.Spots {
		if s.Y >= 0 {
			break
		}
		room = min(room, s.X-1)
	}
	row.put(0, 0, v.signs.fit(v.signs.text(v.in.Name), room), Title)
	for _, s := range v.layout.Spots {
		if s.Y >= 0 {
			break
		}
		text, ink := v.headText(s.Item)
		row.mark(s.X, 0, text, ink, s.Item == v.cursor)
	}
}

// headText is an item of the top row as it stands.
func (v view) headText(i Item) (string, Ink) {
	machine := v.Model.console.Machine()
	sequence, stage := machine.Crescendo()
	switch i.Kind {
	case MemoryItem:
		memory := v.Model.console.Memory()
		if v.Model.console.Memories().Locked(memory) {
			return fmt.Sprintf("locked %d/%d", memory, v.in.Combination.Memories), Blind
		}
		return fmt.Sprintf("memory %d/%d", memory, v.in.Combination.Memories), Plain
	case CrescendoItem:
		return fmt.Sprintf("crescendo %d/%d", stage, v.stages()), ifInk(stage > 0, Blind, Plain)
	case SequenceItem:
		return fmt.Sprintf("order %d/%d", sequence+1, len(v.in.Crescendo)), Plain
	case TuttiItem:
		return v.signs.lit(machine.Tutti()) + " tutti", ifInk(machine.Tutti(), Blind, Plain)
	case SetItem:
		lit := v.Model.console.Lamp(buttonOf(v.in, console.Set))
		return v.signs.lit(lit) + " set", ifInk(lit, Wrong, Plain)
	}
	return fmt.Sprintf("transpose %+d", machine.Transpose()), ifInk(machine.Transpose() != 0, Blind, Plain)
}

func (s *Signs) lit(on bool) string {
	if on {
		return s.lamp
	}
	return s.off
}

func ifInk(is bool, then, otherwise Ink) Ink {
	if is {
		return then
	}
	return otherwise
}

// help covers the screen.
func (v view) help() {
	v.screen.put(0, 0, v.signs.fit("The keys of the desk", v.w), Title)
	lines := v.helpLines()
	for y := 0; y < v.h-2 && y+v.helpTop < len(lines); y++ {
		l := lines[y+v.helpTop]
		v.screen.put(0, y+1, v.signs.fit(l.text, v.w), l.ink)
	}
	more := ""
	if v.helpTop+v.h-2 < len(lines) {
		more = "down for more, "
	}
	v.screen.put(0, v.h-1, v.signs.fit(more+"any other key leaves", v.w), Dim)
}
