package desk

// Pane is what stands beside the console, one at a time.
type Pane uint8

const (
	NoPane Pane = iota
	SoundingPane
	WhyPane
	TrafficPane
	WiresPane
	ShowPane
)

var paneNames = [...]string{SoundingPane: "sounding", WhyPane: "why", TrafficPane: "traffic", WiresPane: "wires", ShowPane: "show"}

// toPane shows a pane.
func (m *Model) toPane(p Pane) {
	if p != ShowPane && m.pane == ShowPane {
		m.endShow()
	}
	if m.pane != p {
		m.paneTop = 0
	}
	m.pane = p
	if m.cursor.Kind == PipeItem && p != SoundingPane && p != WhyPane {
		m.leavePane()
	}
	m.place()
}

// line is a line of a pane.
type line struct {
	text string
	ink  Ink
	item Item // what the line is of, if anything
}

// paneRoom is how many lines of the pane are in sight.
func (m *Model) paneRoom() int { return max(0, m.frame().pane.h) }

func (m *Model) scrollPane(by int) {
	m.paneTop = min(max(m.paneTop+by, 0), max(0, len(m.paneLines())-m.paneRoom()))
}

// paneLines is all that the pane has to say.
func (m *Model) paneLines() []line {
	switch m.pane {
	case SoundingPane:
		return m.soundingLines()
	case WhyPane:
		return m.whyLines()
	case TrafficPane:
		return m.trafficLines()
	case WiresPane:
		return m.wiresLines()
	case ShowPane:
		return m.showLines()
	}
	return nil
}

// enterPane puts the cursor on the first pipe that the pane lists, if any.
func (m *Model) enterPane() bool {
	if m.pane != SoundingPane {
		return false
	}
	for _, l := range m.paneLines() {
		if l.item.Kind == PipeItem {
			m.cursor = l.item
			m.alongPane(0)
			return true
		}
	}
	return false
}

// leavePane puts the cursor back on the console.
func (m *Model) leavePane() {
	k := Item{KeyItem, m.plays.Keyboard, m.shown[m.plays.Keyboard]}
	if _, ok := m.layout.Spot(k); !ok {
		k.Note = m.in.Keyboards[k.Index].Keys.From
	}
	m.moveTo(k)
}

// alongPane moves the cursor among the pipes of the pane.
func (m *Model) alongPane(by int) {
	lines := m.paneLines()
	at := -1
	for i, l := range lines {
		if l.item == m.cursor {
			at = i
		}
	}
	for i := at + by; by != 0 && i >= 0 && i < len(lines); i += by {
		if lines[i].item.Kind == PipeItem {
			at, m.cursor = i, lines[i].item
			break
		}
	}
	if at >= 0 {
		m.paneTop = max(min(m.paneTop, at), at-m.paneRoom()+1)
	}
}
