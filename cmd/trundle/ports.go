package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

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

	Called string `json:"called,omitempty"` // by those who announce it
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
names for others. On Linux the system's MIDI ports and its raw MIDI devices are
among them; on other systems MIDI ports are in a build with the tag rtmidi.`,
		Example: `  trundle ports
  trundle ports --discover
  trundle ports --format json`,
		Args: noArguments,
	}
	form := formFlag(cmd, "text", "json")
	discover := cmd.Flags().Bool("discover", false, "ask the local network for sessions as well, for two seconds")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		ports, err := midiio.Ports()
		if err != nil {
			fmt.Fprintln(cmd.ErrOrStderr(), "trundle:", err)
		}
		answer := portsAnswer{Schema: "trundle.ports/1", Ports: []portAnswer{}}
		for _, p := range ports {
			answer.Ports = append(answer.Ports, portAnswer{Name: p.Name, In: p.In, Out: p.Out})
		}
		if *discover {
			sessions, err := sessionsThere()
			if err != nil {
				return err
			}
			answer.Ports = append(answer.Ports, sessions...)
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
	width := 36
	for _, p := range a.Ports {
		width = max(width, utf8.RuneCountInString(p.Name))
	}
	for _, p := range a.Ports {
		directions := "in and out"
		switch {
		case !p.Out:
			directions = "in"
		case !p.In:
			directions = "out"
		}
		line := fmt.Sprintf("%-*s %-10s  %s", width, p.Name, directions, p.Called)
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	if len(a.Ports) == 0 {
		b.WriteString("no ports are there\n")
	}
	b.WriteString("\nports are named\n")
	width = 0
	for _, f := range a.Forms {
		width = max(width, len(f.Name))
	}
	for _, f := range a.Forms {
		fmt.Fprintf(&b, "  %-*s  %s\n", width, f.Name, f.What)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
