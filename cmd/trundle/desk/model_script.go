package desk

import (
	"fmt"
	"time"

	"trundle/console"
)

// script is a log that is played at its own pace.
type script struct {
	log    []console.Timed
	next   int
	began  time.Duration // when its time was 0
	paused bool
	at     time.Duration // its time, while it is paused
}

func newScript(log []console.Timed) *script { return &script{log: log} }

// scriptDue is when the next event of the script is due.
func (m *Model) scriptDue() (time.Duration, bool) {
	s := m.script
	if s == nil || s.paused || s.next >= len(s.log) {
		return 0, false
	}
	return s.began + s.log[s.next].At, true
}

// playScript does what the script has due by now.
func (m *Model) playScript() {
	now := m.now
	for due, ok := m.scriptDue(); ok && due <= now; due, ok = m.scriptDue() {
		m.stepScript()
	}
}

// stepScript does the next event of the script. Its answers to saves are left
// out: the desk gives its own.
func (m *Model) stepScript() {
	s := m.script
	e := s.log[s.next]
	s.next++
	if e.Kind != console.SavedEvent && e.Kind != console.SaveFailedEvent {
		m.do(e.Event)
	}
	if s.next == len(s.log) {
		m.say("the script has ended")
	}
}

// pauseScript halts the script, or lets it go on from where it stands.
func (m *Model) pauseScript() {
	s := m.script
	switch {
	case s == nil:
		m.complain("there is no script: begin with --script FILE")
	case s.next >= len(s.log):
		m.say("the script has ended")
	case s.paused:
		s.paused, s.began = false, m.now-s.at
	default:
		s.paused, s.at = true, m.now-s.began
	}
}

// stepPaused takes the script one event further while it is paused.
func (m *Model) stepPaused() {
	s := m.script
	switch {
	case s.next >= len(s.log):
		m.say("the script has ended")
	case !s.paused:
		m.complain("the script plays: pause it first")
	default:
		s.at = max(s.at, s.log[s.next].At)
		m.stepScript()
	}
}

// scriptText says where the script stands; "" without one.
func (m *Model) scriptText() string {
	s := m.script
	if s == nil {
		return ""
	}
	state := "playing"
	switch {
	case s.next >= len(s.log):
		state = "ended"
	case s.paused:
		state = "paused"
	}
	text := fmt.Sprintf("script %s %d/%d", state, s.next, len(s.log))
	if s.next < len(s.log) {
		text += " next: " + string(m.in.AppendEvent(nil, s.log[s.next].Event))
	}
	return text
}
