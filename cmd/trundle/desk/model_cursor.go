package desk

import (
	"slices"

	"trundle/console"
)

// frame is how a screen is shared out.
type frame struct {
	console, pane rect
	tabs          rect // the names of the panes
	beside        bool // the pane stands beside the console, not below it
}

type rect struct{ x, y, w, h int }

func (r rect) has(x, y int) bool { return x >= r.x && y >= r.y && x < r.x+r.w && y < r.y+r.h }

// Smallest is the smallest screen that the desk is drawn on.
const (
	SmallestWidth  = 80
	SmallestHeight = 24
)

// frame shares the screen out: a row for the head, one for messages, and
// between them the console and a pane, side by side where there is room.
func (m *Model) frame() frame {
	f := frame{console: rect{0, 1, m.w, m.h - 2}}
	switch {
	case m.pane == NoPane:
	case m.w >= SmallestWidth+40:
		f.beside = true
		w := min(max(39, m.w-112), 80)
		f.console.w -= w + 1
		f.pane = rect{m.w - w, 1, w, m.h - 2}
		f.tabs = rect{m.w - w, 0, w, 1}
	default:
		h := max(8, m.h/3)
		f.console.h -= h
		f.pane = rect{0, m.h - h, m.w, h - 1}
		f.tabs = rect{0, m.h - 1 - h, m.w, 1}
	}
	return f
}

// tooSmall reports a screen that is too small for the desk.
func (m *Model) tooSmall() bool { return m.w < SmallestWidth || m.h < SmallestHeight }

// moveTo puts the cursor on an item, and brings that into sight.
func (m *Model) moveTo(i Item) {
	m.cursor = i
	if s, ok := m.layout.Spot(i); ok {
		m.visited[s.Group] = i
	}
	if i.Kind == KeyItem {
		m.shown[i.Index] = i.Note
	}
	m.reveal()
}

// reveal scrolls so that the cursor is in sight, with all of its band if that
// fits, and else with all rows of its keyboard.
func (m *Model) reveal() {
	room := m.window.h
	if s, ok := m.layout.Spot(m.cursor); ok && s.Y >= 0 {
		from, to := m.layout.band(s.Y)
		if to-from > room {
			from, to = s.Y, s.Y+1
			if s.Kind == KeyItem {
				from = m.layout.board(s.Index).Y
				to = from + 3
			}
		}
		m.top = max(min(m.top, from), to-room)
	}
	m.top = min(max(m.top, 0), max(0, m.layout.H-room))
}

// band is the rows of the band that a row lies in.
func (l *Layout) band(y int) (from, to int) {
	to = l.H
	for _, b := range slices.Backward(l.Bands) {
		if b <= y {
			return b, to
		}
		to = b
	}
	return 0, to
}

func (l *Layout) board(keyboard int) Board {
	for _, b := range l.Boards {
		if b.Keyboard == keyboard {
			return b
		}
	}
	return Board{Keyboard: keyboard}
}

// along moves the cursor to the neighbour in its row; along a keyboard, to
// the next key.
func (m *Model) along(by int) {
	s, ok := m.layout.Spot(m.cursor)
	if !ok {
		return
	}
	if s.Kind == KeyItem {
		next := s.Item
		if next.Note += console.Note(by); m.in.Keyboards[next.Index].Keys.Has(next.Note) {
			m.moveTo(next)
		}
		return
	}
	best := -1
	for i, t := range m.layout.Spots {
		if t.Y == s.Y && (t.X-s.X)*by > 0 && (best < 0 || (m.layout.Spots[best].X-t.X)*by > 0) {
			best = i
		}
	}
	if best >= 0 {
		m.moveTo(m.layout.Spots[best].Item)
	}
}

