package main

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
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

// walkFlags are what a walk is asked for.
type walkFlags struct {
	relay     string
	worksheet bool
	form      *choice
	ports     cableFlags
	to, who   string
	answers   []string
	hold      string
	draw      []string
	knobs     bool
	join      bool
	renamed   bool
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
meter should show. --worksheet prints the steps, with room for what became of them.

At --out the organ is told of each step; without it, all is worked by hand. A phase
begins when the one before is answered; what is wrong with wires, supplies and
fuses must be mended, or accepted with a reason, before it. Answer in a line:

` + sayings() + `
--answer good=great:C2 has a key, stud or knob at --in say such a line, from the
chamber; contacts that come at --in tick themselves off. Every answer is kept at
once in --to, a record of the day (trundle day) that is only added to; the same
command goes on where it ended. An answer counts as long as its step is what it was:
after a change of the wiring, say, the steps that it changes come again.

--join makes this a second terminal of the walk that another keeps in --to: from the
chamber, say. It shows what the first one shows, its lines answer too, and both say
who answered. end only leaves there.

--hold great:C4 holds one note for the tuner: an empty line is the next key, - the
one before, a note name that key, end the end.

--knobs tests all knobs at once: their coils are pulsed in coded groups, and what
their contacts say tells which coil or contact is dead, and what is exchanged. What a
hand forgot is asked for before it counts. Its rounds and its verdict are kept in --to
too. To practise, standin --jambs has such knobs.

The exit code is 1 when something is not good, or not tried yet. When the command
ends, everything it turned on is turned off. Coils made for pulses are released
after the relay file's pulse, or ` + strconv.Itoa(walk.ShortPulse) + ` ms, whoever waits. The blower and all mains are
switched by who answers for them, never from here. Local codes, and people
licensed to work on such things, come first.`,
		Example: `  trundle walk organ.yaml --relay relay.yaml --worksheet --format html
  trundle walk organ.yaml --relay relay.yaml --out serial:/dev/ttyUSB0 --to day.jsonl --who Ann
  trundle walk organ.yaml --to day.jsonl --join --who Ben
  trundle walk organ.yaml --relay relay.yaml --in pty:organ --out pty:organ --to day.jsonl --answer good=general-1 --answer dead=general-2
  trundle walk organ.yaml --relay relay.yaml --in midi:relay --out midi:relay --knobs --to day.jsonl --who Ann
  trundle walk organ.yaml --out serial:/dev/ttyUSB0 --hold great:C4 --draw great-principal-8`,
		Args: oneInstrument,
	}
	f := walkFlags{ports: addCableFlags(cmd, "hear contacts and answers at `PORT`", "tell the organ at `PORT` of each step")}
	flags := cmd.Flags()
	flags.StringVar(&f.relay, "relay", "", "relay design `FILE`")
	flags.BoolVar(&f.worksheet, "worksheet", false, "print the steps")
	f.form = formFlag(cmd, "text", "json", "csv", "html")
	flags.StringVar(&f.to, "to", "", "keep every answer in `FILE`, a record of the day; with --worksheet, write it there")
	flags.StringVar(&f.who, "who", "", "`NAME` of who answers")
	flags.StringArrayVar(&f.answers, "answer", nil, "`LINE=NAME`: a key like great:C2, a button or a knob at --in answers so; repeatable")
	flags.StringVar(&f.hold, "hold", "", "hold one `KEY` for the tuner, like great:C4")
	flags.StringSliceVar(&f.draw, "draw", nil, "with --hold, draw these `IDS`")
	flags.BoolVar(&f.knobs, "knobs", false, "test all knobs by their coils and contacts, in few rounds")
	flags.BoolVar(&f.join, "join", false, "answer the walk that another terminal keeps in --to")
	flags.BoolVar(&f.renamed, "renamed", false, "go on in a record that was begun when the instrument had another name")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if f.join {
			return f.joinWalk(cmd)
		}
		switch {
		case len(f.draw) > 0 && f.hold == "":
			return complaint{"--draw goes with --hold", "a walk draws what each step needs"}
		case cmd.Flags().Changed("format") && !f.worksheet:
			return complaint{"--format goes with --worksheet", "trundle day shows what a walk has kept, in other forms too"}
		}
		in, m, err := loadMap(args[0])
		if err != nil {
			return err
		}
		relay, err := loadRelay(f.relay, in)
		if err != nil {
			return err
		}
		if f.hold != "" {
			return f.holdNote(cmd, in, m)
		}
		if f.knobs {
			return f.testKnobs(cmd, args[0], in, m, relay)
		}
		steps, err := planWalk(args[0], f.relay, in, m, relay)
		if err != nil {
			return err
		}
		if f.worksheet {
			return printTo(cmd, f.to, func() error { return f.print(cmd, in, relay, steps) })
		}
		return f.walk(cmd, args[0], in, m, relay, steps)
	}
	return cmd
}

// walk leads through the steps.
func (f walkFlags) walk(cmd *cobra.Command, path string, in *console.Instrument, m *mapping.Map, relay *wiring.Relay, steps []walk.Step) error {
	if f.to == "" {
		return complaint{"--to is missing", "name a file to keep the answers in, like day.jsonl; or ask for the --worksheet"}
	}
	answers, err := answerThings(in, m, f.answers, *f.ports.in.name)
	if err != nil {
		return err
	}
	c, err := f.openWalk(m.IsKey)
	if err != nil {
		return err
	}
	book, before, err := openDay(f.to, time.Now)
	if err != nil {
		return errors.Join(err, c.close(nil, nil))
	}
	walks, name := walksOf(before), nameOf(in)
	was, err := f.nameBefore(in.File, name, walks)
	if err != nil {
		return errors.Join(err, c.close(nil, nil), book.close())
	}
	others, err := openTerminals(cmd.ErrOrStderr(), f.to)
	if err != nil {
		return errors.Join(err, c.close(nil, nil), book.close())
	}
	out := io.MultiWriter(folded(cmd.OutOrStdout()), others)
	tellDamage(cmd, f.to, before)
	k := newWalker(in, m, relay, walk.Begin(steps, answersTo(cmp.Or(was, name), walks)))
	k.answers, k.who, k.silent = answers, f.who, *f.ports.out.name == ""
	k.out, k.ink = bufio.NewWriter(out), inkFor(cmd.OutOrStdout())
	k.keep = func(s walk.Step, a walk.Answer) error { return book.add(entryOf(k, s, a)) }
	begin := dayEntry{Kind: "begin", Who: f.who, Files: filesRead(path, f.relay, relay),
		Begin: &dayBegin{name, *f.ports.in.name, *f.ports.out.name, len(steps), stepsBy(steps), strings.TrimSpace(versionLine()), was, k.w.Again, k.w.Gone}}
	if err := book.add(begin); err != nil {
		return errors.Join(err, c.close(nil, nil), book.close(), others.close())
	}
	if c.in != nil && c.out != nil {
		c.out.Send(identityRequest)
	}
	err = c.run(k, wholeLines(cmd.InOrStdin()), others, func(t midiio.Timed) error {
		if !isIdentity(t.Message) {
			return nil
		}
		return book.add(dayEntry{Kind: "identity", Identity: fmt.Sprintf("% X", t.Message.Bytes())})
	})
	k.ended = true
	rest := slices.DeleteFunc(k.leave(), m.IsKey) // to silence the organ ends keys
	err = errors.Join(err, c.close(rest, k.fallsSilent), k.out.Flush())
	silence := k.silence()
	err = errors.Join(err, book.add(dayEntry{Kind: "end", Who: f.who, Words: silence}), walkEnd(out, k))
	if silence != "" {
		fmt.Fprintln(out, silence)
	}
	fmt.Fprintf(out, "kept in %s; its seal is %s\n", f.to, book.seal())
	if err = errors.Join(err, book.close(), others.close()); err == nil {
		if k.w.Done().Good < len(steps) || len(k.open) > 0 {
			return errBad
		}
	}
	return err
}

// identityRequest asks all devices who they are (MIDI 1.0, universal system
// exclusive, non-real time, general information).
var identityRequest = midiio.SysEx([]byte{0x7E, 0x7F, 0x06, 0x01})

func isIdentity(m midiio.Message) bool {
	return m.Kind == midiio.Whole && m.Status == 0xF0 && len(m.Body) > 4 && m.Body[0] == 0x7E && m.Body[2] == 0x06 && m.Body[3] == 0x02
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
		return walkPaper(a).WriteHTML(out)
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
