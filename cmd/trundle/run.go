package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"trundle/console/finding"
)

// What the process ends with.
const (
	exitGood        = 0   // it ran, and the answer is good
	exitBad         = 1   // it ran, and the answer is bad
	exitFailed      = 2   // it could not run
	exitInterrupted = 130 // Ctrl-C
)

// errBad is returned by a command that ran, has printed its answer, and whose
// answer is bad.
var errBad = errors.New("the answer is bad")

// run is the whole program but for the process: it returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	ran, err := root.ExecuteC()
	switch {
	case err == nil:
		return exitGood
	case errors.Is(err, errBad):
		return exitBad
	case errors.Is(err, errInterrupted):
		for _, each := range flatten(err) {
			if !errors.Is(each, errInterrupted) {
				fmt.Fprintln(stderr, "trundle:", each)
			}
		}
		return exitInterrupted
	}
	complain(stderr, err, ran.CommandPath())
	return exitFailed
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "trundle",
		Short: "Simulate a pipe-organ console, and prove its relay and wiring before anyone solders",
		Long: `Trundle reads an instrument file, resolves which pipes sound for any keys and
stops, and proves a relay design and its wiring against the instrument.`,
		Example: `  trundle demo
  trundle check organ.yaml --relay relay.yaml
  trundle sound organ.yaml --draw great-principal-8 --play great:C4,E4,G4`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return noCommand(cmd, args[0])
		},
	}
	root.Version = version()
	root.SetVersionTemplate(versionLine())
	root.SetFlagErrorFunc(flagError)
	root.SetHelpCommand(helpCommand())
	root.AddCommand(benchCommand(), demoCommand(), checkCommand(), currentCommand(), dayCommand(), explainCommand(), diffCommand(), learnCommand(), listenCommand(), loudnessCommand(), newCommand(), replayCommand(), reportCommand(), sheetCommand(), soundCommand(), standinCommand(), versionCommand(), whereCommand(), deskCommand(), playCommand(), portsCommand(), recordCommand(), sendCommand(), walkCommand(), watchCommand())
	for _, name := range []string{"current", "day", "diff", "explain", "loudness", "sheet", "where"} {
		prints, _, _ := root.Find([]string{name})
		printsToFile(prints)
	}
	completeNames(root)
	root.InitDefaultCompletionCmd()
	completion, _, _ := root.Find([]string{"completion"})
	completion.Args = cobra.ArbitraryArgs
	completion.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return cmd.Help()
		}
		return noCommand(cmd, args[0])
	}
	completion.Example = "  source <(trundle completion bash)"
	for _, shell := range completion.Commands() {
		shell.Example = "  trundle completion " + shell.Name() + " --help"
		if shell.Name() == "bash" {
			shell.RunE = func(cmd *cobra.Command, _ []string) error {
				return writeBashScript(root, cmd.OutOrStdout(), !cmd.Flag("no-descriptions").Changed)
			}
		}
	}
	return root
}

// helpCommand is `trundle help COMMAND`, which unlike the one that comes with
// cobra refuses a command that does not exist.
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Say what a command does",
		Example: "  trundle help check",
		RunE: func(cmd *cobra.Command, args []string) error {
			asked, rest, err := cmd.Root().Find(args)
			if err == nil && len(rest) == 0 {
				return asked.Help()
			}
			return noCommand(cmd.Root(), strings.Join(args, " "))
		},
	}
}

// noCommand complains of a command that does not exist.
func noCommand(root *cobra.Command, name string) error {
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return complaint{problem: "no command " + name, fix: finding.DidYouMean(name, names)}
}

// flagError says what is wrong with a flag; flags after the name of a command
// that does not exist are not what is wrong.
func flagError(cmd *cobra.Command, err error) error {
	if cmd == cmd.Root() && cmd.Flags().NArg() > 0 {
		return noCommand(cmd, cmd.Flags().Arg(0))
	}
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		kind := "number"
		if value.GetFlag().Value.Type() == "int" {
			kind = "whole number"
		}
		switch {
		case value.GetFlag().Value.Type() == "duration":
			return complaint{fmt.Sprintf("--%s: %q is no time", value.GetFlag().Name, value.GetValue()), "write it like 20ms, 1.5s or 2m"}
		case errors.Is(err, strconv.ErrRange):
			return fmt.Errorf("--%s: %s is out of range", value.GetFlag().Name, value.GetValue())
		case errors.Is(err, strconv.ErrSyntax) && kind == "number":
			return complaint{fmt.Sprintf("--%s: %q is no number", value.GetFlag().Name, value.GetValue()), numberLike(value.GetValue())}
		case errors.Is(err, strconv.ErrSyntax):
			return fmt.Errorf("--%s: %q is no %s", value.GetFlag().Name, value.GetValue(), kind)
		case value.Unwrap() != nil:
			return fmt.Errorf("--%s: %q: %w", value.GetFlag().Name, value.GetValue(), value.Unwrap())
		}
	}
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) || len(unknown.GetSpecifiedName()) == 1 {
		return err
	}
	var names []string
	name := "--" + unknown.GetSpecifiedName()
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name[0] == name[2] || len(f.Name) > 3 { // of short names most are near
			names = append(names, "--"+f.Name)
		}
	})
	if near := finding.DidYouMean(name, names); near != "" || name != "--relay" || !strings.Contains(cmd.Use, " RELAY") {
		return complaint{"no flag " + name, near}
	}
	return complaint{"no flag " + name, "the relay stands without one, like: " + cmd.CommandPath() + " relay.yaml X3.14"}
}

// numberLike is how a number would be written that was written in another way: with
// a decimal comma, or with its unit behind it; "" for what is like none.
func numberLike(text string) string {
	if point := strings.Replace(text, ",", ".", 1); isNumber(point) && point != text {
		return "write it with a point, like " + point
	}
	if number := strings.TrimRightFunc(text, unicode.IsLetter); isNumber(number) {
		return "write the number without a unit, like " + number
	}
	return ""
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}
