package desk

import (
	"slices"

	"trundle/console"
)

// Layout is where everything on a console of one width stands: from the
// highest manual down to the pedal a band each, with the stops of its
// divisions, what couples to it, its keys, and its buttons.
type Layout struct {
	W, H   int
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

// margin is how many columns the words at the left take.
const margin = 8

// layouter makes a layout from top to bottom.
type layouter struct {
	*Layout
	in    *console.Instrument
	signs *Signs
}

// NewLayout lays a console out in a width.
func NewLayout(in *console.Instrument, signs *Signs, width int) *Layout {
	l := layouter{&Layout{W: width, at: map[Item]int{}}, in, signs}
	l.head()
	for _, kind := range []console.KeyboardKind{console.Manual, console.Pedal} {
		for k := len(in.Keyboards) - 1; k >= 0; k-- {
			if in.Keyboards[k].Kind == kind {
				l.band(k)
			}
		}
	}
	l.rest()
	for i, s := range l.Spots {
		l.at[s.Item] = i
	}
	return l.Layout
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

func (l layouter) begin() {
	if n := len(l.groups); n > 0 && l.groups[n-1].to == len(l.Spots) && l.groups[n-1].from == len(l.Spots) {
		return // nothing was added to the last
	}
	l.groups = append(l.groups, group{len(l.Spots), len(l.Spots)})
}

func (l layouter) word(x, y int, text string, ink Ink) {
	l.Words = append(l.Words, Word{x, y, text, ink})
}

// label writes a word into the margin.
func (l layouter) label(y int, text string, ink Ink) {
	l.word(0, y, l.signs.fit(text, margin-1), ink)
}

// head lays out the items of the top row.
func (l layouter) head() {
	l.begin()
	x := 0
	add := func(i Item, w int) {
		l.add(i, x, -1, w, "")
		x += w + 2
	}
	if l.in.Combination != nil {
		add(Item{Kind: MemoryItem}, len("memory 100/100"))
	}
	if len(l.in.Crescendo) > 0 {
		add(Item{Kind: CrescendoItem}, len("crescendo 00/00"))
	}
	if len(l.in.Crescendo) > 1 {
		add(Item{Kind: SequenceItem}, len("order 0/0"))
	}
	if len(l.in.Tutti.Adds) > 0 {
		add(Item{Kind: TuttiItem}, len("x tutti"))
	}
	if buttonOf(l.in, console.Set) != console.None {
		add(Item{Kind: SetItem}, len("x set"))
	}
	if l.in.Transposer != (console.Reach{}) {
		add(Item{Kind: TransposerItem}, len("key +00"))
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
	l.heading(l.signs.text(keyboard.Name))
	for d, division := range l.in.Divisions {
		if division.Keyboard == k {
			l.begin()
			l.table(l.signs.text(division.Name), l.stopsOf(d))
		}
	}
	l.begin()
	l.table("couple", l.playedFrom(k))
	l.keys(k)
	l.buttons(k)
	if keyboard.Kind == console.Pedal {
		l.underPedal()
	}
}

// heading is the line above a band.
func (l layouter) heading(name string) {
	l.Bands = append(l.Bands, l.H)
	x := 0
	line := l.signs.rule + " " + name + " "
	l.word(x, l.H, line, Title)
	for x = width(line); x < l.W; x++ {
		l.word(x, l.H, l.signs.rule, Dim)
	}
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
	room, widest := l.W-margin, 0
	for _, e := range entries {
		widest = max(widest, width(e.label))
	}
	wide := min(max(widest, 9)+4, 26, room) // mark, blank, label, and two blanks
	columns := max(1, room/wide)
	wide = min(room/columns, wide+4)
	l.label(l.H, name, Dim)
	for i, e := range entries {
		label := l.signs.fit(e.label, wide-3)
		l.add(e.Item, margin+i%columns*wide, l.H+i/columns, 2+width(label), label)
	}
	l.H += (len(entries) + columns - 1) / columns
}
