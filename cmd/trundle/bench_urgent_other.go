//go:build !linux

package main

import "time"

// urgent does nothing here.
func urgent() (done func()) { return func() {} }

// waitFor waits.
func waitFor(d time.Duration) { time.Sleep(d) }
