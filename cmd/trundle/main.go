// Trundle simulates the control system of a pipe-organ console, speaks MIDI with
// its hardware, and proves a relay and its wiring against the instrument before
// anyone solders. `trundle demo` shows the last; every command has its --help.
package main

import (
	"os"
	"os/signal"
)

func main() {
	// A command with a port open takes the signal over (untilInterrupted).
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	go func() {
		<-interrupted
		os.Exit(exitInterrupted)
	}()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
