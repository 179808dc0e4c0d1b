package main

import (
	"errors"
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
	problem := fmt.Sprintf("%s takes one instrument file, not %d: %s", cmd.Name(), len(args), strings.Join(args, " "))
	if cmd.Flags().Lookup("relay") != nil {
		return complaint{problem, "a relay stands behind --relay, and a list has commas without blanks"}
	}
	return errors.New(problem)
}

// choice is the value of a flag that takes one of a few words.
type choice struct {
	chosen string
	of     []string
}

// choiceFlag adds a flag to a command; the first word is the default.
func choiceFlag(cmd *cobra.Command, name, usage string, words ...string) *choice {
	c := &choice{words[0], words}
	cmd.Flags().Var(c, name, usage+": "+alternatives(words))
	if err := cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err) // the flag was added above
	}
	return c
}

// formFlag adds --format to a command.
func formFlag(cmd *cobra.Command, forms ...string) *choice {
	return choiceFlag(cmd, "format", "form of the answer", forms...)
}

func (c *choice) String() string { return c.chosen }
func (c *choice) Type() string   { return "WORD" }

func (c *choice) Set(s string) error {
	for _, known := range c.of {
		if s == known {
			c.chosen = s
			return nil
		}
	}
	return fmt.Errorf("must be %s", alternatives(c.of))
}

// alternatives lists words as a choice: text, json or csv.
func alternatives(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
