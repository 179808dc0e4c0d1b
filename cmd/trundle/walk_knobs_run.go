package main

import (
	"bufio"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/circuit"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// knobsTest is the name of the test in a record.
const knobsTest = "knobs"

// findings are what is wrong, and where to look.
func (k *knobTest) findings(relay *wiring.Relay) (list []dayFailure) {
	for _, f := range k.plan.Decode(k.read) {
		var ids []string
		var items []wiring.Item
		for _, knob := range f.Knobs {
			ids = append(ids, k.id(knob))
			for _, kind := range f.Fault.Where() {
				items = append(items, wiring.Item{Kind: kind, Index: k.knobs[knob], Of: console.None})
			}
		}
		what := string(f.Fault)
		if f.Fault == walk.ContactOpen || f.Fault == walk.ContactShut {
			what = "its contact never changes: it never makes, or never breaks" // only what changes is told of
		}
		place := walk.Look(relay, k.in, items)
		list = append(list, dayFailure{strings.Join(ids, ", ") + ": " + what, place.Board, place.Pins, place.Legs})
	}
	return list
}

// testKnobs runs the test of the knobs, and keeps its rounds and its verdict.
func (f walkFlags) testKnobs(cmd *cobra.Command, path string, in *console.Instrument, m *mapping.Map, relay *wiring.Relay) error {
	if *f.ports.in.name == "" || *f.ports.out.name == "" {
		return complaint{"--knobs needs both ends of the cable", "name them with --in and --out"}
	}
	if f.to == "" {
		return complaint{"--to is missing", "name a file to keep the rounds and the verdict in, like day.jsonl"}
	}
	var knobs []int
	for c, control := range in.Controls {
		entry, ok := m.Find(mapping.Thing{Kind: mapping.Control, Index: c})
		switch {
		case control.Style != console.Moving:
		case !ok || !entry.Has(mapping.ToOrgan) || !entry.Has(mapping.ToConsole):
			fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s: %s is left out: the map has no message for both its coils and its contact\n", in.File, control.ID)
		default:
			knobs = append(knobs, c)
		}
	}
	if len(knobs) == 0 {
		return complaint{in.File + ": no knob has coils, and messages both ways", "trundle learn INSTRUMENT --table shows the map"}
	}
	c, err := f.openWalk(m.IsKey)
	if err != nil {
		return err
	}
	book, before, err := openDay(f.to, time.Now)
	if err != nil {
		return errors.Join(err, c.close(nil, nil))
	}
	if _, err := f.nameBefore(in.File, nameOf(in), walksOf(before)); err != nil {
		return errors.Join(err, c.close(nil, nil), book.close())
	}
	k, out := newKnobTest(in, m, relay, knobs), folded(cmd.OutOrStdout())
	k.out = bufio.NewWriter(out)
	k.keep = func(r dayRound) error { return book.add(dayEntry{Kind: "round", Who: f.who, Round: &r}) }
	err = c.run(k, wholeLines(cmd.InOrStdin()), nil, func(midiio.Timed) error { return nil })
	err = errors.Join(err, c.close(nil, nil), k.out.Flush())
	test := dayTest{Test: knobsTest, On: nameOf(in), In: *f.ports.in.name, Out: *f.ports.out.name}
	if k.done() {
		test.Failures = k.findings(relay)
		test.Good = len(test.Failures) == 0
		test.Found = []string{fmt.Sprintf("%s tested in %d rounds each way, %s", count(len(knobs), "knob"), k.plan.Rounds(), count(len(test.Failures), "fault"))}
	} else if k.mute {
		test.Found = []string{fmt.Sprintf("no contact of a knob was heard at %s, whether by hand or by coil", test.In)}
	} else {
		test.Found = []string{fmt.Sprintf("ended after %d of %s: not all knobs were read", k.move, count(len(k.plan.Moves), "move"))}
	}
	err = errors.Join(err, book.test(f.who, filesRead(path, f.relay, relay), test), book.close())
	for _, failure := range test.Failures {
		fmt.Fprintln(out, failure.What)
		for _, leg := range failure.Legs {
			fmt.Fprintf(out, "  %s\n", leg)
		}
	}
	fmt.Fprintf(out, "%s\nkept in %s; its seal is %s\n", test.Found[0], f.to, book.seal())
	switch {
	case err != nil:
		return err
	case k.mute:
		return complaint{"the test ended, as no contact was heard", "move a knob by hand and see what `trundle watch --in " + shellQuote(test.In) + "` shows; are the coils fed?"}
	case !k.done():
		return complaint{"the test ended before all knobs were read", "begin it again"}
	case !test.Good:
		return errBad
	}
	return nil
}

// How knobs are grouped where the relay file does not say: few enough for a small
// supply. Common practice, no source.
const (
	knobGroup = 4
	knobGap   = 100 * time.Millisecond
)

func newKnobTest(in *console.Instrument, m *mapping.Map, relay *wiring.Relay, knobs []int) *knobTest {
	k := &knobTest{in: in, knobs: knobs, organ: m.End(mapping.AtOrgan, "walk"), ear: m.End(mapping.AtOrgan, "console"), gap: knobGap,
		travel: console.DefaultTravel * time.Millisecond, made: make([]bool, len(knobs))}
	group := knobGroup
	if relay != nil && circuit.Given(relay) {
		if c, _ := circuit.Read(relay, in); c != nil && c.Settings.Group > 0 {
			group, k.gap = c.Settings.Group, time.Duration(c.Settings.Gap*float64(time.Millisecond))
		}
	}
	if in.Combination != nil && in.Combination.Travel > 0 {
		k.travel = time.Duration(in.Combination.Travel) * time.Millisecond
	}
	k.plan = walk.NewKnobPlan(len(knobs), group)
	for knob := range knobs {
		k.should = append(k.should, k.plan.Should(knob))
	}
	return k
}
