package desk

import "strings"

// foot is the bottom row: what is typed, or what was said, and the signs of
// keys. What was said is never cut: it may take rows above, and drives the
// signs away.
func (v view) foot() {
	if v.asking.kind != notAsking {
		v.screen.put(0, v.h-1, v.signs.fit(v.askText(), v.w), Blind)
		return
	}
	text, ink := v.message, ifInk(v.wrong, Wrong, Plain)
	if text == "" {
		text, ink = v.signs.fit(v.where(), v.w), Plain
	}
	if rows := v.signs.fold(text, v.w); len(rows) > 1 {
		for i, row := range rows {
			y := v.h - len(rows) + i
			v.screen.put(0, y, strings.Repeat(" ", v.w), Plain)
			v.screen.put(0, y, row, ink)
		}
		return
	}
	v.legend(v.screen.put(0, v.h-1, text, ink))
}

// sign is one with what it means.
type sign struct {
	sign, word string
	ink        Ink
}

// legend writes the signs of keys at the right end of the bottom row, if they
// fit behind a column, or else the key of the help.
func (v view) legend(behind int) {
	drawn := []sign{{v.signs.drawn, "drawn", On}, {v.signs.blind, "on, not drawn", Blind}}
	all := []sign{{v.signs.held, "held", Held}, {v.signs.moved, "moved", Moved}, {v.signs.coupled, "coupled", Coupled}, {v.lastKey("help"), "help", Plain}}
	for _, legend := range [][]sign{append(drawn, all...), all, all[3:]} {
		x := v.w
		for _, s := range legend {
			x -= 2 + width(s.sign) + 1 + len(s.word)
		}
		if x < behind {
			continue
		}
		for _, s := range legend {
			x = v.screen.put(x+2, v.h-1, s.sign, s.ink)
			x = v.screen.put(x+1, v.h-1, s.word, Dim)
		}
		return
	}
}

// fold breaks text into rows of so many columns, at blanks. Of a word that is
// wider, like a long path, both ends are kept.
func (s *Signs) fold(text string, columns int) []string {
	words := strings.Fields(text)
	for i, word := range words {
		words[i] = s.middle(word, columns-2)
	}
	var rows []string
	for _, l := range wrap([]line{{text: strings.Join(words, " ")}}, columns) {
		rows = append(rows, l.text)
	}
	return rows
}

// middle is text in at most so many columns, what is cut from its middle
// marked.
func (s *Signs) middle(text string, columns int) string {
	if width(text) <= columns {
		return text
	}
	front := s.fit(text, columns/2)
	return front + s.tail(text, columns-width(front))
}

// tail is the end of a text in at most so many columns.
func (s *Signs) tail(text string, columns int) string {
	for i := range text {
		if width(text[i:]) <= columns {
			return text[i:]
		}
	}
	return ""
}
