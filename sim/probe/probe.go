// Package probe finds out what a relay does by trying it: in few chords, coded
// so that the valves that open tell which key opened them, and in registrations
// in which one path leads to each.
package probe
