package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/fault"
)

func standinCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "standin INSTRUMENT --relay RELAY --in PORT --out PORT",
		Short: "Stand in for a relay at a port: hear keys and stops, and say which valves open",
		Long: `Be a relay in simulation, at the organ's end of a MIDI cable, until Ctrl-C. It
hears keys and controls as the section midi of the instrument maps them, scans
their contacts, does what the relay's table says with the wiring as it is, and
reports every valve that opens or shuts. The default map has messages for that; a
section midi takes the place of all of it, so it must have valves as nrpns, or as
notes with way: to-console (trundle explain midi).

It has a combination action, and knobs of its own: a piston that is pressed over
MIDI moves them and is answered by what moved, its lamp, and the valves. What is
set lasts until Ctrl-C, or in the file of --memory.

--fault makes a mistake in it, CLASS:WHERE, and may be given several times. WHERE
is pins, or a row of a table; what a row is to ask instead stands behind a =.
It changes what keys and controls are read, and which valves open: pistons, coils
and lamps go past the wiring.
--fault list shows the classes, each with an example from this relay.

With --loop X6:K3 it has a plug in that leads outputs to key inputs, as bench --whole
--loop tries one; it then reports the keys that it sees pressed behind the plug, which
need way: both in the map, and no valves.

With --jambs it is the knobs of the console instead, at the other end of the cable, for
walk --knobs: they follow their coils and tell of their contacts, where the relay's list
of what was soldered has them. Write draw or push to move all by hand, draw ID for one.

In time it is as good as --scan and --debounce say. --bounce has contacts bounce,
--late has outputs follow late, --travel says how long a knob takes, --drop has it
read no keys for so long while controls move, --stuck has a contact always made.`,
		Example: `  trundle standin organ.yaml --relay relay.yaml --in pty:organ --out pty:organ
  trundle standin organ.yaml --relay relay.yaml --in network-listen:5004 --out network-listen:5004
  trundle standin organ.yaml --relay relay.yaml --in pty:organ --out pty:organ --memory practice-memory.yaml
  trundle standin organ.yaml --relay relay.yaml --in pty:organ --out pty:organ --jambs
  trundle standin organ.yaml --relay relay.yaml --fault list
  trundle standin organ.yaml --relay relay.yaml --in pty:organ --out pty:organ --fault pins-swapped:X3.13,X3.14 --bounce 3ms
  trundle standin organ.yaml --relay relay.yaml --in pty:organ --out pty:organ --fault wrong-control:switching.csv:9=flute-8`,
		Args: oneInstrument,
	}
	flags := cmd.Flags()
	relayPath := flags.String("relay", "", "relay design `FILE`")
	faults := flags.StringArray("fault", nil, "make the mistake `CLASS:WHERE`, or list them all: list")
	memory := flags.String("memory", "", "the memory `FILE` of the combination action, which is made if it is not there")
	ports := addCableFlags(cmd, "listen to the console at `PORT`", "say at `PORT` what opens")
	timing := bench.Timing{}
	flags.DurationVar(&timing.Scan, "scan", time.Millisecond, "read the contacts so often")
	flags.DurationVar(&timing.Debounce, "debounce", 5*time.Millisecond, "believe a contact that reads alike for so long")
	flags.DurationVar(&timing.Bounce, "bounce", 0, "have contacts bounce for so long")
	flags.DurationVar(&timing.Late, "late", 0, "have outputs follow so late")
	flags.DurationVar(&timing.Travel, "travel", 50*time.Millisecond, "have knobs take so long to move")
	flags.DurationVar(&timing.Drop, "drop", 0, "read no keys for so long after a control has moved")
	flags.Uint64Var(&timing.Seed, "seed", 1, "of the bounces")
	loops := flags.StringArray("loop", nil, "have a plug in that leads outputs to key inputs, like `X6:K3`; may be given several times")
	jambs := flags.Bool("jambs", false, "be the knobs of the console, which follow their coils")
	stuck := flags.StringArray("stuck", nil, "have a contact always made: `great:C4`, or a control")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *relayPath == "" {
			return complaint{"--relay is missing", "name the relay design to stand in for"}
		}
		in, m, err := loadClearMap(cmd.ErrOrStderr(), args[0])
		if err != nil {
			return err
		}
		relay, err := loadRelay(*relayPath, in)
		if err != nil {
			return err
		}
		if slices.Contains(*faults, "list") {
			return listFaults(cmd.OutOrStdout(), fault.Examples(relay, in))
		}
		if err := checkTiming(timing); err != nil {
			return err
		}
		if timing.Stuck, err = stuckContacts(in, *stuck); err != nil {
			return err
		}
		loop, err := loopOf(in, relay, *loops)
		if err != nil {
			return err
		}
		relay, made, err := withFaults(relay, in, *faults)
		if err != nil {
			return err
		}
		if *jambs {
			return standInForJambs(cmd, ports, in, m, relay, made, timing)
		}
		organ := bench.NewStandIn(in, m, relay, timing)
		if loop != nil {
			err = reportsLoop(in, m, loop)
			organ.Plug(loop, relay)
		} else {
			err = reportsValves(in, m)
		}
		if err != nil {
			return err
		}
		if *memory == "" {
			return standIn(cmd, ports, in, m, organ, made, *loops, timing)
		}
		file, memories, err := openMemory(cmd, in, *memory)
		if err != nil {
			return err
		}
		defer file.Close()
		organ.Keep(memories, file.Save)
		return standIn(cmd, ports, in, m, organ, made, *loops, timing)
	}
	return cmd
}

