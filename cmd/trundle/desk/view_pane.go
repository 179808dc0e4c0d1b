package desk

// pane draws the pane with its name, and the names of the others.
func (v view) pane(f frame) {
	if v.Model.pane == NoPane {
		return
	}
	row := v.screen.part(f.tabs.x, f.tabs.y, f.tabs.w, 1)
	if f.beside {
		for y := range f.pane.h + 1 {
			v.screen.put(f.pane.x-1, y, v.signs.rail, Dim)
		}
	} else {
		row.fill(0, 0, v.signs.rule, Dim)
	}
	v.tabs(row)
	v.lines(v.screen.part(f.pane.x+1, f.pane.y, f.pane.w-1, f.pane.h))
}

// tabs writes the names of the panes, with the digits that show them.
func (v view) tabs(row area) {
	x := v.firstTab()
	for _, t := range v.tabTexts() {
		x = row.put(x, 0, " "+t.text+" ", ifInk(t.pane == v.Model.pane, On, Dim))
	}
}

// firstTab is the column of the first name's blank in the row of the panes.
func (m *Model) firstTab() int {
	if m.frame().beside {
		return -1 // the rail stands there
	}
	return 1
}

type tab struct {
	pane Pane
	text string
}

// tabTexts are the names of the panes.
func (m *Model) tabTexts() []tab {
	var tabs []tab
	for p := SoundingPane; p <= WiresPane; p++ {
		text := m.firstKey(Action(paneNames[p])) + " " + paneNames[p]
		if p == m.pane {
			text = "[" + text + "]"
		}
		tabs = append(tabs, tab{p, text})
	}
	if m.pane == ShowPane {
		tabs = append(tabs, tab{ShowPane, "[" + paneNames[ShowPane] + "]"})
	}
	return tabs
}

// firstKey is a key that does something, one with a name if there is one, and
// lastKey one that is a character.
func (m *Model) firstKey(a Action) string {
	if keys := m.keys.of(a); len(keys) > 0 {
		return keys[0]
	}
	return ""
}

func (m *Model) lastKey(a Action) string {
	if keys := m.keys.of(a); len(keys) > 0 {
		return keys[len(keys)-1]
	}
	return ""
}

// clickTab shows the pane whose name stands in a column.
func (m *Model) clickTab(x int) {
	at := m.firstTab()
	for _, t := range m.tabTexts() {
		w := width(t.text) + 2
		if x >= at && x < at+w && t.pane != ShowPane {
			m.toPane(t.pane)
			return
		}
		at += w
	}
}

// lines draws the lines of the pane that are in sight.
func (v view) lines(window area) {
	list := v.listing()
	top := v.paneStart()
	for y := 0; y < window.h && top+y < list.len(); y++ {
		l := v.paneLine(list, top+y)
		window.mark(0, y, v.signs.fit(l.text, window.w), l.ink, l.item.Kind != NoItem && l.item == v.cursor)
	}
	v.more(window, top > 0, top+window.h < list.len())
}
