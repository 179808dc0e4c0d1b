// Package desk is the console in a terminal. The model is the console and
// where one looks at it, the view draws a model on a grid of cells, and the
// keys say what is done at each key. None of them knows a terminal: Run joins
// them to a Screen, and a terminal is one.
package desk

import (
	"fmt"
	"time"

	"trundle/combination"
	"trundle/console"
	"trundle/midiio/mapping"
)

// Model is the console, and where one looks at it. It does no I/O: what it
// wants done outside it leaves for Wants.
type Model struct {
	in      *console.Instrument
	console *combination.Console
	options Options
	signs   *Signs
	keys    Bindings
	now     time.Duration
	version int // grows whenever anything on the console changes

	w, h   int
	layout *Layout
	window rect // of the console, that it was laid out for
	top    int  // the row of the console at the top of its window

	cursor  Item
	visited map[int]Item // by group: where the cursor last stood
	shown   []console.Note

	pane    Pane
	paneTop int
	list    listing // what the pane has to say
	listed  lined   // what that was made for
	light   bool    // the background is light
	help    bool
	helpTop int
	asking  asking

	plays   console.Key // where the letters play: a keyboard, and the C of their octave
	held    map[holding]int
	mouse   mouse
	setHeld bool

	marked   console.Slot      // to be copied or swapped; Memory is 0 without one
	foreseen *outlook          // of the item that the cursor stood on last
	beside   *console.Sounding // see wouldSound; nil until that is asked

	message string
	wrong   bool // the message says that something was not done

	traffic traffic
	cable   cable
	wires   wires
	demo    *demo
	script  *script
	wants   []Want
}

// Options are what a desk is begun with.
type Options struct {
	ASCII    bool
	Light    bool                  // the terminal's background is light
	Keys     Bindings              // DefaultKeys when nil
	Memories *combination.Memories // nil: none was ever set
	OnDisk   bool                  // there is a memory file to save into
	Script   []console.Timed       // a log to play
	Relay    *Relay                // to be watched, nil without one
	Port     bool                  // MIDI is listened to
	Map      *mapping.Map          // what MIDI messages mean; nil: nothing
	Says     Says                  // what is sent
}

// Says is whose part the desk takes in what it sends.
type Says uint8

const (
	SaysNothing Says = iota
	AsConsole        // to an organ: keys, knobs, buttons, shoes
	AsOrgan          // to a console whose knobs are real: coils and lamps
	AsPipes          // to a synthesizer: each pipe that speaks, as a note
)

// holding is who holds which key.
type holding struct {
	console.Key
	source string
}

// Sources of keys held.
const (
	byHand  = ""      // latched by letter or under the cursor
	byMouse = "mouse" // until the button is released
)

// Want is one thing that the model wants done outside.
type Want struct {
	Kind     WantKind
	Save     int                   // number of the save, to be answered by Saved
	Memories *combination.Memories // to be saved
	Path     string                // of a text, to be answered by Written
	Text     string
}

// WantKind is what is wanted.
type WantKind uint8

const (
	WantQuit WantKind = iota
	WantSave
	WantText
	WantRedraw
)

// New is the desk of an instrument that has no errors.
func New(in *console.Instrument, options Options) *Model {
	m := &Model{
		in: in, console: combination.New(in, options.Memories), options: options,
		signs: SignsFor(options.ASCII), keys: options.Keys, light: options.Light,
		pane: SoundingPane, visited: map[int]Item{}, held: map[holding]int{}, shown: make([]console.Note, len(in.Keyboards)),
	}
	if m.keys == nil {
		m.keys = DefaultKeys()
	}
	if options.Says != AsOrgan {
		m.do(console.Event{Kind: console.ObeyEvent, Value: 1}) // no real knobs hang on it
	}
	m.plug()
	m.plays = console.Key{Keyboard: m.firstBoard()}
	m.toOctave(60)
	if options.Script != nil {
		m.script = newScript(options.Script)
	}
	m.message = ""
	m.Resize(80, 24)
	return m
}

// firstBoard is the keyboard where a player begins: the lowest manual.
func (m *Model) firstBoard() int {
	for k, keyboard := range m.in.Keyboards {
		if keyboard.Kind == console.Manual {
			return k
		}
	}
	return 0
}

// Resize lays the console out for a screen.
func (m *Model) Resize(w, h int) {
	m.w, m.h = w, h
	m.place()
}

