package desk

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Ink is what a cell means; the terminal chooses a colour for it. Whatever an
// ink says is said by a letter or a shape as well.
type Ink uint8

const (
	Plain Ink = iota
	Dim       // what is there, and off
	Title
	On      // drawn, lit
	Blind   // on without being drawn
	Held    // a key that is held
	Moved   // a key that a coupler moves
	Coupled // a note that a coupler plays
	Wrong   // stuck, refused, at fault
	inks    // how many there are
)

// Cell is one place of the screen.
type Cell struct {
	Text   string // one character with what combines with it; "" behind one that is two wide
	Ink    Ink
	Cursor bool // the cursor stands on it
}

// Grid is a whole screen, row by row.
type Grid struct {
	W, H  int
	Cells []Cell
}

// NewGrid is an empty screen.
func NewGrid(w, h int) *Grid {
	g := &Grid{W: w, H: h, Cells: make([]Cell, w*h)}
	g.Clear()
	return g
}

// Clear makes every place blank.
func (g *Grid) Clear() {
	for i := range g.Cells {
		g.Cells[i] = Cell{Text: " "}
	}
}

// At is the cell in column x of row y, both from 0; nil beyond the edge.
func (g *Grid) At(x, y int) *Cell {
	if x < 0 || y < 0 || x >= g.W || y >= g.H {
		return nil
	}
	return &g.Cells[y*g.W+x]
}

// String is the text of the screen, without blanks at the ends of rows.
func (g *Grid) String() string {
	var b strings.Builder
	for y := range g.H {
		var row strings.Builder
		for _, c := range g.Cells[y*g.W : (y+1)*g.W] {
			row.WriteString(c.Text)
		}
		b.WriteString(strings.TrimRight(row.String(), " "))
		b.WriteByte('\n')
	}
	return b.String()
}

// area is a part of a screen; what is put there stays in it. Rows and columns
// count from its corner.
type area struct {
	g          *Grid
	x, y, w, h int
}

// put writes text from a column on and returns the column behind it. Text that
// does not fit is cut.
func (a area) put(x, y int, text string, ink Ink) int { return a.mark(x, y, text, ink, false) }

// mark is put, with the cursor on it or not.
func (a area) mark(x, y int, text string, ink Ink, cursor bool) int {
	if y < 0 || y >= a.h {
		return x
	}
	state := -1
	for text != "" && x < a.w {
		var char string
		var width int
		char, text, width, state = firstChar(text, state)
		switch {
		case x+width > a.w:
			char, width = " ", a.w-x
		case x < 0:
			x += width
			continue
		}
		if c := a.g.At(a.x+x, a.y+y); c != nil && width > 0 {
			*c = Cell{char, ink, cursor}
			if next := a.g.At(a.x+x+1, a.y+y); width == 2 && next != nil {
				*next = Cell{"", ink, cursor}
			}
		}
		x += width
	}
	return x
}

// fill writes one character all along a row from a column on.
func (a area) fill(x, y int, char string, ink Ink) {
	for ; x < a.w; x++ {
		a.put(x, y, char, ink)
	}
}

// part is an area within the area.
func (a area) part(x, y, w, h int) area {
	return area{a.g, a.x + x, a.y + y, min(w, a.w-x), min(h, a.h-y)}
}

// firstChar is the first character of a text with what combines with it, the
// rest, and how many columns it takes. The state is -1 at first, and then what
// was returned. Most text is ASCII, where a byte is a character.
func firstChar(text string, state int) (char, rest string, columns, next int) {
	if text[0] < 0x80 && (len(text) == 1 || text[1] < 0x80) {
		return text[:1], text[1:], 1, -1
	}
	return uniseg.FirstGraphemeClusterInString(text, state)
}

// width is how many columns text takes.
func width(text string) int {
	sum, state := 0, -1
	for text != "" {
		var columns int
		_, text, columns, state = firstChar(text, state)
		sum += columns
	}
	return sum
}
