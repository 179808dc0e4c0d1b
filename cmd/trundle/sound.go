package main

import (
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
)

func soundCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "sound INSTRUMENT",
		Short: "Say which pipes sound for some keys and stops, and why",
		Long: `Resolve one state of an instrument: the valves that open, the pipes on them,
their pitch, whether they have wind, and the paths from key to valve, those of
fewest couplers first; a coupler counts each time it is passed. With
--relay, run the relay in that state too, and set the pins that it drives beside
those that its wiring plan asks for; the exit code is 1 when it opens other
valves than it should. With --to, write the pipes that have wind as a MIDI file
too, for any synthesizer: a channel a family, each pipe at its own pitch.`,
		Example: `  trundle sound organ.yaml --draw great-principal-8 --play great:C4,E4,G4
  trundle sound organ.yaml --draw choir-flute-8,choir-to-great-4 --play great:C4 --play pedal:C2
  trundle sound organ.yaml --crescendo 3 --play great:C4:2 --format json
  trundle sound organ.yaml --draw great-principal-8 --play great:C4 --relay relay.yaml
  trundle sound organ.yaml --draw great-principal-8 --play great:C4 --to chord.mid`,
		Args: oneInstrument,
	}
	flags := addStateFlags(cmd)
	relay := cmd.Flags().String("relay", "", "relay design `FILE`, to run beside the instrument")
	form := formFlag(cmd, "text", "json", "csv")
	to := cmd.Flags().String("to", "", "write what sounds to a new MIDI `FILE.mid`")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return err
		}
		state, err := flags.state(in)
		if err != nil {
			return err
		}
		answer := answerSound(in, state)
		if *relay != "" {
			if err := addRelay(&answer, in, state, *relay, form.chosen); err != nil {
				return err
			}
		}
		if *to != "" {
			if err := writeChord(*to, in, state); err != nil {
				return err
			}
		}
		if err := writeSound(cmd.OutOrStdout(), in, state, answer, form.chosen); err != nil {
			return err
		}
		if r := answer.Relay; r != nil && len(r.Missing)+len(r.Extra) > 0 {
			return errBad
		}
		return nil
	}
	return cmd
}

// addRelay runs the relay in the state too.
func addRelay(answer *soundAnswer, in *console.Instrument, state console.State, path, form string) error {
	switch {
	case form == "csv":
		return complaint{"--format csv has no place for what a relay does", "take text or json"}
	case state.Transpose != 0:
		return complaint{"a relay does not transpose", "leave out --transpose or --relay"}
	}
	relay, err := loadRelay(path, in)
	if err != nil {
		return err
	}
	does := runRelay(in, relay, state)
	answer.Relay = &does
	return nil
}

func writeSound(w io.Writer, in *console.Instrument, state console.State, answer soundAnswer, form string) error {
	switch form {
	case "json":
		return writeJSON(w, answer)
	case "csv":
		return writeCSV(w, soundRows(answer))
	}
	_, err := io.WriteString(w, soundText(in, state, answer, inkFor(w)))
	return err
}

// answerSound resolves one state.
func answerSound(in *console.Instrument, state console.State) soundAnswer {
	sounding := console.NewSounding(in)
	sounding.Set(state)
	answer := soundAnswer{Schema: "trundle.sound/1", Valves: []openValve{}, Cut: sounding.PathsCut()}
	for r, rank := range in.Ranks {
		for number := 1; number <= rank.Pipes; number++ {
			valve := rank.Valve(number)
			if !sounding.Open(valve) {
				continue
			}
			v := openValve{
				Rank:   rank.ID,
				Number: number,
				Note:   int(rank.Note(number)),
				Pipes:  rank.PipesOn(number),
				Wind:   sounding.Speaks(valve),
			}
			for _, hz := range in.Hz(r, number) {
				v.Hz = append(v.Hz, hertz(hz))
			}
			v.Because, v.Paths = waysTo(in, sounding, valve)
			if v.Wind {
				answer.Pipes += v.Pipes
			}
			answer.Valves = append(answer.Valves, v)
		}
	}
	return answer
}

func waysTo(in *console.Instrument, sounding *console.Sounding, valve int) ([]way, int) {
	paths, total := sounding.Because(valve)
	ways := make([]way, len(paths))
	for i, p := range paths {
		couplers := make([]string, len(p.Couplers))
		for j, c := range p.Couplers {
			couplers[j] = in.Couplers[c].ID
		}
		ways[i] = way{in.Keyboards[p.Key.Keyboard].ID, int(p.Key.Note), couplers, in.Stops[p.Stop].ID}
	}
	return ways, total
}

// soundRows is the answer as a table, a row for each open valve.
func soundRows(a soundAnswer) [][]string {
	rows := [][]string{{"rank", "number", "note", "pipes", "hz", "wind", "paths", "because"}}
	for _, v := range a.Valves {
		because := make([]string, len(v.Because))
		for i, w := range v.Because {
			because[i] = w.String()
		}
		hz := make([]string, len(v.Hz))
		for i, f := range v.Hz {
			hz[i] = strconv.FormatFloat(float64(f), 'f', 3, 64)
		}
		rows = append(rows, []string{
			v.Rank, strconv.Itoa(v.Number), console.Note(v.Note).String(), strconv.Itoa(v.Pipes), strings.Join(hz, " "),
			strconv.FormatBool(v.Wind), strconv.Itoa(v.Paths), strings.Join(because, "; "),
		})
	}
	return rows
}
