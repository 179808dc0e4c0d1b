package bench

import (
	"time"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// Reference is how a script is written.
const Reference = `One step a line; what stands behind a # is for the reader.

  draw flute-8              push flute-8        a control on, or off
  press great C4 E4         release great C4    keys of a keyboard, C2..C7 too
  press general-1           release general-1   a button
  key great C4 deep         shoe swell 8192     any event of a console log
  note-on 1 C4 100          sysex 7E 7F 06 01   any MIDI message
  wait 20ms
  expect bourdon:13 on within 20ms              a valve opens
  expect great C4 off within 20ms               a key is let go
  expect flute-8 on within 20ms                 a control comes on, or its lamp
  expect general-1 on within 20ms               the lamp of a button
  expect note-on 3 C4 * within 20ms             a message; * is any number
  expect nothing for 200ms                      nothing that was not expected
  ask "does it speak?"                          y, or n, or what is wrong
  repeat 10 ... end
  for key in C2..C7 ... end                     $key is each of the keys
  include knobs.bench                           a script beside this one

What is expected may have come already, since the last step that said something; it
must come within so long of when that had left. Scripts go on after a step that
fails.
`

// Script is what is done one after another, with all loops written out.
type Script struct {
	File  string
	Steps []Step
}

// Sort is the sort of a step.
type Sort string

const (
	Say     Sort = "say"     // Events and Messages
	Wait    Sort = "wait"    // For
	Expect  Sort = "expect"  // Thing and Value, or Pattern, within For
	Nothing Sort = "nothing" // but what was expected, For so long
	Ask     Sort = "ask"     // Question
)

// Step is one step of a script.
type Step struct {
	At       finding.Place
	Text     string // as it is done, one blank between words
	Sort     Sort
	Events   []console.Event
	Messages []midiio.Message
	For      time.Duration
	Signal   *mapping.Signal // that is expected
	Pattern  []string        // words of a message that is expected, * for any
	Question string
}

// Checks reports a step that passes or fails.
func (s Step) Checks() bool { return s.Sort == Expect || s.Sort == Nothing || s.Sort == Ask }
