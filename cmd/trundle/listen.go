package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/sim/listen"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

func listenCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "listen INSTRUMENT --relay RELAY [SYMPTOM...]",
		Short: "Name the mistake in a relay by what is heard, where an ear is the only sensor",
		Long: `Where hardware reports nothing a person plays, and an ear is the only sensor.

Without a symptom, print what to play so that every single mistake in wiring and
table is heard that can be: few registrations, and keys for each, alone, as runs.
--together says how many stops of one division are drawn at a time, of different
footages; reeds and mixtures are alone. With --wiring the relay's own table is
trusted, here and below, which saves most registrations. That an ear hears of up to ` + strconv.Itoa(listen.MostAtOnce) + ` valves at a
time that one is missing, wrong or too many is common practice and has no source.

With symptoms, name the single mistakes that account for what was heard, the
likeliest first, and the next key to press: the one whose answer tells most.
Semicolons stand between sentences. A sentence is about a keyboard, a stop, a
coupler or a rank, and keys of it:

  great C#4 sounds D4
  flute dead above C5
  choir-to-great-8 C3..C4 dead with choir-viola-8

Keys are KEY, KEY..KEY, KEY to KEY, KEY and above, above KEY, all, bottom octave (the
lowest twelve keys), top octave, tenor F, middle C or top C, before the verdict or
behind it; above KEY and below KEY leave the key itself out. A key is the one that is pressed,
alone. A sentence holds of each key that it names, and says nothing of others.
Where it names none all are meant; for wrong and ciphers, some. One that names keys
and no keyboard or stop goes on from the sentence before: pedal C2 dead, C#2 dead.

  speaks, good, ok    what should sound does, and nothing else
  dead, won't speak   something should sound, and nothing does; so do silent, missing
  sounds NOTE, plays  what key NOTE should sound, and nothing else; of a note without
                      its octave, the nearest is meant; so does a semitone sharp or an
                      octave too low, of each key; C4 and C#4 swapped is two such
  also sounds NOTE    all that should sound, and what key NOTE should
  adds nothing        of a stop or coupler: it sounds as it should without that; so do
                      does not work, has no effect, does not come on
  wrong               something sounds, and it is not what should
  ciphers             it sounds while no key is pressed; so does great C4 stays on
  stays on            of a stop or coupler: it sounds, and is not drawn; so does will
                      not go off

The words may stand as one says them: no sound from flute above C5, cipher on pedal
F2, great C4 sounds with no key, flute C4 sounds with nothing drawn, great to pedal
adds nothing, great c sharp 4 plays a D. How each was understood is printed first, as
heard: great C4 dead. What no wire tells (hardly speaks, weak, slow, buzzes, out of
tune, tremulants, pistons, shades) is outside, and said to be.

What is drawn stands behind with, besides the stop or coupler itself, or nothing: with
nothing drawn. Without it,
that is a stop alone; of a keyboard, some stop of its divisions alone; of a coupler,
with some stop of the division that it plays; of a rank, some stop that takes it. A
name is an id, or words of id, name and division; one that fits several stops means
some of them. Ventils are taken as drawn that give wind to what is.

Mistakes are those in wiring, joins and table that change which pipes open, and what
is stuck on: key-stuck and stop-stuck, a contact that does not open or an input that
has found a supply; output-stuck, a pin that drives its valve, note or action for ever.
Outside is what no wire tells: a valve or pallet held open by dirt sounds as
output-stuck does, a slider, a tracker, wind, and a knob that does not move.

How likely a mistake is, is the part of the stops meant with which it would be heard
so (a quarter of it where the range that is named ends too early), times what is
common practice and has no source: one or two pins of the wiring are wrong more often
(1) than a row of the table or pins in it (1/2), and that more often than a whole run,
plug or board (1/4). Of equals the one with fewest pins stands first.

With --ask, lead from key to key until one mistake is left, or only such as nothing
tells apart. Answer with one of the verdicts that are shown; there, wrong is what
none of the others says. ? shows what can be said, skip asks for another key, back
takes the last answer back, end stops.

The exit code is 1 when no single mistake accounts for what was heard. With wind on,
reeds are loud: hearing protection in the chamber.`,
		Example: `  trundle listen organ.yaml --relay relay.yaml --wiring
  trundle listen organ.yaml --relay relay.yaml 'great C#4 sounds D4; flute dead above C5'
  trundle listen organ.yaml --relay relay.yaml 'great-principal-8 C4 dead' 'great D4 good' --format json
  trundle listen organ.yaml --relay relay.yaml --ask 'great C#4 sounds D4'`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return complaint{"listen needs an instrument file", "name one, like organ.yaml"}
			}
			return nil
		},
	}
	relayPath := cmd.Flags().String("relay", "", "relay design `FILE`")
	form := formFlag(cmd, "text", "json", "csv")
	flags := cmd.Flags()
	together := flags.Int("together", 2, "draw up to `N` stops of a division at a time")
	wiringOnly := flags.Bool("wiring", false, "listen for mistakes in the wiring only")
	ask := flags.Bool("ask", false, "ask for one key after another")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *together < 1 || *together > listen.MostAtOnce {
			return fmt.Errorf("--together %d: must be from 1 to %d", *together, listen.MostAtOnce)
		}
		in, relay, err := loadListened(args[0], *relayPath)
		if err != nil {
			return err
		}
		l := listen.New(in, relay)
		if *wiringOnly {
			l = l.InWiring()
		}
		symptoms, err := readSymptoms(l, args[1:])
		out := cmd.OutOrStdout()
		switch {
		case err != nil:
			return err
		case *ask:
			return (&earAsker{in: in, relay: relay, l: l, lines: bufio.NewScanner(cmd.InOrStdin()), out: out}).ask(symptoms)
		case len(symptoms) > 0:
			return printSymptoms(out, form.chosen, answerSymptoms(in, relay, l, l.Explain(symptoms)))
		}
		a := answerListen(in, l.Plan(*together))
		switch form.chosen {
		case "json":
			return writeJSON(out, a)
		case "csv":
			return writeCSV(out, a.rows())
		}
		return a.writeText(out)
	}
	return cmd
}

