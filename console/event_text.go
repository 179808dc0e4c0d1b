package console

import (
	"strconv"
	"strings"
)

// word is one argument of an event in its text form.
type word int

const (
	keyboardWord word = iota
	noteWord          // C4
	touchWord         // up, down, deep
	sourceWord        // may be missing
	controlWord
	buttonWord
	shoeWord
	tremulantWord
	sequenceWord // counted from 1
	numberWord
	switchWord // off, on
	fromWord   // memory/button, or a memory alone
	toWord
	memoryWord // a memory alone
	restWord   // the rest of the line
)

// events are the text forms of all events.
var events = map[EventKind][]word{
	KeyEvent:        {keyboardWord, noteWord, touchWord, sourceWord},
	DrawEvent:       {controlWord},
	PushEvent:       {controlWord},
	TouchEvent:      {controlWord},
	ShoeEvent:       {shoeWord, numberWord},
	StageEvent:      {numberWord},
	SequenceEvent:   {sequenceWord},
	TuttiEvent:      {switchWord},
	TransposeEvent:  {numberWord},
	SpeedEvent:      {tremulantWord, numberWord},
	TickEvent:       {},
	PressEvent:      {buttonWord},
	ReleaseEvent:    {buttonWord},
	ObeyEvent:       {switchWord},
	MemoryEvent:     {numberWord},
	LockEvent:       {memoryWord, switchWord},
	CopyEvent:       {fromWord, toWord},
	SwapEvent:       {fromWord, toWord},
	ClearEvent:      {fromWord},
	InsertEvent:     {fromWord},
	UndoEvent:       {},
	SavedEvent:      {numberWord},
	SaveFailedEvent: {numberWord, restWord},
}

var (
	touches  = []string{"up", "down", "deep"}
	switches = []string{"off", "on"}
)

// AppendEvent appends the text of an event that the instrument can have.
func (in *Instrument) AppendEvent(line []byte, e Event) []byte {
	line = append(line, e.Kind...)
	for _, w := range events[e.Kind] {
		if text := in.wordOf(w, e); text != "" {
			line = append(append(line, ' '), text...)
		}
	}
	return line
}

func (in *Instrument) wordOf(w word, e Event) string {
	switch w {
	case keyboardWord:
		return in.Keyboards[e.Index].ID
	case noteWord:
		return e.Note.String()
	case touchWord:
		return touches[e.Value]
	case controlWord:
		return in.Controls[e.Index].ID
	case buttonWord:
		return in.Combination.Buttons[e.Index].ID
	case shoeWord:
		return in.Shoes[e.Index].ID
	case tremulantWord:
		return in.Tremulants[e.Index].ID
	case sequenceWord:
		return strconv.Itoa(e.Index + 1)
	case numberWord:
		return strconv.Itoa(e.Value)
	case switchWord:
		return switches[e.Value]
	case fromWord:
		return in.SlotText(e.From)
	case memoryWord:
		return strconv.Itoa(e.From.Memory)
	case toWord:
		return in.SlotText(e.To)
	}
	return strings.Join(strings.Fields(e.Text), " ")
}

// SlotText is a slot as text: 3/general-1, or 3 for the whole memory.
func (in *Instrument) SlotText(s Slot) string {
	if s.Button == None {
		return strconv.Itoa(s.Memory)
	}
	return strconv.Itoa(s.Memory) + "/" + in.Combination.Buttons[s.Button].ID
}

// examples are what messages show of each form.
var examples = map[EventKind]string{
	KeyEvent:        "key great C4 down",
	DrawEvent:       "draw great-principal-8",
	PushEvent:       "push great-principal-8",
	TouchEvent:      "touch great-principal-8",
	ShoeEvent:       "shoe swell 8192",
	StageEvent:      "stage 12",
	SequenceEvent:   "sequence 1",
	TuttiEvent:      "tutti on",
	TransposeEvent:  "transpose -2",
	SpeedEvent:      "speed swell-tremulant 2",
	TickEvent:       "tick",
	PressEvent:      "press general-1",
	ReleaseEvent:    "release general-1",
	ObeyEvent:       "obey on",
	MemoryEvent:     "memory 3",
	LockEvent:       "lock 3 on",
	CopyEvent:       "copy 3/general-1 4/general-2",
	SwapEvent:       "swap 3/general-1 4/general-2",
	ClearEvent:      "clear 3/general-1",
	InsertEvent:     "insert 3/general-4",
	UndoEvent:       "undo",
	SavedEvent:      "saved 1",
	SaveFailedEvent: "save-failed 1 no space left on device",
}
