package desk

import (
	"fmt"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// pinLines lists pins by board: X1  25 29..31.
func (w *Relay) pinLines(what string, pins []wiring.Terminal) []line {
	lines := []line{{text: fmt.Sprintf("%s: %d", what, len(pins)), ink: Title}}
	for _, b := range w.byBoard(pins) {
		lines = append(lines, line{text: "  " + b.board + "  " + strings.Join(b.runs, " ")})
	}
	return lines
}

// boardPins are pins of one board, neighbours as runs.
type boardPins struct {
	board string
	runs  []string
}

func (w *Relay) byBoard(pins []wiring.Terminal) []boardPins {
	var boards []boardPins
	for i := 0; i < len(pins); {
		from := pins[i]
		to := from
		for i++; i < len(pins) && pins[i] == (wiring.Terminal{On: to.On, Pin: to.Pin + 1}); i++ {
			to = pins[i]
		}
		run := fmt.Sprint(from.Pin)
		if to.Pin > from.Pin {
			run += fmt.Sprintf("..%d", to.Pin)
		}
		id, _, _ := strings.Cut(w.relay.Name(from), ".")
		if last := len(boards) - 1; last < 0 || boards[last].board != id {
			boards = append(boards, boardPins{board: id})
		}
		last := &boards[len(boards)-1]
		last.runs = append(last.runs, run)
	}
	return boards
}

// pinsOfCursor is where what the cursor is on is wired: Great C4: K1.25.
func (m *Model) pinsOfCursor() string {
	text := m.itemName(m.cursor)
	items := m.wiredAs(m.cursor)
	if items == nil {
		return text
	}
	w := m.options.Relay
	var words []string
	for _, of := range items {
		var pins []wiring.Terminal
		for _, item := range of.items {
			pins = append(pins, w.pins[item]...)
		}
		for _, b := range w.byBoard(pins) {
			words = append(words, of.what+b.board+"."+strings.Join(b.runs, " "))
		}
	}
	if words == nil {
		return text + ": on no pin"
	}
	return text + ": " + strings.Join(words, ", ")
}

// wiredItems are items of a wiring that stand for one thing, with a word for
// them where that is needed.
type wiredItems struct {
	what  string
	items []wiring.Item
}

// wiredAs lists what of the wiring has to do with an item; nil for what is
// never wired.
func (m *Model) wiredAs(i Item) []wiredItems {
	one := func(what string, kind wiring.Kind, index int) wiredItems {
		return wiredItems{what, []wiring.Item{{Kind: kind, Index: index, Of: console.None}}}
	}
	switch i.Kind {
	case KeyItem:
		return []wiredItems{
			{"", []wiring.Item{{Kind: wiring.KeyKind, Index: i.Index, Of: console.None, Note: int(i.Note)}}},
			{"second contact ", []wiring.Item{{Kind: wiring.Key2Kind, Index: i.Index, Of: console.None, Note: int(i.Note)}}},
		}
	case ControlItem:
		return []wiredItems{one("", wiring.ControlKind, i.Index), one("on coil ", wiring.KnobOnKind, i.Index), one("off coil ", wiring.KnobOffKind, i.Index), one("lamp ", wiring.LampKind, i.Index),
			one("magnet ", wiring.VentilKind, i.Index), one("magnet ", wiring.TremulantKind, i.Index)}
	case ButtonItem:
		return []wiredItems{one("", wiring.ButtonKind, i.Index), one("lamp ", wiring.LampKind, len(m.in.Controls)+i.Index)}
	case ShoeItem:
		wired := []wiredItems{one("", wiring.ShoeKind, i.Index)}
		shoe := m.in.Shoes[i.Index]
		if shoe.Crescendo {
			wired = append(wired, m.stagesWired())
		}
		for _, b := range shoe.Boxes {
			wired = append(wired, numberedItems("shades ", wiring.ShadeKind, b, m.in.Boxes[b].Magnets()))
		}
		return wired
	case CrescendoItem:
		return []wiredItems{m.stagesWired()}
	}
	return nil
}

// stagesWired are the stages of the crescendo in the sequence that it is in, or
// wired for any.
func (m *Model) stagesWired() wiredItems {
	sequence, _ := m.console.Machine().Crescendo()
	stages := numberedItems("stages ", wiring.StageKind, console.None, m.stages())
	stages.items = append(stages.items, numberedItems("", wiring.StageKind, sequence, m.stages()).items...)
	return stages
}

func numberedItems(what string, kind wiring.Kind, index, most int) wiredItems {
	of := wiredItems{what: what}
	for n := 1; n <= most; n++ {
		of.items = append(of.items, wiring.Item{Kind: kind, Index: index, Of: console.None, Note: n})
	}
	return of
}
