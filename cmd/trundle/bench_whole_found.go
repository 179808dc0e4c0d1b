package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"trundle/sim/fault"
	"trundle/sim/probe"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// smallestAnswer is the fewest keys and controls that show a mistake.
type smallestAnswer struct {
	Play    []string `json:"play"`
	Draw    []string `json:"draw"`
	Missing []string `json:"missing"` // valves that should open and do not
	Extra   []string `json:"extra"`
}

// smallest is the smallest case in which the mistakes that were found show, as
// a proof finds it among all states and not only among those that were tried;
// nil where none was found, where they do not show alike, or where it would show
// what is wrong with the relay's files besides.
func (t *wholeTest) smallest() *smallestAnswer {
	if len(t.found) == 0 || len(t.left) > 0 || t.plan.Loop != nil {
		return nil
	}
	c := proof.Prove(t.in, t.found[0].Ways[0].Relay).Counterexample
	if c == nil {
		return nil
	}
	planned := wiring.Run(t.relay, t.in, c.State).Open
	for _, f := range t.ways() {
		missing, extra := compareValves(planned, wiring.Run(f.Relay, t.in, c.State).Open)
		if !slices.Equal(missing, c.Missing) || !slices.Equal(extra, c.Extra) {
			return nil
		}
	}
	return &smallestAnswer{playFlags(t.in, c.State), drawFlags(t.in, c.State), valveNames(t.in, c.Missing), valveNames(t.in, c.Extra)}
}

// ways are all that one or another mistake may be.
func (t *wholeTest) ways() (list []fault.Fault) {
	for _, m := range t.found {
		list = append(list, m.Ways...)
	}
	return list
}

// ofWiring reports a mistake that a list of wiring can hold.
func ofWiring(f fault.Fault, r *wiring.Relay) bool {
	return f.In == fault.Soldered || f.In == fault.Joined && len(r.Joins) == 0
}

// writeAsFound writes the wiring as it was found. Where a mistake of the table
// would account for the answers as well as one of the wiring, it is that of the
// wiring which was asked for.
func (t *wholeTest) writeAsFound(a wholeAnswer) error {
	say := func(format string, args ...any) {
		fmt.Fprintln(t.cmd.ErrOrStderr(), "trundle:", *t.flags.asFound, fmt.Sprintf(format, args...))
	}
	rows := t.relay.Soldered()
	if a.Verdict != "equal" || a.Loop != nil {
		if len(a.Mistakes) == 0 || len(a.Leftover) > 0 {
			say("is not written: mistakes of the wiring do not account for all that was found")
			return nil
		}
		var made []fault.Fault
		for _, ways := range a.parts() {
			var wired []mistakeAnswer
			var others []string
			for _, m := range ways {
				if m.Wiring {
					wired = append(wired, m)
				} else {
					others = append(others, m.String())
				}
			}
			switch {
			case len(wired) > 1:
				say("is not written: %d mistakes of the wiring account for what was found, and nothing tells which: ring out %s", len(wired), strings.Join(wires(wired), ", "))
				return nil
			case len(wired) == 0:
				say("is not written: what was found is not a mistake of the wiring: %s", ways[0])
				return nil
			case len(others) > 0:
				say("has the wiring with %s; the table was taken for right, though %s in it would do the same", wired[0], strings.Join(others, ", or "))
			}
			made = append(made, wired[0].fault)
		}
		relay := made[0].Relay
		if len(made) > 1 {
			if x, is := probe.Make(t.relay, t.in, made); is {
				relay = x
			}
		}
		if len(probe.Differ(probe.Simulate(t.plan, relay, t.in), t.heard)) > 0 {
			say("is not written: the mistakes of the wiring alone do not account for all that was found")
			return nil
		}
		rows = relay.Soldered()
	}
	var b bytes.Buffer
	if err := wiring.WriteWiring(&b, t.relay, t.in, rows); err != nil {
		return err
	}
	return writeNew(*t.flags.asFound, b.Bytes())
}

// wires are the pins of mistakes, the first few of each.
func wires(list []mistakeAnswer) (pins []string) {
	const few = 4
	for _, m := range list {
		for _, pin := range m.Pins[:min(few, len(m.Pins))] {
			if !slices.Contains(pins, pin) {
				pins = append(pins, pin)
			}
		}
	}
	return pins[:min(2*few, len(pins))]
}
