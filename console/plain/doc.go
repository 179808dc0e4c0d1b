// Package plain says which valves are open in a state of an instrument. It is
// the definition of what sounds, first in words and then in functions that take
// its steps one by one, under its letters, as slowly as they read. What is fast
// is tested against it, and no counterexample is shown before it agrees. It
// keeps nothing from one call to the next.
//
// # The definition
//
// P(m, k) says that key k of keyboard m is held. A control is on when it is
// drawn, or the crescendo's stage or the tutti adds it, and neither drops it
// ([console.Instrument.On]). A coupler is own to its division d when it reads
// d's own keys, and foreign when it reads another keyboard. It passes keys(c):
// the keys that the file gives it, within the compass of its keyboard, or within
// notes(d) where it is own; and shifts them by s semitones.
//
// Before step 1, in this order: a transfer that is on exchanges the P of two
// keyboards; the transposer shifts every P, and what it pushes off a compass
// still reaches lines, but moves no other keyboard's keys; a divide that is on
// keeps the keys of its keyboard below the split from the foreign couplers that
// read it, and those from the split up from the home line.
//
//  1. Coupler keys Q are the least sets in which every P(m, k) is Q(m, k), and
//     which a foreign coupler that is on and carries all extends: from Q(a, k)
//     of its keyboard a to Q(h, k+s) of its division's home keyboard h, for k in
//     keys(c) and k+s within the compass of h. It pulls keys down, so the
//     couplers behind them follow; and since the sets are the least ones, a ring
//     of couplers does not hold itself down.
//  2. Own keys O(d, n) are those that own couplers of d read: Q(h, n) of the home
//     keyboard, and what a foreign coupler to d brings, Q(a, k) with n = k+s, if
//     it is on and carries own, or if d floats.
//  3. The line L(d, n), for n in notes(d), is everything that reaches the
//     division. Home: P(h, n), unless any unison off of d is on. Foreign: Q(a, k)
//     with n = k+s for every foreign coupler to d that is on, whatever it
//     carries, unless a unison off that cuts the line or all is on. Own: O(d, k)
//     with n = k+s for every own coupler that is on, unless a unison off that
//     cuts all is on. Own couplers do not read one another: 16 and 4 foot sound
//     three notes of a key and no ladder. A foreign coupler that picks passes the
//     lowest or highest of the keys that it would pass, in 2 and in 3; where that
//     lands outside notes(d) no other takes its place.
//  4. A take of footage F from a rank of footage R shifts by round(12 log2(R/F))
//     semitones, and not at all from a rank with breaks. A line note n within the
//     notes of the stop and of the take wants valve n + shift - from + 1 of the
//     rank, counted from 1. Past an end it is silent; or it is folded, down from
//     above and up from below, by octaves until it is inside, and silent where it
//     never is.
//  5. A valve is open when a stop that is on takes it for a note of its
//     division's line, once, however many ways lead there. Its pipes speak when
//     they have wind too: no ventil that is on cuts their rank, and every ventil
//     that admits it is on.
//
// Keys of two contacts make all this twice over. The second contact's sets begin
// with the keys that are held down to it. A coupler that reads the second contact
// reads those sets for both and extends both; a stop that does takes from the
// second contact's line.
//
// Sostenuto and pizzicato depend on what was before; they act on what is held,
// in [console.Machine], and are no part of this. How a valve's pipes sound is
// [console.Instrument.Hz].
package plain
