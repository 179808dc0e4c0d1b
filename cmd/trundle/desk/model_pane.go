package desk

import "strings"

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

// toPane shows a pane. The one of what sounds, when it is shown already, takes
// the cursor, and gives it back.
func (m *Model) toPane(p Pane) {
	if p == SoundingPane && p == m.pane {
		if m.cursor.Kind == PipeItem {
			m.leavePane()
		} else if !m.enterPane() {
			m.say("no pipe sounds to put the cursor on")
		}
		return
	}
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

// paneLines is all that the pane has to say, in lines that fit.
func (m *Model) paneLines() []line {
	of := lined{m.pane, m.version, m.wires.of, m.traffic.changes, m.cursor, m.frame().pane.w, m.demoStepShown()}
	if m.linesOf != of {
		m.linesOf = of
		m.lines = wrap(m.paneText(), of.width-1)
	}
	return m.lines
}

// lined is all that the lines of a pane depend on.
type lined struct {
	pane                    Pane
	version, wires, traffic int
	cursor                  Item
	width, step             int
}

// wrap breaks lines that are wider than the pane, at blanks; what goes on is
// indented.
func wrap(lines []line, w int) []line {
	var fit []line
	for _, l := range lines {
		indent := strings.Repeat(" ", len(l.text)-len(strings.TrimLeft(l.text, " "))+2)
		for width(l.text) > w {
			at := 0
			for i, r := range l.text {
				if r == ' ' && strings.TrimLeft(l.text[:i], " ") != "" && width(l.text[:i]) <= w {
					at = i
				}
			}
			if at == 0 {
				break // one word: it is cut
			}
			first := l
			first.text = l.text[:at]
			fit = append(fit, first)
			l.text, l.item = indent+strings.TrimLeft(l.text[at:], " "), Item{}
		}
		fit = append(fit, l)
	}
	return fit
}

func (m *Model) paneText() []line {
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
