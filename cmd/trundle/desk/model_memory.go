package desk

import "trundle/console"

// slotOf is where a combination is kept that an item stands for: a general or
// divisional in the current memory, or all of that.
func (m *Model) slotOf(i Item) (console.Slot, bool) {
	switch i.Kind {
	case MemoryItem:
		return console.Slot{Memory: m.console.Memory(), Button: console.None}, true
	case ButtonItem:
		b := m.worker(i)
		if kind := m.buttonKind(b); kind == console.General || kind == console.Divisional {
			return console.Slot{Memory: m.console.Memory(), Button: b}, true
		}
	}
	return console.Slot{}, false
}

// worker is the button that does the work of the one that an item is, None for
// another item.
func (m *Model) worker(i Item) int {
	if i.Kind != ButtonItem {
		return console.None
	}
	if of := m.in.Combination.Buttons[i.Index].Repeats; of != console.None {
		return of
	}
	return i.Index
}

// mark remembers the combination under the cursor, to be copied or swapped.
func (m *Model) mark() {
	s, ok := m.slotOf(m.cursor)
	if !ok {
		m.complain("put the cursor on a general, a divisional or the memory to mark it")
		return
	}
	m.marked = s
	m.say("%s is marked: at another, in any memory, %s copies it there and %s swaps the two", m.in.SlotText(s), m.firstKey("copy"), m.firstKey("swap"))
}

// transfer copies what is marked to what is under the cursor, or swaps them.
func (m *Model) transfer(kind console.EventKind) {
	to, ok := m.slotOf(m.cursor)
	switch {
	case m.marked.Memory == 0:
		m.complain("nothing is marked: put the cursor on a piston or the memory and press %s first", m.firstKey("mark"))
	case !ok:
		m.complain("put the cursor on a general, a divisional or the memory where %s should go", m.in.SlotText(m.marked))
	case to == m.marked:
		m.complain("%s is itself what is marked: go to another", m.in.SlotText(to))
	default:
		m.do(console.Event{Kind: kind, From: m.marked, To: to})
	}
}

// lock locks the current memory against captures, or unlocks it.
func (m *Model) lock() {
	if m.in.Combination == nil {
		m.complain("this console has no memories")
		return
	}
	memory := m.console.Memory()
	e := console.Event{Kind: console.LockEvent, From: console.Slot{Memory: memory, Button: console.None}}
	if !m.console.Memories().Locked(memory) {
		e.Value = 1
	}
	m.do(e)
}
