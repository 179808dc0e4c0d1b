package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
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
		return printTo(cmd, *to, func() error { return run(cmd, args) })
	}
}

// printTo has what a command prints written to a new file; "" prints it.
func printTo(cmd *cobra.Command, file string, print func() error) error {
	if file == "" {
		return print()
	}
	if err := absent(file); err != nil {
		return err
	}
	if err := formOf(cmd, file); err != nil {
		return err
	}
	var answer bytes.Buffer
	out := cmd.OutOrStdout()
	cmd.SetOut(&answer)
	answered := print()
	cmd.SetOut(out)
	if answered != nil && !errors.Is(answered, errBad) || answer.Len() == 0 {
		return answered
	}
	if err := writeNew(file, answer.Bytes()); err != nil {
		return err
	}
	fmt.Fprintln(cmd.ErrOrStderr(), file, "written")
	return answered
}

// formOf has a command answer in the form of a file's name, unless --format says in
// which. A name without an ending leaves it as it is, one of a form that the answer
// does not have would be opened by a program that cannot read it.
func formOf(cmd *cobra.Command, file string) error {
	form, forms := cmd.Flags().Lookup("format"), []string{"text"}
	if form != nil {
		if form.Changed {
			return nil
		}
		forms = form.Value.(*choice).of
	}
	extension := strings.TrimPrefix(strings.ToLower(filepath.Ext(file)), ".")
	if extension == "htm" {
		extension = "html"
	}
	switch {
	case slices.Contains([]string{"", "txt", "text", "log"}, extension):
		return nil
	case slices.Contains(forms, extension):
		return form.Value.Set(extension)
	case extension == "pdf" && slices.Contains(forms, "html"):
		return noForm(file, forms, "print the page of "+strings.TrimSuffix(file, filepath.Ext(file))+".html to a PDF")
	case form == nil:
		return noForm(file, forms, "let its name end in .txt")
	}
	return noForm(file, forms, "name the file by one of these, or say with --format which it is")
}

func noForm(file string, forms []string, fix string) error {
	return complaint{fmt.Sprintf("%s: the answer has no form of that name, but %s", file, alternatives(forms)), fix}
}
