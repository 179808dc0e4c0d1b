package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"trundle/cmd/trundle/desk"
	"trundle/combination"
	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio"
	"trundle/midiio/mapping"
	"trundle/sim/circuit"
)

func deskCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "desk INSTRUMENT",
		Short: "Play the console in the terminal, and see what sounds and why",
		Long: `Show an instrument's console in the terminal, with every key, stop, coupler,
piston and shoe, to be worked by keyboard or mouse: ? lists every key. The
manuals stand as the file lists them from below: its first is the lowest.

A pane shows the pipes that sound and by which way, what is under the cursor
does or would do, MIDI messages, or a relay's pins. What a stop, coupler or piston
does to the chord that is held can be shown step by step, and written into a file.

Captures are saved into the file of --memory, and confirmed when they are on
disk; without one they last until you quit. While it is open, a file with .lock
behind its name stands beside it; one that a killed program left is nobody's. One
with .good behind its name is what it held before the last change: take that where
the file itself is damaged.

Messages of --in and --out mean what the section midi of the instrument says.
Sent is what a console says to an organ: keys, knobs, pistons, shoes. With --as
organ it is what an organ says to a console whose knobs are real: their coils and
lamps. With --as pipes it is the pipes that speak, each a note at its own pitch,
for any synthesizer. --script plays a console log (see trundle replay) at its own
pace.

The screen must have 80 columns and 24 rows. Where a killed desk has left a
terminal unusable, type reset. Colours are those of the terminal,
none with NO_COLOR; every sign differs by its shape as well.`,
		Example: `  trundle desk organ.yaml
  trundle desk organ.yaml --memory organ-memory.yaml
  trundle desk organ.yaml --relay relay.yaml --in serial:/dev/ttyUSB0
  trundle desk organ.yaml --in pty:keyboard --out midi:organ
  trundle desk organ.yaml --script evening.log`,
	}
	flags := cmd.Flags()
	f := deskFlags{
		relay:   flags.String("relay", "", "relay design `FILE`, to be watched"),
		memory:  flags.String("memory", "", "the memory `FILE` of the combination action, which is made if it is not there"),
		script:  flags.String("script", "", "play the console log `FILE`"),
		keys:    flags.String("keys", "", "what keys do, from `FILE`, where it differs from --list-keys: a line each, like Delete let-go"),
		list:    flags.Bool("list-keys", false, "print what keys do, in the form of the file for --keys"),
		ascii:   flags.Bool("ascii", false, "signs of ASCII alone, as in a locale without UTF-8"),
		picture: flags.String("picture", "", "draw the screen as it is at the end of the script into `FILE`, as SVG, without a terminal"),
		light:   flags.Bool("light", false, "colours for a light background, as where COLORFGBG says so"),
		in:      portFlag(cmd, "in", "listen to `PORT`: a console or keyboard, which plays, or an organ"),
		as:      choiceFlag(cmd, "as", "send what this says", "console", "organ", "pipes"),
	}
	f.out = f.in // they share --baud
	f.out.flag, f.out.name = "out", flags.String("out", "", "send to `PORT`")
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if *f.list && len(args) == 0 {
			return nil
		}
		return oneInstrument(cmd, args)
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *f.list {
			return f.listKeys(cmd)
		}
		return f.run(cmd, args[0])
	}
	return cmd
}

type deskFlags struct {
	relay, memory, script, keys, picture *string
	list, ascii, light                   *bool
	in, out                              portFlags
	as                                   *choice
}

// listKeys prints what keys do, which no instrument changes.
func (f deskFlags) listKeys(cmd *cobra.Command) error {
	keys, err := f.bindings()
	if err == nil {
		_, err = fmt.Fprint(cmd.OutOrStdout(), keys)
	}
	return err
}

func (f deskFlags) run(cmd *cobra.Command, path string) (err error) {
	in, _, err := loadInstrument(path)
	if err != nil {
		return err
	}
	options := desk.Options{ASCII: *f.ascii || *f.picture == "" && desk.ASCII(), Light: *f.light || desk.Light()}
	if options.Keys, err = f.bindings(); err != nil {
		return err
	}
	if *f.script != "" {
		if options.Script, err = loadLog(in, *f.script); err != nil {
			return err
		}
	}
	if *f.relay != "" {
		if options.Relay, err = watchedRelay(in, path, *f.relay); err != nil {
			return err
		}
	}
	if *f.picture != "" {
		if *f.in.name != "" || *f.out.name != "" {
			return complaint{"--picture is drawn without a terminal and opens no port", "leave out --in and --out, or run the desk in a terminal without --picture"}
		}
		if extension := strings.ToLower(filepath.Ext(*f.picture)); extension != ".svg" {
			return complaint{*f.picture + ": the picture is SVG", "name it like " + strings.TrimSuffix(*f.picture, filepath.Ext(*f.picture)) + ".svg"}
		}
		if options.Memories, err = loadMemories(cmd.ErrOrStderr(), in, *f.memory); err != nil {
			return err
		}
		var b strings.Builder
		if err := desk.Picture(&b, desk.New(in, options)); err != nil {
			return err
		}
		return writeNew(*f.picture, []byte(b.String()))
	}
	if err := notAnother(*f.memory, memoryKind); err != nil {
		return err
	}
	if !term.IsTerminal(int(os.Stdin.Fd())) || !term.IsTerminal(int(os.Stdout.Fd())) {
		return complaint{"the desk needs a terminal to be shown on", "for a log without one, take trundle replay"}
	}
	outside := desk.Outside{Clock: midiio.NewClock(), Write: writeKept}
	if *f.memory != "" {
		if outside.File, options.Memories, err = openMemory(cmd, in, *f.memory); err != nil {
			return err
		}
		defer outside.File.Close()
		options.OnDisk = true
	}
	closePorts, err := f.openPorts(cmd, in, &options, &outside)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, closePorts()) }() // however it ends
	return runDesk(desk.New(in, options), outside)
}

