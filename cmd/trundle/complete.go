package main

import (
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
)

// completeState completes --draw and --play with the names in the instrument
// file that stands on the command line.
func completeState(cmd *cobra.Command) {
	names := map[string]func(*console.Instrument, string) []cobra.Completion{
		"draw": completeDraw,
		"play": completePlay,
	}
	for flag, complete := range names {
		err := cmd.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
			const directive = cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
			if len(args) == 0 {
				return nil, directive
			}
			in, _, err := loadInstrument(args[0])
			if err != nil {
				return nil, directive
			}
			return complete(in, typed), directive
		})
		if err != nil {
			panic(err) // the flags were added before
		}
	}
}

// completeDraw completes the last of several ids.
func completeDraw(in *console.Instrument, typed string) []cobra.Completion {
	before := typed[:strings.LastIndex(typed, ",")+1]
	var list []cobra.Completion
	for _, control := range in.Controls {
		if id := before + control.ID; strings.HasPrefix(id, typed) {
			list = append(list, cobra.CompletionWithDesc(id, control.Name))
		}
	}
	return list
}

func completePlay(in *console.Instrument, typed string) []cobra.Completion {
	var list []cobra.Completion
	for _, keyboard := range in.Keyboards {
		if strings.HasPrefix(keyboard.ID+":", typed) {
			list = append(list, keyboard.ID+":")
		}
	}
	return list
}
