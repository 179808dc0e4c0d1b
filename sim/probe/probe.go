// Package probe finds out what a relay does by trying it: in few chords, coded
// so that the valves that open tell which key opened them, and in registrations
// in which one path leads to each.
//
// Its compiled relay asks what one relay answers to any chord, with one mistake
// after another in it. That of sim/cause is made to exchange rows and wires step
// by step, and to stop at each step for a look; it is kept apart for that.
package probe
