package main

import (
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/sim/circuit"
)

// currentFlags are what a report of currents is asked for.
type currentFlags struct {
	relay string
	span  int
	group int
	gap   float64
	size  bool
	power bool
	state *stateFlags
}

func currentCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "current INSTRUMENT --relay RELAY",
		Short: "Work out currents and voltages, and the chords that load a relay most",
		Long: `Work out the current through every supply, fuse, board, return and cable of a
relay: with everything on that can be on together, and with what one player can
hold: ten fingers, two feet, all stops and couplers. Each worst chord is shown as
sound takes it. Where it is not proven to be the worst, the bound that no chord
exceeds stands beside it. knobs is what coils of knobs and sliders draw besides
while they move, as they are grouped (pulses, in a table); margin is what is rated
less that bound and knobs. A cluster is twenty neighbouring keys. Amps are those of
each load alone, cold, at the supply's volts without load; those settled are of the
network as a whole.

The magnets of shades count as on, wherever a shoe stands; the transposer, and
what depends on history, are outside. Knobs move all at once, or as the relay
file groups them, or in groups of one's own: --group 8 --gap 50.

With --draw and --play, work out that state too. With --size, choose the fuses,
supplies, feeds, cables and returns that pass, wires with the least copper, and
say what one size smaller would break; a wire needs a length for that. With
--power-up, list what each fuse should show when there is power for the first
time. The exit code is 1 when there is an error; with --size, when there is one
that no size mends.

It is ` + circuit.Caution + ".",
		Example: `  trundle current organ.yaml --relay relay.yaml
  trundle current organ.yaml --relay relay.yaml --draw great-principal-8 --play great:C4,E4,G4
  trundle current organ.yaml --relay relay.yaml --group 8 --gap 50
  trundle current organ.yaml --relay relay.yaml --size
  trundle current organ.yaml --relay relay.yaml --power-up --format csv`,
		Args: oneInstrument,
	}
	f := &currentFlags{state: addStateFlags(cmd)}
	flags := cmd.Flags()
	flags.StringVar(&f.relay, "relay", "", "relay design `FILE`, which says what is electrical")
	flags.IntVar(&f.span, "span", circuit.OnePlayer.Span, "a hand spans `N` semitones")
	flags.IntVar(&f.group, "group", 0, "move `N` knobs at once, as the relay file says when 0")
	flags.Float64Var(&f.gap, "gap", 0, "and the next after `MS` milliseconds")
	flags.BoolVar(&f.size, "size", false, "choose sizes that pass")
	flags.BoolVar(&f.power, "power-up", false, "list what to expect at the first power-up")
	form := formFlag(cmd, "text", "json", "csv")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		answer, err := f.answer(args[0])
		if err != nil {
			return err
		}
		out := cmd.OutOrStdout()
		switch form.chosen {
		case "json":
			err = writeJSON(out, answer)
		case "csv":
			err = writeCSV(out, currentRows(answer))
		default:
			_, err = io.WriteString(out, currentText(answer, inkFor(out)))
		}
		if err == nil && answer.bad() {
			return errBad
		}
		return err
	}
	return cmd
}

// answer works the report out.
func (f *currentFlags) answer(path string) (*currentAnswer, error) {
	switch {
	case f.relay == "" && notAnother(path, instrumentKind) != nil:
		return nil, notAnother(path, instrumentKind)
	case f.relay == "":
		return nil, complaint{"current needs a relay", "name it with --relay"}
	case f.span < 0 || f.span > 127:
		return nil, complaint{"--span: no hand spans " + strconv.Itoa(f.span) + " semitones", "take 0..127"}
	case f.size && f.power:
		return nil, complaint{"--size and --power-up are two reports", "ask for one of them"}
	case f.group < 0 || !(f.gap >= 0 && f.gap <= 60_000) || (f.group > 0) != (f.gap > 0):
		return nil, complaint{"--group and --gap go together, both above 0", "write them like --group 8 --gap 50"}
	}
	in, _, err := loadInstrument(path)
	if err != nil {
		return nil, err
	}
	relay, err := loadRelay(f.relay, in)
	if err != nil {
		return nil, err
	}
	state, err := f.state.state(in)
	if err != nil {
		return nil, err
	}
	if state.Transpose != 0 {
		return nil, complaint{"a relay does not transpose", "leave out --transpose"}
	}
	if !circuit.Given(relay) {
		return nil, complaint{f.relay + ": nothing in it is electrical", "give it supplies and magnets, like magnets: {all: {kinds: [valve, note], ohms: 150}}"}
	}
	c, found := circuit.Read(relay, in)
	if c == nil {
		return nil, broken{found, checkCommandFor(path, f.relay)}
	}
	if f.group > 0 {
		c.Settings.Group, c.Settings.Gap = f.group, f.gap
	}
	player := circuit.OnePlayer
	player.Span = f.span
	reporter := circuit.NewReporter(c, relay, in, player)
	report := reporter.Report()
	answer := answerCurrent(c, in, reporter, report)
	if f.state.draw != nil || f.state.play != nil || f.state.tutti || f.state.crescendo > 0 {
		answer.Asked = answerAsked(c, in, reporter, report, state)
	}
	if f.size {
		answer.Sizes = answerSizes(reporter.Sizes(report))
	}
	if f.power {
		if answer.PowerUp = answerPower(c, relay, reporter); len(answer.PowerUp.Fuses) == 0 {
			return nil, complaint{f.relay + ": no magnets have both ohms and a supply", "give it magnets, and boards a supply"}
		}
	}
	return answer, nil
}

// currentRows is the answer as a table: a row for each place, size or step.
func currentRows(a *currentAnswer) [][]string {
	switch {
	case a.Sizes != nil:
		return sizeRows(a.Sizes)
	case a.PowerUp != nil:
		return powerRows(a.PowerUp)
	}
	rows := [][]string{{"kind", "id", "rated", "everything", "chord", "bound", "settled", "cluster", "margin", "one", "pulses", "asked", "play", "cluster-play", "draw"}}
	for i, l := range a.Lines {
		asked := ""
		if a.Asked != nil {
			asked = amps(a.Asked.Amps[i].Amps)
		}
		rows = append(rows, []string{l.Kind, l.ID, optional(l.Rated), amps(l.Everything), amps(l.Chord.Amps), amps(l.Chord.Bound), optional(l.Settled),
			amps(l.Cluster.Amps), optional(l.Margin), amps(l.One), amps(l.Pulses), asked, strings.Join(l.Chord.Play, " "), strings.Join(l.Cluster.Play, " "), strings.Join(a.Draw, ",")})
	}
	return rows
}

func amps(a rounded) string { return strconv.FormatFloat(a.thousandths(), 'f', 3, 64) }

func optional(a *rounded) string {
	if a == nil {
		return ""
	}
	return amps(*a)
}

// drawnIDs names the controls that a state has drawn.
func drawnIDs(in *console.Instrument, drawn []bool) []string {
	ids := []string{}
	for i, on := range drawn {
		if on {
			ids = append(ids, in.Controls[i].ID)
		}
	}
	return ids
}
