package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// printsToFile gives a command that only prints its answer the flag --to, for
// who would rather have a file: some shells write with > what no other program
// reads. The form follows from the file's name where --format does not say it.
func printsToFile(cmd *cobra.Command) {
	to := cmd.Flags().String("to", "", "write the answer to a new `FILE`, in the form of its name, and do not print it")
	run := cmd.RunE
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *to == "" {
			return run(cmd, args)
		}
		if err := absent(*to); err != nil {
			return err
		}
		if form := cmd.Flags().Lookup("format"); form != nil && !form.Changed {
			_ = form.Value.Set(strings.TrimPrefix(filepath.Ext(*to), ".")) // a name of no form leaves it as it is
		}
		var answer bytes.Buffer
		out := cmd.OutOrStdout()
		cmd.SetOut(&answer)
		answered := run(cmd, args)
		cmd.SetOut(out)
		if answered != nil && !errors.Is(answered, errBad) || answer.Len() == 0 {
			return answered
		}
		if err := writeNew(*to, answer.Bytes()); err != nil {
			return err
		}
		fmt.Fprintln(cmd.ErrOrStderr(), *to, "written")
		return answered
	}
}
