package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

// portFlags are those of a command that opens a port.
type portFlags struct {
	cmd  *cobra.Command
	flag string // in or out
	name *string
	baud *string
}

// portFlag adds --in or --out, and --baud.
func portFlag(cmd *cobra.Command, flag, usage string) portFlags {
	p := portFlags{cmd: cmd, flag: flag, name: cmd.Flags().String(flag, "", usage)}
	p.baud = cmd.Flags().String("baud", "", "`RATE` of the link behind the port, like 31250 for a MIDI cable; a serial line has its own")
	complete := func(_ *cobra.Command, _ []string, typed string) (names []cobra.Completion, _ cobra.ShellCompDirective) {
		ports, _ := midiio.Ports()
		for _, port := range ports {
			if (port.In && flag == "in" || port.Out && flag == "out") && strings.HasPrefix(port.Name, typed) {
				names = append(names, port.Name)
			}
		}
		begun := map[string]bool{} // kinds of ports, which have several forms of names
		for _, f := range midiio.Forms {
			begin, _, _ := strings.Cut(f.Name, ":")
			if begin += ":"; !begun[begin] && strings.HasPrefix(begin, typed) {
				names, begun[begin] = append(names, cobra.CompletionWithDesc(begin, f.What)), true
			}
		}
		return names, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	}
	if err := cmd.RegisterFlagCompletionFunc(flag, complete); err != nil {
		panic(err) // the flag was added above
	}
	return p
}

// rate is how long a byte takes on the link, 0 where --baud does not say.
func (p portFlags) rate() (time.Duration, error) {
	if *p.name == "" {
		return 0, complaint{"--" + p.flag + " is missing", "name a port (trundle ports)"}
	}
	if *p.baud == "" {
		return 0, nil
	}
	baud, err := midiio.ParseBaud(*p.baud)
	if err != nil {
		return 0, fmt.Errorf("--baud: %w", err)
	}
	return midiio.ByteTime(baud), nil
}

// listen opens the port to listen to it, and says how long a byte takes on its
// link, 0 where nothing is known of that.
func (p portFlags) listen(clock midiio.Clock) (*midiio.Input, time.Duration, error) {
	byteTime, err := p.rate()
	if err != nil {
		return nil, 0, err
	}
	var in *midiio.Input
	err = p.patiently(p.cmd.ErrOrStderr(), func() (err error) {
		in, err = midiio.ListenTo(*p.name, clock)
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	if byteTime == 0 {
		byteTime = in.ByteTime()
	}
	return in, byteTime, nil
}

// talk opens the port to send to it. What a program that was killed left on is
// released, which is told.
func (p portFlags) talk(stderr io.Writer, clock midiio.Clock) (*midiio.Output, error) {
	byteTime, err := p.rate()
	if err != nil {
		return nil, err
	}
	var out *midiio.Output
	err = p.patiently(stderr, func() (err error) {
		if out, err = midiio.TalkTo(*p.name, byteTime, clock); err != nil {
			return err
		}
		n := out.Network()
		p.tellNews(stderr, n)
		if n != nil && n.Waits {
			return n.Wait()
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if out.Left > 0 {
		fmt.Fprintf(stderr, "trundle: %s: %s that a program left on, because it was killed, %s released\n", *p.name, count(out.Left, "key"), isAre(out.Left))
	}
	return out, nil
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// tellOf tells that the port has gone away or is back, why it went if that is
// known.
func (p portFlags) tellOf(stderr io.Writer) func(gone bool, why error) {
	return func(gone bool, why error) {
		switch {
		case !gone:
			fmt.Fprintf(stderr, "trundle: %s: the port is back\n", *p.name)
		case why == nil:
			fmt.Fprintf(stderr, "trundle: %s: the port is gone; it is looked for\n", *p.name)
		default:
			fmt.Fprintf(stderr, "trundle: %s: the port is gone: %v; it is looked for\n", *p.name, reason(why))
		}
	}
}
