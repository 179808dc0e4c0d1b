package desk

import (
	"time"

	"trundle/console"
)

// Mouse is what the mouse does.
type Mouse struct {
	X, Y  int
	Down  bool // its first button is down
	Look  bool // its second is
	Wheel int  // rows to scroll, up below 0
}

// mouse is what it holds.
type mouse struct {
	down  bool
	looks bool
	item  Item
	holds bool // a key, or a button that was pressed
}

// Point does what the mouse does at a place of the screen.
func (m *Model) Point(now time.Duration, p Mouse) {
	if p.Down && !m.mouse.down || p.Look && !m.mouse.looks {
		m.message = ""
	}
	m.Tick(now)
	if m.tooSmall() {
		m.release()
		return
	}
	switch {
	case p.Wheel != 0:
		m.wheel(p)
	case p.Down && !m.mouse.down:
		m.mouse = mouse{down: true}
		m.press(p)
	case p.Down:
		m.drag(p)
	case p.Look:
		if !m.mouse.looks {
			m.release()
			m.mouse.looks = true
			m.look(p)
		}
	default:
		m.release()
	}
}

// under is what stands at a place of the screen.
func (m *Model) under(x, y int) (Item, bool) {
	f := m.frame()
	if f.pane.has(x, y) {
		at := m.paneStart() + y - f.pane.y
		list := m.listing()
		if at >= list.len() {
			return Item{}, false
		}
		l := m.paneLine(list, at)
		return l.item, l.item.Kind != NoItem
	}
	row := -1
	if y > 0 {
		if row = y - 1 + m.top; !f.console.has(x, y) {
			return Item{}, false
		}
	}
	for _, s := range m.layout.Spots {
		at, w := m.left(s), s.W
		if s.Kind == KeyItem && x < m.layout.Margin {
			continue
		}
		if s.Y == row && x >= at && x < at+w {
			return s.Item, true
		}
	}
	return Item{}, false
}

// left is the column of a spot on the screen.
func (m *Model) left(s Spot) int {
	if s.Kind == KeyItem {
		return s.X - m.shift(m.layout.board(s.Index))
	}
	return s.X
}

// pointed is what is pressed, or looked at; false where that is done with.
func (m *Model) pointed(p Mouse) (Item, bool) {
	if m.help {
		m.help = false
		return Item{}, false
	}
	if m.asking.kind != notAsking {
		m.asking = asking{}
	}
	f := m.frame()
	if f.tabs.has(p.X, p.Y) {
		m.clickTab(p.X - f.tabs.x)
		return Item{}, false
	}
	return m.under(p.X, p.Y)
}

// look puts the cursor somewhere and works nothing, but for a key, which it
// holds until it is worked again: a mouse has one hand.
func (m *Model) look(p Mouse) {
	switch i, ok := m.pointed(p); {
	case !ok:
	case i.Kind == PipeItem:
		m.cursor = i
	default:
		m.moveTo(i)
		if i.Kind == KeyItem {
			m.latch(i.key())
		}
	}
}

func (m *Model) press(p Mouse) {
	i, ok := m.pointed(p)
	if !ok {
		return
	}
	if i.Kind == PipeItem {
		m.cursor = i
		return
	}
	m.mouse.item = i
	m.moveTo(i)
	switch {
	case i.Kind == KeyItem:
		m.mouse.holds = true
		m.do(console.KeyMoved(i.key(), 1, byMouse))
	case i.Kind == ButtonItem && m.buttonKind(i.Index) != console.Set:
		m.mouse.holds = true
		m.do(console.Press(i.Index))
	case i.Kind == ShoeItem:
		m.dragShoe(p)
	default:
		m.work(i)
	}
}

// drag goes on with what was pressed: along a shoe, or from key to key.
func (m *Model) drag(p Mouse) {
	switch m.mouse.item.Kind {
	case ShoeItem:
		m.dragShoe(p)
	case KeyItem:
		i, ok := m.under(p.X, p.Y)
		if !m.mouse.holds || ok && i == m.mouse.item || !ok || i.Kind != KeyItem {
			return
		}
		m.do(console.KeyMoved(m.mouse.item.key(), 0, byMouse))
		m.do(console.KeyMoved(i.key(), 1, byMouse))
		m.mouse.item = i
		m.moveTo(i)
	}
}

// dragShoe puts a shoe where the mouse is along its travel.
func (m *Model) dragShoe(p Mouse) {
	s, ok := m.layout.Spot(m.mouse.item)
	if !ok {
		return
	}
	m.moveShoe(s.Index, (p.X-s.X)*console.ShoeMost/(s.W-1))
}

// release lets go of what the mouse holds.
func (m *Model) release() {
	held := m.mouse
	m.mouse = mouse{}
	if !held.holds {
		return
	}
	switch held.item.Kind {
	case KeyItem:
		m.do(console.KeyMoved(held.item.key(), 0, byMouse))
	case ButtonItem:
		m.do(console.Release(held.item.Index))
	}
}

// wheel turns what has stages, and scrolls what has not.
func (m *Model) wheel(p Mouse) {
	if m.help {
		m.helpTop = min(max(m.helpTop+p.Wheel, 0), max(0, len(m.helpLines())-(m.h-2)))
		return
	}
	f := m.frame()
	if f.pane.has(p.X, p.Y) {
		m.scrollPane(p.Wheel)
		return
	}
	if i, ok := m.under(p.X, p.Y); ok {
		switch i.Kind {
		case ShoeItem, MemoryItem, CrescendoItem, SequenceItem, TransposerItem, SpeedItem:
			by := 1
			if p.Wheel > 0 {
				by = -1
			}
			m.turn(i, by)
			return
		}
	}
	m.top = min(max(m.top+p.Wheel, 0), max(0, m.layout.H-f.console.h))
}
