package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// noArguments is for a command that takes none.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%s takes no argument, not %s", cmd.Name(), strings.Join(args, " "))
	}
	return nil
}

// oneInstrument is for a command that takes the path of an instrument file.
func oneInstrument(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return complaint{cmd.Name() + " needs an instrument file", "name one, like organ.yaml"}
	case 1:
		return nil
	}
	return fmt.Errorf("%s takes one instrument file, not %d: %s", cmd.Name(), len(args), strings.Join(args, " "))
}

// form is the value of --format: one of the forms a command can print.
type form struct {
	chosen string
	of     []string
}

// formFlag adds --format to a command; the first form is the default.
func formFlag(cmd *cobra.Command, forms ...string) *form {
	f := &form{forms[0], forms}
	cmd.Flags().Var(f, "format", "form of the answer: "+alternatives(forms))
	if err := cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(forms, cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err) // the flag was added above
	}
	return f
}

func (f *form) String() string { return f.chosen }
func (f *form) Type() string   { return "FORM" }

func (f *form) Set(s string) error {
	for _, known := range f.of {
		if s == known {
			f.chosen = s
			return nil
		}
	}
	return fmt.Errorf("must be %s", alternatives(f.of))
}

// alternatives lists words as a choice: text, json or csv.
func alternatives(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
