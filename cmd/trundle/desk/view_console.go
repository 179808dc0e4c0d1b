package desk

import (
	"fmt"
	"strings"

	"trundle/console"
)

// console draws what of the console is in its window.
func (v view) console(r rect) {
	window := v.screen.part(r.x, r.y, r.w, r.h)
	for _, w := range v.layout.Words {
		if y := w.Y - v.top; y >= 0 && y < r.h {
			window.put(w.X, y, w.Text, w.Ink)
		}
	}
	for _, b := range v.layout.Boards {
		if y := b.Y - v.top; y+2 >= 0 && y < r.h {
			v.board(window, b, y)
		}
	}
	for _, s := range v.layout.Spots {
		if y := s.Y - v.top; s.Kind != KeyItem && s.Y >= 0 && y >= 0 && y < r.h {
			v.spot(window, s, y)
		}
	}
	v.more(window, v.top > 0, v.layout.H-v.top > r.h)
}

// more marks at the right edge of a window that there is more above or below it.
func (v view) more(window area, above, below bool) {
	if above {
		window.put(window.w-width(v.signs.above), 0, v.signs.above, Title)
	}
	if below {
		window.put(window.w-width(v.signs.below), window.h-1, v.signs.below, Title)
	}
}

// spot draws an item that is no key.
func (v view) spot(window area, s Spot, y int) {
	cursor := s.Item == v.cursor
	switch s.Kind {
	case ControlItem:
		sign, ink := v.controlSign(s.Index)
		x := window.mark(s.X, y, sign+" ", ink, cursor)
		window.mark(x, y, s.Label, ifInk(ink == Dim, Plain, ink), cursor)
	case SpeedItem:
		speed := v.Model.console.Machine().Speed(s.Index)
		window.mark(s.X, y, fmt.Sprintf("its speed %d/%d", speed, len(v.in.Tremulants[s.Index].Speeds)), Plain, cursor)
	case ButtonItem:
		left, right := "[", "]"
		if slot, ok := v.slotOf(s.Item); ok && slot == v.marked {
			left, right = "<", ">"
		}
		x := window.mark(s.X, y, left+s.Label+right, ifInk(v.Model.console.Lamp(s.Index), On, Plain), cursor)
		if v.Model.console.Lamp(s.Index) {
			window.put(x, y, v.signs.lamp, On)
		}
	case ShoeItem:
		v.shoe(window, s, y, cursor)
	}
}

// controlSign says how a control stands.
func (v view) controlSign(control int) (string, Ink) {
	machine := v.Model.console.Machine()
	drawn, on := machine.Drawn(control), machine.On(control)
	switch {
	case v.Model.console.Stuck(control):
		return v.signs.stuck, Wrong
	case drawn && on:
		return v.signs.drawn, On
	case on:
		return v.signs.blind, Blind
	case drawn:
		return v.signs.dropped, Wrong
	}
	return v.signs.off, Dim
}

// shoe draws the travel of a shoe, and its stage, which carries the cursor: a
// full travel turned over would look empty.
func (v view) shoe(window area, s Spot, y int, cursor bool) {
	position := v.Model.console.Machine().Position(s.Index)
	full := (position*s.W + console.ShoeMost/2) / console.ShoeMost
	window.put(s.X, y, strings.Repeat(v.signs.full, full)+strings.Repeat(v.signs.empty, s.W-full), Plain)
	window.mark(s.X+s.W+1, y, fmt.Sprintf("%d/%d", v.shoeStage(s.Index), v.shoeStages(s.Index)), Plain, cursor)
}

// board draws the keys of a keyboard: sharps above naturals, and the octaves
// below them.
func (v view) board(window area, b Board, y int) {
	keys := v.in.Keyboards[b.Keyboard].Keys
	shift := v.shift(b)
	own := window.part(v.layout.Margin, 0, window.w-v.layout.Margin, window.h)
	at := func(n console.Note) int { return b.X + column(keys.From, n) - shift - v.layout.Margin }
	for n := keys.From; n <= keys.To; n++ {
		row := y + 1
		if isSharp(n) {
			row = y
		}
		sign, ink := v.keySign(console.Key{Keyboard: b.Keyboard, Note: n})
		own.mark(at(n), row, sign, ink, v.cursor == keyItem(console.Key{Keyboard: b.Keyboard, Note: n}))
	}
	for n := keys.From; n <= keys.To; n++ {
		if n%12 == 0 {
			own.put(at(n), y+2, v.signs.note(n), Dim)
		}
	}
	if v.plays.Keyboard == b.Keyboard {
		v.octave(own, keys, at, y+2)
	}
}

// octave marks where the letters play.
func (v view) octave(own area, keys console.Span, at func(console.Note) int, y int) {
	from, to := max(v.plays.Note, keys.From), min(v.plays.Note+11, keys.To)
	for x := at(from); x <= at(to); x++ {
		own.put(x, y, v.signs.under, Held)
	}
	if from%12 == 0 {
		own.put(at(from), y, v.signs.note(from), Held)
	}
}

// keySign says how a key stands: held, moved by a coupler, or only heard on
// the line of a division at home there.
func (v view) keySign(k console.Key) (string, Ink) {
	machine := v.Model.console.Machine()
	sounding := machine.Sounding()
	home, line := v.heardAtHome(k)
	switch {
	case machine.Held(k) && v.deep(k):
		return v.signs.deep, Held
	case machine.Held(k) && home && !line:
		return v.signs.mute, Held
	case machine.Held(k):
		return v.signs.held, Held
	case sounding.Moved(k.Keyboard, k.Note):
		return v.signs.moved, Moved
	case line:
		return v.signs.coupled, Coupled
	case isSharp(k.Note):
		return v.signs.sharp, Dim
	}
	return v.signs.natural, Dim
}

// heardAtHome reports whether a division is at home on the keyboard of a key,
// and hears that note.
func (m *Model) heardAtHome(k console.Key) (home, line bool) {
	for d, division := range m.in.Divisions {
		if division.Keyboard == k.Keyboard {
			home = true
			line = line || m.console.Machine().Sounding().Line(d, k.Note)
		}
	}
	return home, line
}

// deep reports a key that someone holds to its second contact.
func (v view) deep(k console.Key) bool {
	if v.in.Keyboards[k.Keyboard].Touches < 2 {
		return false
	}
	for h, contacts := range v.held {
		if h.Key == k && contacts == 2 {
			return true
		}
	}
	return false
}
