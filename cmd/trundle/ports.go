package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

// portsAnswer is the JSON of `trundle ports`.
type portsAnswer struct {
	Schema string       `json:"schema"`
	Ports  []portAnswer `json:"ports"`
	Forms  []formAnswer `json:"forms"`
}

type portAnswer struct {
	Name string `json:"name"`
	In   bool   `json:"in"`
	Out  bool   `json:"out"`
}

type formAnswer struct {
	Name string `json:"name"`
	What string `json:"what"`
}

func portsCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "ports",
		Short: "List the MIDI ports that are there, and how ports are named",
		Long: `List the ports that --in and --out take: those that are there, and the forms of
names for others. MIDI ports of the system are among them in a build with the
tag rtmidi; without it a raw MIDI device or a serial line does.`,
		Example: `  trundle ports
  trundle ports --format json`,
		Args: noArguments,
	}
	form := formFlag(cmd, "text", "json")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		ports, err := midiio.Ports()
		if err != nil {
			fmt.Fprintln(cmd.ErrOrStderr(), "trundle:", err)
		}
		answer := portsAnswer{Schema: "trundle.ports/1", Ports: []portAnswer{}}
		for _, p := range ports {
			answer.Ports = append(answer.Ports, portAnswer(p))
		}
		for _, f := range midiio.Forms {
			answer.Forms = append(answer.Forms, formAnswer(f))
		}
		if form.chosen == "json" {
			return writeJSON(cmd.OutOrStdout(), answer)
		}
		return answer.text(cmd.OutOrStdout())
	}
	return cmd
}

func (a portsAnswer) text(w io.Writer) error {
	var b strings.Builder
	for _, p := range a.Ports {
		directions := "in and out"
		switch {
		case !p.Out:
			directions = "in"
		case !p.In:
			directions = "out"
		}
		fmt.Fprintf(&b, "%-36s %s\n", p.Name, directions)
	}
	if len(a.Ports) == 0 {
		b.WriteString("no ports are there\n")
	}
	b.WriteString("\nports are named\n")
	for _, f := range a.Forms {
		fmt.Fprintf(&b, "  %-20s %s\n", f.Name, f.What)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// portFlags are those of a command that opens a port.
type portFlags struct {
	flag string // in or out
	name *string
	baud *string
}

// portFlag adds --in or --out, and --baud.
func portFlag(cmd *cobra.Command, flag, usage string) portFlags {
	p := portFlags{flag: flag, name: cmd.Flags().String(flag, "", usage)}
	p.baud = cmd.Flags().String("baud", "", "`RATE` of the link behind the port, like 31250 for a MIDI cable; a serial line has its own")
	complete := func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		ports, _ := midiio.Ports()
		var names []string
		for _, port := range ports {
			if port.In && flag == "in" || port.Out && flag == "out" {
				names = append(names, port.Name)
			}
		}
		return names, cobra.ShellCompDirectiveDefault
	}
	if err := cmd.RegisterFlagCompletionFunc(flag, complete); err != nil {
		panic(err) // the flag was added above
	}
	return p
}

// open opens the port and says how long a byte takes on its link, 0 where
// nothing is known of that.
func (p portFlags) open() (midiio.Port, time.Duration, error) {
	if *p.name == "" {
		return nil, 0, complaint{"--" + p.flag + " is missing", "name a port (trundle ports)"}
	}
	byteTime := time.Duration(0)
	if *p.baud != "" {
		baud, err := midiio.ParseBaud(*p.baud)
		if err != nil {
			return nil, 0, fmt.Errorf("--baud: %w", err)
		}
		byteTime = midiio.ByteTime(baud)
	}
	direction := midiio.In
	if p.flag == "out" {
		direction = midiio.Out
	}
	port, err := midiio.Open(*p.name, direction)
	if err != nil {
		return nil, 0, err
	}
	if byteTime == 0 {
		byteTime = port.ByteTime()
	}
	return port, byteTime, nil
}

// errInterrupted is returned by a command that was interrupted and has left
// things in order.
var errInterrupted = errors.New("interrupted")

// untilInterrupted takes over the signals that end the program: main would end
// it at once, and a command with a port open must silence it first.
func untilInterrupted() (context.Context, context.CancelFunc) {
	signals := []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP}
	signal.Reset(signals...)
	return signal.NotifyContext(context.Background(), signals...)
}

// pause waits, or tells that the command is interrupted.
func pause(ctx context.Context, d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return errInterrupted
	}
}

// drain waits until all is sent, or tells that the command is interrupted.
func drain(ctx context.Context, out *midiio.Output) error {
	if err := out.Drain(ctx); errors.Is(err, context.Canceled) {
		return errInterrupted
	} else {
		return err
	}
}
