package main

import (
	"fmt"
	"os"

	"trundle/cmd/trundle/desk"
	"trundle/midiio"
)

// deskThatPanics is a program of the tests: a desk that panics when what it
// shows is to be written.
func deskThatPanics() {
	in, _, err := loadInstrument(os.Args[1])
	if err == nil {
		write := func(string, string) error { panic("a fault of ours") }
		err = runDesk(desk.New(in, desk.Options{}), desk.Outside{Clock: midiio.NewClock(), Write: write})
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(exitFailed)
}