// standIn runs the stand-in until it is interrupted.
func standIn(cmd *cobra.Command, ports cableFlags, in *console.Instrument, m *mapping.Map, organ *bench.StandIn, made, loops []string, timing bench.Timing) error {
	silent := silentRanks(in, m)
	if len(loops) > 0 {
		silent = nil // none is said anything of
	}
	for _, r := range silent {
		fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s: nothing is said of the valves of %s: they are not in the map\n", in.File, in.Ranks[r].ID)
	}
	c, err := ports.open(nil, false)
	if err != nil {
		return err
	}
	stdout := cmd.OutOrStdout()
	ports.tellStandIn(stdout, "the relay", in)
	for _, row := range m.Table() {
		if row.What == "valves" && row.ToConsole != "" && len(loops) == 0 {
			fmt.Fprintf(stdout, "  %s: %s\n", row.Name, row.ToConsole)
		}
	}
	for _, pair := range loops {
		fmt.Fprintf(stdout, "  plug: %s\n", pair)
	}
	tellMistakes(stdout, in, made, timing)
	organ.Says = func(text string) { fmt.Fprintf(stdout, "  %s\n", text) }
	return ports.standIn(c, organ)
}

// tellStandIn says what stands in at which port, and how to try it.
func (f cableFlags) tellStandIn(stdout io.Writer, what string, in *console.Instrument) {
	fmt.Fprintf(stdout, "standing in for %s of %s at %s\n", what, nameOf(in), *f.in.name)
	if in, out := otherEnd(*f.out.name), otherEnd(*f.in.name); in != "" && out != "" {
		fmt.Fprintf(stdout, "  try it from another terminal with --in %s --out %s; Ctrl-C ends it\n", shellQuote(in), shellQuote(out))
	}
}

func tellMistakes(stdout io.Writer, in *console.Instrument, made []string, timing bench.Timing) {
	for _, where := range made {
		fmt.Fprintf(stdout, "  mistake: %s\n", where)
	}
	for _, t := range timing.Stuck {
		fmt.Fprintf(stdout, "  stuck: %s\n", t.Name(in))
	}
}

// standIn has an actor stand in at a cable until it is interrupted, and counts.
func (f cableFlags) standIn(c *cable, a actor) error {
	heard, said := 0, 0
	tell := f.in.tellOf(f.in.cmd.ErrOrStderr())
	err := c.run(a, func() bool { return false }, func(t midiio.Timed, sent bool) {
		switch {
		case sent:
			said++
		case t.Message.Kind == midiio.Gone:
			tell(true, nil)
		case t.Message.Kind == midiio.Back:
			tell(false, nil)
		default:
			heard++
		}
	})
	if errors.Is(err, errEnded) {
		err = c.out.Drain(c.ctx) // a file of what a console said
	}
	fmt.Fprintf(f.in.cmd.OutOrStdout(), "heard %s, said %d\n", count(heard, "message"), said)
	return errors.Join(err, c.close(nil))
}

func nameOf(in *console.Instrument) string {
	if in.Name == "" {
		return in.File
	}
	return in.Name
}

// otherEnd is what the other end of a port is named by, "" where that is not known.
func otherEnd(port string) string {
	for kind, other := range map[string]string{"pty:": "serial:", "own:": "midi:", "network-listen:": "network:127.0.0.1:"} {
		if name, is := strings.CutPrefix(port, kind); is {
			return other + name
		}
	}
	return ""
}

// reportsValves complains of a map by which a relay cannot say which valves open.
func reportsValves(in *console.Instrument, m *mapping.Map) error {
	if len(silentRanks(in, m)) < len(in.Ranks) {
		return nil
	}
	line := strings.TrimSpace(mapping.Reports(in))
	if line == "" {
		line = fmt.Sprintf("valves: {%s: nrpns from 0 on channel 16}", in.Ranks[0].ID)
	}
	return complaint{in.File + ": the map has no message by which a relay says which valves open", "add to its section midi a line like " + line}
}

// silentRanks are the ranks of which the map reports some valve not.
func silentRanks(in *console.Instrument, m *mapping.Map) (list []int) {
	for r, rank := range in.Ranks {
		for v := range rank.Pipes {
			if entry, ok := m.Find(mapping.Thing{Kind: mapping.Valve, Index: rank.First + v}); !ok || !entry.Has(mapping.ToConsole) {
				list = append(list, r)
				break
			}
		}
	}
	return list
}
