package console

// EventKind is what was done at the console, or to it; its text is the first
// word of the event's line in a log.
type EventKind string

const (
	KeyEvent       EventKind = "key"       // Index keyboard, Note, Value contacts made: 0, 1 or 2, Text source
	DrawEvent      EventKind = "draw"      // Index control: its contact closed
	PushEvent      EventKind = "push"      // Index control: its contact opened
	TouchEvent     EventKind = "touch"     // Index control: a lit one was pressed, which toggles it
	ShoeEvent      EventKind = "shoe"      // Index shoe, Value position, 0 to ShoeMost
	StageEvent     EventKind = "stage"     // Value crescendo stage, from 0
	SequenceEvent  EventKind = "sequence"  // Index of the crescendo's sequence
	TuttiEvent     EventKind = "tutti"     // Value 0 or 1
	TransposeEvent EventKind = "transpose" // Value semitones
	SpeedEvent     EventKind = "speed"     // Index tremulant, Value which of its speeds, from 1
	TickEvent      EventKind = "tick"      // nothing, but time has passed

	// Of the combination action.
	PressEvent      EventKind = "press"       // Index button
	ReleaseEvent    EventKind = "release"     // Index button
	ObeyEvent       EventKind = "obey"        // Value 1: no real knobs hang on the console, coils move them at once
	MemoryEvent     EventKind = "memory"      // Value memory, from 1
	LockEvent       EventKind = "lock"        // From.Memory, Value 0 or 1
	CopyEvent       EventKind = "copy"        // From, To
	SwapEvent       EventKind = "swap"        // From, To
	ClearEvent      EventKind = "clear"       // From
	InsertEvent     EventKind = "insert"      // From: what is drawn goes here, this general and those behind it move up
	UndoEvent       EventKind = "undo"        // takes the last change of the memories back
	SavedEvent      EventKind = "saved"       // Value number of the save
	SaveFailedEvent EventKind = "save-failed" // Value number of the save, Text why
)

// Event is one thing done. Which fields count depends on its kind.
type Event struct {
	Kind     EventKind
	Index    int
	Note     Note
	Value    int
	From, To Slot
	Text     string
}

// Slot is where a combination is kept: a button of a memory, or the whole
// memory when Button is None.
type Slot struct {
	Memory int // from 1
	Button int
}

// ShoeMost is the position of a shoe that is fully open. Seven bits v of MIDI
// are position v * 128, so that stage floor(v * (n + 1) / 128) is the same.
const ShoeMost = 1<<14 - 1

// KeyMoved is an event of a key, which makes 0, 1 or 2 contacts. A key that is held
// by several sources lets go when the last does; "" is the console itself.
func KeyMoved(k Key, contacts int, source string) Event {
	return Event{Kind: KeyEvent, Index: k.Keyboard, Note: k.Note, Value: contacts, Text: source}
}

// Draw and Push are events of a control's contact.
func Draw(control int) Event { return Event{Kind: DrawEvent, Index: control} }

// Push is the reverse of Draw.
func Push(control int) Event { return Event{Kind: PushEvent, Index: control} }

// MoveShoe is an event of a shoe.
func MoveShoe(shoe, position int) Event {
	return Event{Kind: ShoeEvent, Index: shoe, Value: position}
}

// Press and Release are events of a button.
func Press(button int) Event { return Event{Kind: PressEvent, Index: button} }

// Release is the reverse of Press.
func Release(button int) Event { return Event{Kind: ReleaseEvent, Index: button} }
