// Trundle simulates the control system of a pipe-organ console and proves a
// relay and its wiring against the instrument before anyone solders.
package main

import (
	"os"
	"os/signal"
)

func main() {
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, os.Interrupt)
	go func() {
		<-interrupted
		os.Exit(exitInterrupted)
	}()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