// across moves the cursor to the nearest item in the next row that has any;
// a keyboard is one row.
func (m *Model) across(by int) {
	if m.cursor.Kind == PipeItem {
		m.alongPane(by)
		return
	}
	s, ok := m.layout.Spot(m.cursor)
	if !ok {
		return
	}
	row := func(t Spot) int {
		if t.Kind == KeyItem {
			return m.layout.board(t.Index).Y
		}
		return t.Y
	}
	best, from, x := -1, row(s), m.middle(s)
	for i, t := range m.layout.Spots {
		if (row(t)-from)*by <= 0 {
			continue
		}
		if best < 0 {
			best = i
			continue
		}
		b := m.layout.Spots[best]
		if nearer := (row(b) - row(t)) * by; nearer > 0 || nearer == 0 && abs(m.middle(t)-x) < abs(m.middle(b)-x) {
			best = i
		}
	}
	if best >= 0 {
		m.moveTo(m.layout.Spots[best].Item)
	}
}

// middle is the column of the middle of a spot, as it stands on the screen.
func (m *Model) middle(s Spot) int {
	if s.Kind == KeyItem {
		return s.X - m.shift(m.layout.board(s.Index))
	}
	return s.X + s.W/2
}

func abs(n int) int { return max(n, -n) }

// ends moves the cursor to the first or last item of its group.
func (m *Model) ends(by int) {
	s, ok := m.layout.Spot(m.cursor)
	if !ok {
		return
	}
	g := m.layout.groups[s.Group]
	if by < 0 {
		m.moveTo(m.layout.Spots[g.from].Item)
	} else {
		m.moveTo(m.layout.Spots[g.to-1].Item)
	}
}

// nextGroup moves the cursor to the next group, or to the one before, where
// it stood there last. Behind the last comes the pane, if it lists pipes.
func (m *Model) nextGroup(by int) {
	n := len(m.layout.groups)
	at := n
	if s, ok := m.layout.Spot(m.cursor); ok {
		at = s.Group
	}
	for {
		at = (at + by + n + 1) % (n + 1)
		if at == n {
			if m.enterPane() {
				return
			}
			continue
		}
		if g := m.layout.groups[at]; g.to > g.from {
			m.moveTo(m.enter(at))
			return
		}
	}
}

// enter is where the cursor goes in a group.
func (m *Model) enter(at int) Item {
	if i, ok := m.visited[at]; ok {
		if s, ok := m.layout.Spot(i); ok && s.Group == at {
			return i
		}
	}
	first := m.layout.Spots[m.layout.groups[at].from]
	if first.Kind == KeyItem {
		if keys := m.in.Keyboards[first.Index].Keys; keys.Has(60) {
			first.Note = 60
		}
	}
	return first.Item
}

// nextBand moves the cursor to the keys, or else to the first item, of the
// next band.
func (m *Model) nextBand(by int) {
	at := -1
	if s, ok := m.layout.Spot(m.cursor); ok && s.Y >= 0 {
		from, _ := m.layout.band(s.Y)
		at = slices.Index(m.layout.Bands, from)
	}
	at = min(max(at+by, 0), len(m.layout.Bands)-1)
	from, to := m.layout.band(m.layout.Bands[at])
	first := NoItem
	for _, s := range m.layout.Spots {
		if s.Y < from || s.Y >= to || s.Kind != KeyItem && first != NoItem {
			continue
		}
		first = s.Kind
		m.moveTo(m.enter(s.Group))
		if s.Kind == KeyItem {
			return
		}
	}
}

// shift is how many columns a keyboard that is too wide for the console is
// moved to the left, so that the key shown last is in sight.
func (m *Model) shift(b Board) int {
	over := b.X + b.W - m.layout.W
	if over <= 0 {
		return 0
	}
	lowest := m.in.Keyboards[b.Keyboard].Keys.From
	at := column(lowest, max(m.shown[b.Keyboard], lowest)) - (m.layout.W-m.layout.Margin)/2
	return (min(max(0, at), over) + 1) &^ 1 // naturals stay in their columns
}
