package desk

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// Layout is where everything on a console stands in a window. A hand on a
// keyboard looks for three things: what sounds there, what else it pulls down,
// and the next piston. So each keyboard is a band, from the highest manual down
// to the pedal, with the stops of its divisions, what couples to it, its keys,
// and its buttons.
type Layout struct {
	W, H   int
	Margin int    // columns that the words at the left take
	gap    int    // blank rows between bands
	Spots  []Spot // as a reader meets them
	Words  []Word
	Boards []Board
	Bands  []int // the rows in which bands begin

	at     map[Item]int // spots
	groups []group
}

// Spot is the place of an item.
type Spot struct {
	Item
	X, Y, W int // row -1 is the head of the screen, which does not scroll
	Label   string
	Group   int // Tab goes from group to group
}

// Word is text that stands on the console.
type Word struct {
	X, Y int
	Text string
	Ink  Ink
}

// Board is a keyboard on the console: sharps in row Y, naturals below, and
// below them the names of the octaves.
type Board struct {
	Keyboard, X, Y, W int
}

type group struct{ from, to int } // spots

// layouter makes a layout from top to bottom.
type layouter struct {
	*Layout
	in    *console.Instrument
	signs *Signs
}

// NewLayout lays a console out in a width, with air between the bands if that
// leaves all of it in sight.
func NewLayout(in *console.Instrument, signs *Signs, width, height int) *Layout {
	l := layOut(in, signs, width, 0)
	if l.H+len(l.Bands)-1 <= height {
		l = layOut(in, signs, width, 1)
	}
	return l
}

func layOut(in *console.Instrument, signs *Signs, width, gap int) *Layout {
	l := layouter{&Layout{W: width, Margin: min(max(8, width-72), 13), gap: gap, at: map[Item]int{}}, in, signs}
	l.head()
	order := l.fromTop()
	for i, k := range order {
		l.band(k)
		if i == len(order)-1 {
			l.underPedal()
		}
	}
	l.rest()
	for i, s := range l.Spots {
		l.at[s.Item] = i
	}
	return l.Layout
}

// fromTop lists the keyboards as they lie: the manuals, of which the file names
// the lowest first, and the pedals below them.
func (l layouter) fromTop() []int {
	var order []int
	for _, kind := range []console.KeyboardKind{console.Manual, console.Pedal} {
		for k, keyboard := range slices.Backward(l.in.Keyboards) {
			if keyboard.Kind == kind {
				order = append(order, k)
			}
		}
	}
	return order
}

// Spot is where an item stands; false when it does not stand on the console.
func (l *Layout) Spot(i Item) (Spot, bool) {
	at, ok := l.at[i]
	if !ok {
		return Spot{}, false
	}
	return l.Spots[at], true
}

// add places an item of the group that was begun last.
func (l layouter) add(i Item, x, y, w int, label string) {
	last := len(l.groups) - 1
	l.Spots = append(l.Spots, Spot{i, x, y, w, label, last})
	l.groups[last].to = len(l.Spots)
}

// begin begins a group, unless the last is still empty.
func (l layouter) begin() {
	if n := len(l.groups); n > 0 && l.groups[n-1].from == len(l.Spots) {
		return
	}
	l.groups = append(l.groups, group{len(l.Spots), len(l.Spots)})
}

func (l layouter) word(x, y int, text string, ink Ink) {
	l.Words = append(l.Words, Word{x, y, text, ink})
}

// label writes a word into the margin.
func (l layouter) label(y int, text string, ink Ink) {
	l.word(0, y, l.signs.fit(text, l.Margin-1), ink)
}

// head lays out the items of the top row.
func (l layouter) head() {
	l.begin()
	x := 0
	add := func(kind ItemKind, widest string) {
		l.add(Item{Kind: kind}, x, -1, len(widest), "")
		x += len(widest) + 2
	}
	if c := l.in.Combination; c != nil {
		add(MemoryItem, fmt.Sprintf("memory %d/%d", c.Memories, c.Memories))
	}
	stages := 0
	for _, s := range l.in.Crescendo {
		stages = max(stages, len(s.Stages))
	}
	if stages > 0 {
		add(CrescendoItem, fmt.Sprintf("crescendo %d/%d", stages, stages))
	}
	if n := len(l.in.Crescendo); n > 1 {
		add(SequenceItem, fmt.Sprintf("order %d/%d", n, n))
	}
	if len(l.in.Tutti.Adds) > 0 {
		add(TuttiItem, "x tutti")
	}
	if buttonOf(l.in, console.Set) != console.None {
		add(SetItem, "x set")
	}
	if l.in.Transposer != (console.Reach{}) {
		add(TransposerItem, "transpose +00")
	}
	for i := range l.Spots { // they stand at the right end
		l.Spots[i].X += max(0, l.W-x+1)
	}
}

// buttonOf is the first button of a kind, None without one.
func buttonOf(in *console.Instrument, kind console.ButtonKind) int {
	if in.Combination == nil {
		return console.None
	}
	return slices.IndexFunc(in.Combination.Buttons, func(b console.Button) bool { return b.Kind == kind })
}

// band lays out what belongs to a keyboard.
func (l layouter) band(k int) {
	keyboard := l.in.Keyboards[k]
	l.heading(l.signs.name(keyboard.ID, keyboard.Name))
	for d, division := range l.in.Divisions {
		if division.Keyboard == k {
			name := l.signs.name(division.ID, division.Name)
			if name == l.signs.name(keyboard.ID, keyboard.Name) {
				name = "stops"
			}
			l.begin()
			l.table(name, l.stopsOf(d))
		}
	}
	l.begin()
	l.table("couple", l.playedFrom(k))
	l.keys(k)
	l.buttons(k)
}

// heading is the line above a band.
func (l layouter) heading(name string) {
	if len(l.Bands) > 0 {
		l.H += l.gap
	}
	l.Bands = append(l.Bands, l.H)
	line := l.signs.rule + " " + name + " "
	l.word(0, l.H, line, Title)
	l.word(width(line), l.H, strings.Repeat(l.signs.rule, max(0, l.W-width(line))), Dim)
	l.H++
}

// entry is an item with its words.
type entry struct {
	Item
	label string
}

// table lays entries out in columns of one width, row by row.
func (l layouter) table(name string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	room, widest := l.W-l.Margin, 0
	for _, e := range entries {
		widest = max(widest, width(e.label))
	}
	wide := min(max(widest, 9)+4, 26, room) // mark, blank, label, and two blanks
	columns := max(1, room/wide)
	wide = min(room/columns, wide+4)
	l.label(l.H, name, Dim)
	for i, e := range entries {
		label := l.signs.fit(e.label, wide-3)
		l.add(e.Item, l.Margin+i%columns*wide, l.H+i/columns, 2+width(label), label)
	}
	l.H += (len(entries) + columns - 1) / columns
}
