package desk

import "trundle/console"

// ItemKind is a kind of thing that can be worked.
type ItemKind uint8

const (
	NoItem ItemKind = iota
	MemoryItem
	TuttiItem
	SetItem
	CrescendoItem // its stage
	SequenceItem  // of the crescendo
	TransposerItem
	ControlItem // Index control
	SpeedItem   // Index tremulant
	KeyItem     // Index keyboard, Note
	ButtonItem  // Index button
	ShoeItem    // Index shoe
	PipeItem    // Index valve, in the pane
)

// Item is one thing that can be worked, or looked at.
type Item struct {
	Kind  ItemKind
	Index int
	Note  console.Note
}

func keyItem(k console.Key) Item { return Item{KeyItem, k.Keyboard, k.Note} }

func (i Item) key() console.Key { return console.Key{Keyboard: i.Index, Note: i.Note} }
