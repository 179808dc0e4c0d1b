package desk

import (
	"slices"
	"time"

	"trundle/console"
)

// Key does what a key of the terminal does.
func (m *Model) Key(now time.Duration, key string) {
	m.message = ""
	m.Tick(now)
	if m.tooSmall() && m.keys[key] != "quit" {
		return
	}
	switch {
	case m.asking.kind != notAsking:
		m.answer(key)
	case m.help:
		m.keyOfHelp(key)
	default:
		m.act(m.keys[key])
	}
}

func (m *Model) keyOfHelp(key string) {
	switch m.keys[key] {
	case "up", "pane-up":
		m.helpTop--
	case "down", "pane-down":
		m.helpTop++
	case "last-keyboard":
		m.helpTop -= m.h / 2
	case "next-keyboard":
		m.helpTop += m.h / 2
	case "quit":
		m.act("quit")
	default:
		m.help = false
	}
	m.helpTop = min(max(m.helpTop, 0), max(0, len(m.helpLines())-(m.h-2)))
}

// act does an action; "" is none.
func (m *Model) act(a Action) {
	if above := slices.Index(notes, a); above >= 0 {
		m.playLetter(above)
		return
	}
	switch a {
	case "left":
		m.along(-1)
	case "right":
		m.along(1)
	case "up":
		m.across(-1)
	case "down":
		m.across(1)
	case "next-group":
		m.nextGroup(1)
	case "last-group":
		m.nextGroup(-1)
	case "next-keyboard":
		m.nextBand(1)
	case "last-keyboard":
		m.nextBand(-1)
	case "first":
		m.ends(-1)
	case "last":
		m.ends(1)
	case "find":
		m.ask(askFind, "")
	case "work":
		m.work(m.cursor)
	case "more":
		m.turn(m.cursor, 1)
	case "less":
		m.turn(m.cursor, -1)
	case "let-go":
		m.LetGo()
	case "set":
		m.holdSet()
	case "mark":
		m.mark()
	case "copy":
		m.transfer(console.CopyEvent)
	case "swap":
		m.transfer(console.SwapEvent)
	case "lock":
		m.lock()
	case "undo":
		m.do(console.Event{Kind: console.UndoEvent})
	case "octave-down":
		m.toOctave(max(m.plays.Note-12, 0))
	case "octave-up":
		m.toOctave(m.plays.Note + 12)
	case "keyboard-down":
		m.toKeyboard(-1)
	case "keyboard-up":
		m.toKeyboard(1)
	case "help":
		m.help, m.helpTop = true, 0
	case "background":
		m.light = !m.light
	case "redraw":
		m.wants = append(m.wants, Want{Kind: WantRedraw})
	case "leave":
		m.leave()
	case "quit":
		m.wants = append(m.wants, Want{Kind: WantQuit})
	default:
		m.actOnPanes(a)
	}
}

func (m *Model) actOnPanes(a Action) {
	switch a {
	case "sounding":
		m.toPane(SoundingPane)
	case "why":
		m.toPane(WhyPane)
	case "traffic":
		m.toPane(TrafficPane)
	case "wires":
		m.toPane(WiresPane)
	case "no-pane":
		m.toPane(NoPane)
	case "pane-up":
		m.scrollPane(-max(1, m.paneRoom()/2))
	case "pane-down":
		m.scrollPane(max(1, m.paneRoom()/2))
	case "show":
		m.show(m.cursor)
	case "step":
		m.step(1)
	case "back":
		m.step(-1)
	case "write":
		m.askWrite()
	case "pause":
		m.pauseScript()
	}
}

// leave goes back from what is shown, or from the pane, to the console.
func (m *Model) leave() {
	switch {
	case m.demo != nil:
		m.endShow()
	case m.cursor.Kind == PipeItem:
		m.leavePane()
	case m.marked.Memory > 0:
		m.marked = console.Slot{}
		m.say("nothing is marked any more")
	}
}

// toKeyboard has the letters play the keyboard above or below, as they stand
// on the screen.
func (m *Model) toKeyboard(by int) {
	boards := m.layout.Boards
	at := slices.IndexFunc(boards, func(b Board) bool { return b.Keyboard == m.plays.Keyboard })
	if at -= by; at < 0 || at >= len(boards) {
		return
	}
	m.plays.Keyboard = boards[at].Keyboard
	m.toOctave(m.plays.Note)
}
