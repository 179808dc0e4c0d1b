package main

import (
	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio/mapping"
	"trundle/sim/circuit"
	"trundle/sim/walk"
	"trundle/sim/wiring"
)

// walkFlags are what a walk is asked for.
type walkFlags struct {
	relay     string
	worksheet bool
	form      *choice
}

func walkCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "walk INSTRUMENT",
		Short: "Walk through a new organ: every wire, magnet, pipe, stop, knob and shade in turn",
		Long: `Walk through an organ in the order of the trade: wires rung out with the power
off, supplies, fuses, contacts, magnets one at a time with the wind off, note
lines, stop actions; then with wind what sounds unasked, what runs, every stop key
by key, couplers, knobs, pistons, lamps, shades, tremulants, and all of it at once.
With a relay that says what is electrical, each magnet stands with the amps that a
meter should show.

--worksheet prints the steps, with room for what became of them.

The blower and all mains are switched by who answers for them, never from here.
Local codes, and people licensed to work on such things, come first.`,
		Example: `  trundle walk organ.yaml --relay relay.yaml --worksheet
  trundle walk organ.yaml --relay relay.yaml --worksheet --format html`,
		Args: oneInstrument,
	}
	f := walkFlags{}
	flags := cmd.Flags()
	flags.StringVar(&f.relay, "relay", "", "relay design `FILE`")
	flags.BoolVar(&f.worksheet, "worksheet", false, "print the steps")
	f.form = formFlag(cmd, "text", "json", "csv", "html")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if !f.worksheet {
			return complaint{"walk prints its steps", "ask for them with --worksheet"}
		}
		in, m, err := loadMap(args[0])
		if err != nil {
			return err
		}
		relay, err := loadRelay(f.relay, in)
		if err != nil {
			return err
		}
		steps, err := planWalk(args[0], f.relay, in, m, relay)
		if err != nil {
			return err
		}
		return f.print(cmd, in, relay, steps)
	}
	return cmd
}

// planWalk is the steps through an instrument and its relay, if there is one.
func planWalk(path, relayPath string, in *console.Instrument, m *mapping.Map, relay *wiring.Relay) ([]walk.Step, error) {
	var c *circuit.Circuit
	if relay != nil && circuit.Given(relay) {
		read, found := circuit.Read(relay, in)
		if read == nil {
			return nil, broken{found, checkCommandFor(path, relayPath)}
		}
		c = read
	}
	direct := func(item wiring.Item) bool {
		entry, ok := m.Find(thingOf(in, item))
		return ok && entry.Has(mapping.ToOrgan)
	}
	return walk.Plan(in, relay, c, walk.Options{Direct: direct}), nil
}

// print prints the worksheet.
func (f walkFlags) print(cmd *cobra.Command, in *console.Instrument, relay *wiring.Relay, steps []walk.Step) error {
	a := answerWalk(nameOf(in), steps, func(s walk.Step) []string { return pinNames(relay, s.Pins) })
	out := cmd.OutOrStdout()
	switch f.form.chosen {
	case "json":
		return writeJSON(out, a)
	case "csv":
		return writeCSV(out, walkRows(a))
	case "html":
		return walkPage.Execute(out, a)
	}
	return writeWalkText(out, a, inkFor(out))
}

// thingOf is what messages are about for what hangs on a pin; the zero Thing for
// what has no messages.
func thingOf(in *console.Instrument, item wiring.Item) mapping.Thing {
	switch item.Kind {
	case wiring.KeyKind:
		return mapping.Thing{Kind: mapping.Key, Index: item.Index, Note: console.Note(item.Note)}
	case wiring.Key2Kind:
		return mapping.Thing{Kind: mapping.Second, Index: item.Index, Note: console.Note(item.Note)}
	case wiring.ControlKind, wiring.KnobOnKind, wiring.KnobOffKind:
		return mapping.Thing{Kind: mapping.Control, Index: item.Index}
	case wiring.ButtonKind:
		return mapping.Thing{Kind: mapping.Button, Index: item.Index}
	case wiring.ShoeKind:
		return mapping.Thing{Kind: mapping.Shoe, Index: item.Index}
	case wiring.StageKind:
		return mapping.Thing{Kind: mapping.Stage, Index: item.Note}
	case wiring.LampKind:
		if item.Index >= len(in.Controls) {
			return mapping.Thing{Kind: mapping.Button, Index: item.Index - len(in.Controls)}
		}
		return mapping.Thing{Kind: mapping.Control, Index: item.Index}
	case wiring.ValveKind:
		return mapping.Thing{Kind: mapping.Valve, Index: in.Ranks[item.Index].Valve(item.Note)}
	case wiring.NoteKind:
		division := item.Of
		if division == console.None {
			division = in.Chests[item.Index].Plays[0]
		}
		return mapping.Thing{Kind: mapping.Line, Index: division, Note: console.Note(item.Note)}
	}
	return mapping.Thing{}
}