// openPorts opens the ports that are asked for. The function it returns
// silences and closes them.
func (f deskFlags) openPorts(cmd *cobra.Command, in *console.Instrument, options *desk.Options, outside *desk.Outside) (closed func() error, err error) {
	closed = func() error { return nil }
	if *f.in.name == "" && *f.out.name == "" {
		return closed, nil
	}
	cables, found := mapping.Load(in)
	if cables == nil {
		return nil, broken{found, checkCommandFor(in.File, "")}
	}
	options.Map = cables
	if *f.in.name != "" {
		options.Port = true
		if outside.Heard, _, err = f.in.listen(outside.Clock); err != nil {
			return nil, err
		}
		closed = outside.Heard.Close
	}
	if *f.out.name == "" {
		return closed, nil
	}
	if outside.Out, err = f.out.talk(cmd.ErrOrStderr(), outside.Clock); err != nil {
		return nil, errors.Join(err, closed())
	}
	options.Says = map[string]desk.Says{"console": desk.AsConsole, "organ": desk.AsOrgan, "pipes": desk.AsPipes}[f.as.chosen]
	if options.Says != desk.AsPipes {
		outside.Out.KeysAre(cables.IsKey)
	}
	heard := closed
	return func() error { return errors.Join(outside.Out.Close(), heard()) }, nil
}

// watchedRelay reads a relay, with its circuit where it has one.
func watchedRelay(in *console.Instrument, path, relayPath string) (*desk.Relay, error) {
	relay, err := loadRelay(relayPath, in)
	if err != nil {
		return nil, err
	}
	if !circuit.Given(relay) {
		return desk.NewRelay(in, relay, nil), nil
	}
	c, found := circuit.Read(relay, in)
	if c == nil {
		return nil, broken{found, checkCommandFor(path, relayPath)}
	}
	return desk.NewRelay(in, relay, c), nil
}

// openMemory takes a memory file, and says what is strange in it.
func openMemory(cmd *cobra.Command, in *console.Instrument, path string) (*combination.File, *combination.Memories, error) {
	if err := notAnother(path, memoryKind); err != nil {
		return nil, nil, err
	}
	file, memories, findings, err := combination.Open(path, in)
	if err != nil {
		return nil, nil, err
	}
	for _, f := range findings {
		if f.Severity != finding.Note {
			fmt.Fprintln(cmd.ErrOrStderr(), "trundle:", line(f))
		}
	}
	return file, memories, nil
}

// bindings are the keys with the changes of a file.
func (f deskFlags) bindings() (desk.Bindings, error) {
	if *f.keys == "" {
		return desk.DefaultKeys(), nil
	}
	if err := readable(*f.keys); err != nil {
		return nil, err
	}
	if is, known := kindOf(beginning(*f.keys)); known {
		return nil, complaint{fmt.Sprintf("%s: is %s, and no file of keys", *f.keys, is.name), "trundle desk --list-keys prints one to change"}
	}
	data, err := os.ReadFile(*f.keys)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", *f.keys, reason(err))
	}
	bindings, findings := desk.ParseKeys(*f.keys, data)
	if len(findings) > 0 {
		return nil, broken{findings: findings}
	}
	return bindings, nil
}

// runDesk gives the desk the terminal, and takes that back whatever happens.
func runDesk(m *desk.Model, outside desk.Outside) error {
	ctx, stop := untilInterrupted()
	defer stop()
	terminal, err := desk.OpenTerminal()
	if err != nil {
		return complaint{fmt.Sprintf("this terminal cannot show the desk: %v", err), "set TERM to what it is, like xterm-256color"}
	}
	defer terminal.Close() // before a panic is told, too
	if desk.Run(ctx, m, terminal.Screen, outside) {
		return errInterrupted
	}
	return nil
}

// writeKept writes a text into a file that is not there yet; when it returns
// without error it is on disk.
func writeKept(path, text string) error {
	if err := writeNew(path, []byte(text)); err != nil {
		return err
	}
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err == nil {
		err = errors.Join(file.Sync(), file.Close())
	}
	if err != nil {
		return fmt.Errorf("%s: is written, but the disk does not confirm it: %w", path, reason(err))
	}
	return nil
}
