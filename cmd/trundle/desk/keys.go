package desk

import (
	"slices"
	"strings"
)

// Action is something that a key of the terminal does.
type Action string

// Bindings are what keys do. A key is a character, or a name like Enter.
type Bindings map[string]Action

// Binding is an action with the keys that it has at first and what it does.
type Binding struct {
	Action Action
	Keys   []string
	What   string
}

// Actions are all of them but for the notes, in the order of the help.
var Actions = []Binding{
	{"left", []string{"Left"}, "one to the left; one key down"},
	{"right", []string{"Right"}, "one to the right; one key up"},
	{"up", []string{"Up"}, "one row up"},
	{"down", []string{"Down"}, "one row down"},
	{"next-group", []string{"Tab"}, "on to the next stops, couplers, keys or buttons"},
	{"last-group", []string{"Shift-Tab"}, "back to the one before"},
	{"next-keyboard", []string{"PgDn"}, "down to the next keyboard"},
	{"last-keyboard", []string{"PgUp"}, "up to the one before"},
	{"first", []string{"Home"}, "to the first of the row"},
	{"last", []string{"End"}, "to the last of the row"},
	{"find", []string{"/"}, "find a stop, coupler or button by its name"},
	{"work", []string{"Enter", "Space"}, "hold, draw or press what is under the cursor"},
	{"more", []string{"+", "="}, "open the shoe under the cursor, or raise the memory"},
	{"less", []string{"-"}, "close or lower it"},
	{"let-go", []string{"Backspace"}, "let all keys go"},
	{"octave-down", []string{","}, "the letters play an octave lower"},
	{"octave-up", []string{"."}, "the letters play an octave higher"},
	{"keyboard-down", []string{"<"}, "the letters play the keyboard below"},
	{"keyboard-up", []string{">"}, "the letters play the keyboard above"},
	{"set", []string{"x"}, "hold the set piston, and let it go"},
	{"mark", []string{"M"}, "mark the piston, or the memory, under the cursor"},
	{"copy", []string{"C"}, "copy what is marked to the one under the cursor"},
	{"swap", []string{"S"}, "swap the two"},
	{"lock", []string{"L"}, "lock the memory against captures, or unlock it"},
	{"undo", []string{"z"}, "take the last capture, copy, swap or lock back"},
	{"sounding", []string{"1"}, "pane: the pipes that sound; again: into it, and back"},
	{"why", []string{"2"}, "pane: what is under the cursor does, and why it sounds"},
	{"traffic", []string{"3"}, "pane: MIDI messages"},
	{"wires", []string{"4"}, "pane: the relay's pins and currents"},
	{"no-pane", []string{"0"}, "no pane"},
	{"pane-up", []string{"["}, "scroll the pane up"},
	{"pane-down", []string{"]"}, "scroll it down"},
	{"show", []string{"c"}, "show what the stop, coupler or piston does"},
	{"step", []string{"n"}, "one step on, of what is shown or of the script"},
	{"back", []string{"b"}, "one step back of what is shown"},
	{"write", []string{"v"}, "write what is shown into a file"},
	{"pause", []string{"p"}, "the script waits, or goes on"},
	{"background", []string{"F9"}, "colours for a light or a dark background"},
	{"redraw", []string{"Ctrl-L"}, "draw the screen anew"},
	{"help", []string{"?", "F1"}, "this help"},
	{"leave", []string{"Esc"}, "leave the help, what is shown, the find line; mark nothing"},
	{"quit", []string{"Ctrl-Q", "F10"}, "quit"},
}

// heads stand in the help above the action with which a part of it begins.
var heads = map[Action]string{
	"left": "Going about", "work": "Playing", "octave-down": "Letters that play, from the C that is marked; the same letter lets go",
	"set": "Pistons and memories", "sounding": "Panes", "show": "Showing", "background": "The desk",
}

// noteKeys are the letters that play, from C up. Two rows of the terminal's
// keys are the two sides of a chest: C, D, E, F#, G#, A# stand in one, C#, D#,
// F, G, A, B in the row behind it. A chord has the same shape on every key of
// its row.
const noteKeys = "aqswdefrgthyjukilo"

// DefaultKeys are the bindings that a desk has when nothing else is asked for.
func DefaultKeys() Bindings {
	b := Bindings{}
	for _, a := range Actions {
		for _, key := range a.Keys {
			b[key] = a.Action
		}
	}
	for above, letter := range noteKeys {
		b[string(letter)] = notes[above]
	}
	return b
}

// notes are the actions of the notes, from the C of the octave that the letters
// play to the F an octave above.
var notes = []Action{"note c", "note c#", "note d", "note d#", "note e", "note f", "note f#", "note g", "note g#", "note a", "note a#", "note b",
	"note c+", "note c#+", "note d+", "note d#+", "note e+", "note f+"}

// of lists the keys that do something, as help shows them.
func (b Bindings) of(a Action) []string {
	var keys []string
	for key, does := range b {
		if does == a {
			keys = append(keys, key)
		}
	}
	slices.SortFunc(keys, func(x, y string) int {
		if len(x) != len(y) {
			return len(y) - len(x) // names before characters
		}
		return strings.Compare(x, y)
	})
	return keys
}