// place lays the console out anew where its window has changed, and keeps the
// cursor in sight.
func (m *Model) place() {
	if window := m.frame().console; window != m.window {
		m.window = window
		m.layout = NewLayout(m.in, m.signs, window.w, window.h)
		if m.cursor.Kind == NoItem {
			m.cursor = keyItem(console.Key{Keyboard: m.plays.Keyboard, Note: m.plays.Note})
			if _, ok := m.layout.Spot(m.cursor); !ok && len(m.layout.Spots) > 0 {
				m.cursor = m.layout.Spots[0].Item
			}
		}
	}
	m.reveal()
}

// Wants takes what is to be done outside.
func (m *Model) Wants() []Want {
	wants := m.wants
	m.wants = nil
	return wants
}

// do works the console.
func (m *Model) do(e console.Event) {
	m.note(e)
	effects := m.console.Do(m.now, e)
	m.sayAll(e, effects)
	m.version++ // a stop may be drawn without effect, as the crescendo has it on
	save := 0
	for _, effect := range effects {
		switch effect.Kind {
		case console.SaysEffect:
			m.say("%s", effect.Text)
		case console.RefusedEffect:
			m.complain("%s", effect.Text)
		case console.StuckEffect:
			m.complain("%s did not arrive", m.in.Controls[effect.Index].ID)
		case console.SaveEffect:
			save = effect.Value // there is one at a time
		}
	}
	if save > 0 {
		m.save(save)
	}
}

// note keeps who holds what, so that all of it can be let go.
func (m *Model) note(e console.Event) {
	if e.Kind != console.KeyEvent || e.Index < 0 || e.Index >= len(m.in.Keyboards) || !m.in.Keyboards[e.Index].Keys.Has(e.Note) {
		return
	}
	h := holding{console.Key{Keyboard: e.Index, Note: e.Note}, e.Text}
	if e.Value == 0 {
		delete(m.held, h)
	} else {
		m.held[h] = e.Value
	}
}

// save has memories saved; without a file they are kept as long as the desk.
func (m *Model) save(number int) {
	if m.options.OnDisk {
		m.wants = append(m.wants, Want{Kind: WantSave, Save: number, Memories: m.console.Saving()})
		m.say("saving")
		return
	}
	m.do(console.Event{Kind: console.SavedEvent, Value: number})
	m.say("%s, only until you quit: no --memory FILE was given", m.message)
}

// Saved is the answer to WantSave: nil when it is on disk.
func (m *Model) Saved(number int, err error) {
	if err != nil {
		m.do(console.Event{Kind: console.SaveFailedEvent, Value: number, Text: err.Error()})
		m.wrong = true
		return
	}
	m.do(console.Event{Kind: console.SavedEvent, Value: number})
}

// Written is the answer to WantText.
func (m *Model) Written(path string, err error) {
	if err != nil {
		m.complain("%v", err)
		return
	}
	m.say("written to %s", path)
}

// Tick lets time pass: what is due of itself happens.
func (m *Model) Tick(now time.Duration) {
	m.now = max(m.now, now)
	m.playScript()
	m.tickCable()
	if due, ok := m.console.Next(); ok && due <= m.now {
		m.do(console.Event{Kind: console.TickEvent})
	}
}

// Next is when something is due of itself.
func (m *Model) Next() (time.Duration, bool) {
	due, ok := m.console.Next()
	for _, next := range []func() (time.Duration, bool){m.scriptDue, m.cableDue} {
		if at, waits := next(); waits && (!ok || at < due) {
			due, ok = at, true
		}
	}
	return due, ok
}

// LetGo lets every key go, whoever holds it, and pushes in what would keep it
// down. A pulse that has begun still ends by itself.
func (m *Model) LetGo() {
	m.release()
	for h := range m.held {
		m.do(console.KeyMoved(h.Key, 0, h.source))
	}
	for _, s := range m.in.Sostenutos {
		if m.console.Machine().On(s.Control) {
			m.do(console.Push(s.Control))
		}
	}
	m.say("all keys are let go")
}

func (m *Model) say(format string, args ...any) {
	m.message, m.wrong = m.signs.text(fmt.Sprintf(format, args...)), false
}

func (m *Model) complain(format string, args ...any) {
	m.say(format, args...)
	m.wrong = true
}
