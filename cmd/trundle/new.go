package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"trundle/sim/starter"
)

func newCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "new FILE [--relay DIR]",
		Short: "Begin: write an instrument file to change, or a relay for an instrument",
		Long: `Write an instrument file with comments, to be changed into one's own. A check
finds nothing in it.

With --relay, write a complete relay for the instrument in FILE into a
directory: relay.yaml, wiring.csv and switching.csv. It plays the instrument;
change its boards, pins and cables into those that are there. FILE is written
first if there is none.

Nothing is ever overwritten.`,
		Example: `  trundle new organ.yaml
  trundle new organ.yaml --relay relay
  trundle check organ.yaml --relay relay/relay.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{fmt.Sprintf("new takes one file, not %d", len(args)), "name the instrument file, like organ.yaml"}
			}
			return nil
		},
	}
	dir := cmd.Flags().String("relay", "", "write a relay for the instrument into `DIR`")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		path, out := args[0], cmd.OutOrStdout()
		_, err := os.Stat(path)
		if *dir == "" || errors.Is(err, fs.ErrNotExist) {
			if err := writeNew(path, starter.Instrument); err != nil {
				return err
			}
			fmt.Fprintf(out, "%s written: change it into your organ\n", path)
		}
		if *dir == "" {
			fmt.Fprintf(out, "next: trundle check %s\n      trundle new %s --relay relay\n", shellQuote(path), shellQuote(path))
			return nil
		}
		relay, err := writeStarterRelay(path, *dir)
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "%s written, with its wiring and its table: change them into what is there\nnext: %s\n",
			relay, checkCommandFor(path, relay))
		return nil
	}
	return cmd
}

// writeStarterRelay writes a relay for the instrument of a file, and returns
// the path of the relay file. Either all of its files are written or none.
func writeStarterRelay(path, dir string) (string, error) {
	in, _, err := loadInstrument(path)
	if err != nil {
		return "", err
	}
	from, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	to, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	if rel, err := filepath.Rel(from, to); err == nil {
		to = rel
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("%s: cannot be made: %w", dir, reason(err))
	}
	var written []string
	for _, file := range starter.Relay(in, filepath.ToSlash(to)) {
		name := filepath.Join(dir, file.Name)
		if err := writeNew(name, file.Data); err != nil {
			for _, name := range written {
				os.Remove(name)
			}
			return "", err
		}
		written = append(written, name)
	}
	return filepath.Join(dir, starter.RelayFile), nil
}
