package midiio_test

import (
	"fmt"

	"trundle/midiio"
)

// Running status and a real-time byte within a message (MIDI 1.0).
func ExampleTokenizer() {
	var t midiio.Tokenizer
	t.Feed([]byte{0x90, 60, 100, 64, 0xF8, 100}, func(m midiio.Message) { fmt.Println(m) })
	// Output:
	// note-on 1 60/C4 100
	// timing-clock
	// note-on 1 64/E4 100
}
