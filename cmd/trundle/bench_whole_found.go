package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"trundle/sim/fault"
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
	if len(t.found) == 0 || t.plan.Loop != nil {
		return nil
	}
	c := proof.Prove(t.in, t.found[0].Relay).Counterexample
	if c == nil {
		return nil
	}
	planned := wiring.Run(t.relay, t.in, c.State).Open
	for _, f := range t.found {
		missing, extra := compareValves(planned, wiring.Run(f.Relay, t.in, c.State).Open)
		if !slices.Equal(missing, c.Missing) || !slices.Equal(extra, c.Extra) {
			return nil
		}
	}
	return &smallestAnswer{playFlags(t.in, c.State), drawFlags(t.in, c.State), valveNames(t.in, c.Missing), valveNames(t.in, c.Extra)}
}

// ofWiring reports a mistake that a list of wiring can hold.
func ofWiring(f fault.Fault, r *wiring.Relay) bool {
	same := func(a, b []wiring.Switch) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) }
	return f.Relay.Wired != nil && same(f.Relay.Switch, r.Switch) && (len(r.Joins) == 0 || &f.Relay.Joins[0] == &r.Joins[0])
}

// writeAsFound writes the wiring as it was found. Where a mistake of the table
// would account for the answers as well as one of the wiring, it is that of the
// wiring which was asked for.
func (t *wholeTest) writeAsFound(a wholeAnswer) error {
	var wired []mistakeAnswer
	var others []string
	for _, m := range a.Mistakes {
		if m.Wiring {
			wired = append(wired, m)
		} else {
			others = append(others, m.String())
		}
	}
	say := func(format string, args ...any) {
		fmt.Fprintln(t.cmd.ErrOrStderr(), "trundle:", *t.flags.asFound, fmt.Sprintf(format, args...))
	}
	rows := t.relay.Soldered()
	switch {
	case a.Verdict == "equal" && a.Loop == nil:
	case len(wired) == 1:
		rows = wired[0].fault.Relay.Soldered()
		if len(others) > 0 {
			say("has the wiring with %s; the table was taken for right, though %s in it would do the same", wired[0], strings.Join(others, ", or "))
		}
	case len(wired) > 1:
		say("is not written: %d mistakes of the wiring account for what was found, and nothing tells which: ring out %s", len(wired), strings.Join(wires(wired), ", "))
		return nil
	default:
		say("is not written: what was found is not one mistake of the wiring")
		return nil
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
