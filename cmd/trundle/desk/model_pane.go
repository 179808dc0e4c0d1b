package desk

import (
	"slices"
	"strings"
)

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
	hang int  // column where it goes on below, 0 for two behind where it begins
}

// paneRoom is how many lines of the pane are in sight.
func (m *Model) paneRoom() int { return max(0, m.frame().pane.h) }

// paneStart is the first line of the pane in sight: there may be fewer lines
// than when it was scrolled.
func (m *Model) paneStart() int {
	return min(m.paneTop, max(0, m.listing().len()-m.paneRoom()))
}

func (m *Model) scrollPane(by int) {
	m.paneTop = max(m.paneStart()+by, 0)
	m.paneTop = m.paneStart()
}

// listing is all that a pane has to say: lines that fit, and behind them rows
// that become lines when they are looked at, for there may be thousands.
type listing struct {
	lines []line
	rows  []int // of what sounds: see soundingLines; of traffic: where it is kept
}

func (l listing) len() int { return len(l.lines) + len(l.rows) }

// paneLine is a line of a listing.
func (m *Model) paneLine(l listing, at int) line {
	if at < len(l.lines) {
		return l.lines[at]
	}
	row := l.rows[at-len(l.lines)]
	if m.pane == TrafficPane {
		return m.trafficLine(row)
	}
	return m.soundingLine(row)
}

// listing is what the pane has to say as things stand.
func (m *Model) listing() listing {
	of := lined{m.pane, m.version, m.wires.of, m.traffic.changes, m.cursor, m.frame().pane.w, m.demoStepShown()}
	if m.pane == SoundingPane {
		of.cursor = Item{} // it matters only there
	}
	if m.listed != of {
		m.listed = of
		lines, rows := m.paneText()
		m.list = listing{wrap(lines, of.width-1), rows}
	}
	return m.list
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
		hang := l.hang
		if hang == 0 {
			hang = len(l.text) - len(strings.TrimLeft(l.text, " ")) + 2
		}
		indent := strings.Repeat(" ", hang)
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
	for i := range fit {
		fit[i].text = untied(fit[i].text)
	}
	return fit
}

// tie is a blank at which no line is broken.
const tie = "\u00a0"

// tied is a name that stays on one line, and untied what is shown of it.
func tied(name string) string   { return strings.ReplaceAll(name, " ", tie) }
func untied(text string) string { return strings.ReplaceAll(text, tie, " ") }

func (m *Model) paneText() (lines []line, rows []int) {
	switch m.pane {
	case SoundingPane:
		return m.soundingLines()
	case WhyPane:
		lines = m.whyLines()
	case TrafficPane:
		return m.trafficLines()
	case WiresPane:
		lines = m.wiresLines()
	case ShowPane:
		lines = m.showLines()
	}
	return lines, nil
}

// enterPane puts the cursor on the first pipe that the pane lists, if any.
func (m *Model) enterPane() bool {
	if m.pane != SoundingPane {
		return false
	}
	for _, row := range m.listing().rows {
		if row >= 0 {
			m.cursor = Item{PipeItem, row, 0}
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
	list := m.listing()
	at := slices.Index(list.rows, m.cursor.Index)
	if at < 0 {
		m.leavePane() // it is silent by now
		return
	}
	for i := at + by; by != 0 && i >= 0 && i < len(list.rows); i += by {
		if list.rows[i] >= 0 {
			at, m.cursor.Index = i, list.rows[i]
			break
		}
	}
	at += len(list.lines)
	m.paneTop = max(min(m.paneTop, at), at-m.paneRoom()+1)
}
