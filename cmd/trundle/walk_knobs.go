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

// knobTest moves knobs by their coils and reads their contacts, by a plan.
type knobTest struct {
	in     *console.Instrument
	knobs  []int // controls
	plan   walk.KnobPlan
	organ  *mapping.End // says what goes to the console
	ear    *mapping.End
	gap    time.Duration // from one group to the next
	travel time.Duration // that a knob has to arrive in
	out    *bufio.Writer

	move, group int
	clear       bool
	hand        bool // it waits for a hand
	next        time.Duration
	made        []bool // contacts, as they were told of
	read        [][]bool
	send        []midiio.Message
}

func (k *knobTest) begin(now time.Duration) {
	pulses := 0
	for _, move := range k.plan.Moves {
		pulses += len(move.Groups)
	}
	takes := time.Duration(pulses)*k.gap + time.Duration(len(k.plan.Moves))*k.travel
	fmt.Fprintf(k.out, "%s by their coils, %d rounds each way, about %.0f s\n", count(len(k.knobs), "knob"), k.plan.Rounds(), takes.Seconds())
	fmt.Fprintln(k.out, "knobs move by themselves: hands away from them. The relay times their pulses; watch that no coil stays on")
	fmt.Fprintln(k.out, "write clear when the jambs are")
}

func (k *knobTest) due() (time.Duration, bool) { return k.next, k.clear && !k.hand }

func (k *knobTest) say() []midiio.Message {
	said := k.send
	k.send = nil
	return said
}

func (k *knobTest) done() bool { return k.move == len(k.plan.Moves) }

func (k *knobTest) flush() (ended bool, err error) { return k.done(), k.out.Flush() }

func (k *knobTest) line(text string, now time.Duration) error {
	switch word := strings.TrimSpace(text); {
	case !k.clear && word == "clear":
		k.clear = true
		k.start(now)
	case k.clear && k.hand && word == "done":
		k.hand, k.next = false, now+k.travel
	case word != "":
		fmt.Fprintln(k.out, "write clear, or done when it was done by hand; Ctrl-C ends it")
	}
	return nil
}

// start begins a move.
func (k *knobTest) start(now time.Duration) {
	k.group, k.next = 0, now
	if k.done() || !k.plan.Moves[k.move].Hand {
		return
	}
	k.hand = true
	way := "push in"
	if k.plan.Moves[k.move].On {
		way = "draw"
	}
	fmt.Fprintf(k.out, "%s all knobs by hand, then write done\n", way)
}

func (k *knobTest) tick(now time.Duration) {
	if _, due := k.due(); !due || now < k.next {
		return
	}
	move := k.plan.Moves[k.move]
	if !move.Hand && k.group < len(move.Groups) {
		for _, knob := range move.Groups[k.group] {
			value := 0
			if move.On {
				value = 1
			}
			k.send = k.organ.Tell(k.send, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: k.knobs[knob]}, Value: value})
		}
		if k.group++; k.group == len(move.Groups) {
			k.next = now + k.travel
		} else {
			k.next = now + k.gap
		}
		return
	}
	k.read = append(k.read, append([]bool(nil), k.made...))
	k.move++
	k.start(now)
}

func (k *knobTest) hear(t midiio.Timed, _ time.Duration) error {
	for _, s := range k.ear.Hear(t).Signals {
		for i, control := range k.knobs {
			if s.Kind == mapping.Control && s.Index == control {
				k.made[i] = s.Value == 1
			}
		}
	}
	return nil
}

// findings are what is wrong, a line each.
func (k *knobTest) findings() (list []string) {
	for _, f := range k.plan.Decode(k.read) {
		var ids []string
		for _, knob := range f.Knobs {
			ids = append(ids, k.in.Controls[k.knobs[knob]].ID)
		}
		what := string(f.Fault)
		if f.Fault == walk.ContactOpen || f.Fault == walk.ContactShut {
			what = "its contact never changes: it never makes, or never breaks" // only what changes is told of
		}
		list = append(list, strings.Join(ids, ", ")+": "+what)
	}
	return list
}

// testKnobs runs the test of the knobs.
func (f walkFlags) testKnobs(cmd *cobra.Command, in *console.Instrument, m *mapping.Map, relay *wiring.Relay) error {
	if *f.ports.in.name == "" || *f.ports.out.name == "" {
		return complaint{"--knobs needs both ends of the cable", "name them with --in and --out"}
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
	k := newKnobTest(in, m, relay, knobs)
	k.out = bufio.NewWriter(cmd.OutOrStdout())
	c, err := f.openWalk(m.IsKey)
	if err != nil {
		return err
	}
	err = c.run(k, wholeLines(cmd.InOrStdin()), func(midiio.Timed) error { return nil })
	if err = errors.Join(err, c.close(nil), k.out.Flush()); err != nil {
		return err
	}
	if !k.done() {
		return complaint{"the test ended before all knobs were read", "begin it again"}
	}
	list := k.findings()
	for _, line := range list {
		fmt.Fprintln(cmd.OutOrStdout(), line)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s tested, %s\n", count(len(knobs), "knob"), count(len(list), "fault"))
	if len(list) > 0 {
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
	return k
}
