package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"trundle/console/finding"
	"trundle/midiio"
)

// filters choose messages.
type filters struct{ only, without, channels *[]string }

func filterFlags(cmd *cobra.Command) filters {
	f := filters{
		cmd.Flags().StringArray("only", nil, "only messages of this `NAME`, like note-on; repeatable"),
		cmd.Flags().StringArray("without", nil, "no messages of this `NAME`, like timing-clock; repeatable"),
		cmd.Flags().StringArray("channel", nil, "only messages of this channel, `N` from 1 to 16; repeatable"),
	}
	for _, flag := range []string{"only", "without"} {
		if err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(midiio.Names(), cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic(err) // the flag was added above
		}
	}
	return f
}

// parse is the filter as a function.
func (f filters) parse() (keep func(midiio.Message) bool, err error) {
	for _, name := range slices.Concat(*f.only, *f.without) {
		if !slices.Contains(midiio.Names(), name) {
			return nil, complaint{"no messages are named " + name, finding.DidYouMean(name, midiio.Names())}
		}
	}
	var channels []int
	for _, text := range *f.channels {
		m, err := midiio.ParseMessage("program-change " + text + " 0")
		if err != nil {
			return nil, fmt.Errorf("--channel %s: a channel is a number from 1 to 16", text)
		}
		channels = append(channels, m.Channel())
	}
	return func(m midiio.Message) bool {
		name := m.Name()
		return (len(*f.only) == 0 || slices.Contains(*f.only, name)) && !slices.Contains(*f.without, name) &&
			(len(channels) == 0 || slices.Contains(channels, m.Channel()))
	}, nil
}