func printSymptoms(out io.Writer, form string, a symptomsAnswer) error {
	var err error
	switch form {
	case "json":
		err = writeJSON(out, a)
	case "csv":
		err = writeCSV(out, a.rows())
	default:
		err = a.writeText(out)
	}
	if err == nil && !a.Whole {
		err = errBad
	}
	return err
}

// loadListened reads an instrument, and a relay that plays it.
func loadListened(path, relayPath string) (*console.Instrument, *wiring.Relay, error) {
	if relayPath == "" {
		return nil, nil, complaint{"--relay is missing", "name the relay design that the hardware should be"}
	}
	in, _, err := loadInstrument(path)
	if err != nil {
		return nil, nil, err
	}
	relay, err := loadRelay(relayPath, in)
	if err != nil {
		return nil, nil, err
	}
	if n := len(proof.Differing(in, relay)); n > 0 {
		return nil, nil, complaint{fmt.Sprintf("%s: this relay does not play the instrument even without a mistake: %s wrong", relayPath, count(n, "valve")),
			"put that right first: " + checkCommandFor(path, relayPath)}
	}
	return in, relay, nil
}

// readSymptoms reads what was heard, an argument at a time.
func readSymptoms(l *listen.Listener, texts []string) (list []listen.Symptom, err error) {
	for _, text := range texts {
		symptoms, wrong := l.Read(text)
		if slip, is := errors.AsType[*listen.Slip](wrong); is {
			err = errors.Join(err, errors.New(slipText(slip)))
		}
		list = append(list, symptoms...)
	}
	return list, err
}

// slipText is what is wrong with a sentence, and the sentence with a caret where.
func slipText(s *listen.Slip) string {
	text := strings.NewReplacer("\n", " ", "\t", " ").Replace(s.Text)
	return fmt.Sprintf("column %d: %v\n  %s\n  %s^", s.Column, complaint{s.Wrong, s.Fix}, text, strings.Repeat(" ", max(0, s.Column-1)))
}
