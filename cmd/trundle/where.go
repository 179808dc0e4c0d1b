package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/sim/wiring"
)

func whereCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "where RELAY PIN-OR-ITEM",
		Short: "Say what hangs on a pin, or on which pin something hangs",
		Long: `Say where something is: its pins and terminals, what hangs there by the plan and
by the solder, the cable with wire, pair and colour, and the switching rows that
drive or read it. Name it as

  X3.14                a pin of a board, or a terminal of a strip
  bourdon:26           a valve of a rank; without a magnet of its own, its note line and action
  great:C4             a key of a keyboard, or a note line of a chest
  great-principal-8    a stop, coupler or other control, a button, a shoe
  great-principal      a rank, for its action
  CX3:14               a wire of a cable

The instrument is the one that the relay names, unless --instrument names one.`,
		Example: `  trundle where relay.yaml X3.14
  trundle where relay.yaml bourdon:26
  trundle where relay.yaml great:C4 --instrument organ.yaml --format json`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) != 2:
				return complaint{"where needs a relay and what to look for", "write it like: trundle where relay.yaml X3.14"}
			case absent(args[0]) == nil && absent(args[1]) != nil:
				return complaint{args[0] + ": is no file, and " + args[1] + " is one", fmt.Sprintf("the relay stands first: trundle where %s %s", shellQuote(args[1]), shellQuote(args[0]))}
			}
			return nil
		},
	}
	instrument := cmd.Flags().String("instrument", "", "instrument `FILE`, when it is not the one that the relay names")
	form := formFlag(cmd, "text", "json")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		in, relay, err := relayAlone(args[0], *instrument)
		if err != nil {
			return err
		}
		answer, err := where(in, relay, args[1])
		if err != nil {
			return err
		}
		if out := cmd.OutOrStdout(); form.chosen == "json" {
			return writeJSON(out, answer)
		} else {
			return answer.text(out, inkFor(out))
		}
	}
	return cmd
}

// relayAlone reads a relay with the instrument that it names, or another.
func relayAlone(path, instrument string) (*console.Instrument, *wiring.Relay, error) {
	if err := readable(path); err != nil {
		return nil, nil, err
	}
	if err := notAnother(path, relayKind, instrumentKind); err != nil {
		return nil, nil, err
	}
	if instrument == "" {
		named, found := wiring.InstrumentOf(path)
		switch {
		case found != nil:
			return nil, nil, broken{findings: found}
		case named == "":
			return nil, nil, complaint{path + ": names no instrument", "name one with --instrument"}
		}
		instrument = named
	}
	in, _, err := loadInstrument(instrument)
	if err != nil {
		return nil, nil, err
	}
	relay, err := loadRelay(path, in)
	return in, relay, err
}

// where looks for a terminal, a wire or an item.
func where(in *console.Instrument, r *wiring.Relay, text string) (whereAnswer, error) {
	nets := wiring.Nets(r)
	items, noteless := wiring.Called(in, text)
	meeting, why := met(in, text)
	for _, item := range meeting {
		if !slices.Contains(items, item) {
			items = append(items, item)
		}
	}
	found := wiredTo(r, items)
	pin, isPin, err := terminal(r, text)
	switch {
	case err != nil:
		return whereAnswer{}, err
	case isPin:
		found = append(found, nets.Of(pin))
	default:
		found = append(found, onWire(r, text)...)
	}
	if len(found) == 0 && len(items) == 0 {
		return whereAnswer{}, unknownThing(in, r, text, noteless)
	}
	answer := whereAnswer{Schema: "trundle.where/1", Asked: text, Opens: why, Nets: []netAnswer{}, Unwired: []string{}}
	slices.Sort(found)
	for _, net := range slices.Compact(found) {
		answer.Nets = append(answer.Nets, answerNet(in, r, nets, net))
	}
	needed := wiring.Needed(in)
	pins := wiring.PinsOf(r, r.Soldered())
	for _, item := range items {
		if item.Kind == wiring.ActionOnKind || item.Kind == wiring.ActionOffKind { // the action stands for both
			continue
		}
		if len(pins[item]) == 0 && (len(found) == 0 || slices.Contains(needed, item)) && !actionPair(pins, item) {
			answer.Unwired = append(answer.Unwired, wiring.Describe(in, []wiring.Item{item}))
		}
	}
	return answer, nil
}

// actionPair reports whether an action is worked by a coil that turns it on.
func actionPair(pins map[wiring.Item][]wiring.Terminal, item wiring.Item) bool {
	item.Kind = wiring.ActionOnKind
	return len(pins[item]) > 0
}

// terminal is the pin or terminal that a text names: X3.14.
func terminal(r *wiring.Relay, text string) (t wiring.Terminal, is bool, err error) {
	name, number, dotted := strings.Cut(text, ".")
	for on := range len(r.Boards) + len(r.Strips) {
		id, pins := "", 0
		if on < len(r.Boards) {
			id, pins = r.Boards[on].ID, r.Boards[on].Pins
		} else {
			id, pins = r.Strips[on-len(r.Boards)].ID, r.Strips[on-len(r.Boards)].Pins
		}
		pin, bad := strconv.Atoi(number)
		switch {
		case id != name:
		case text == id:
			return t, false, complaint{id + " has many pins", fmt.Sprintf("name one, %s.1 to %s.%d", id, id, pins)}
		case !dotted || bad != nil || pin < 1 || pin > pins:
			return t, false, complaint{fmt.Sprintf("%s is no pin of %s", text, id), fmt.Sprintf("it has %s.1 to %s.%d", id, id, pins)}
		default:
			return wiring.Terminal{On: on, Pin: pin}, true, nil
		}
	}
	return t, false, nil
}

// wiredTo is the nets on which the plan or the solder hangs an item.
func wiredTo(r *wiring.Relay, items []wiring.Item) (nets []int) {
	for _, rows := range [][]wiring.Row{r.Plan, r.Soldered()} {
		list := wiring.NetsOf(r, rows)
		for net := range list.Len() {
			if slices.ContainsFunc(list.Hung(net), func(h wiring.Hung) bool { return slices.Contains(items, list.Item(h)) }) {
				nets = append(nets, net)
			}
		}
	}
	return nets
}

// onWire is the nets that a wire leads to: CX3:14.
func onWire(r *wiring.Relay, text string) (found []int) {
	cable, number, _ := strings.Cut(text, ":")
	wire, err := strconv.Atoi(number)
	if err != nil {
		return nil
	}
	nets := wiring.Nets(r)
	look := func(name string, wires []int, pins []wiring.Terminal) {
		for i := range min(len(wires), len(pins)) {
			if net := nets.Of(pins[i]); name == cable && wires[i] == wire && net >= 0 {
				found = append(found, net)
			}
		}
	}
	for _, row := range slices.Concat(r.Plan, r.Wired) {
		look(row.Cable, row.Wires, row.Pins)
	}
	for _, j := range r.Joins {
		look(j.Cable, j.Wires, j.From)
	}
	return found
}
