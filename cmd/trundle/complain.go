package main

import (
	"errors"
	"fmt"
	"io"

	"trundle/console/finding"
)

// What is written to stderr: one line for each thing that is wrong,
//
//	trundle: organ.yaml:12:3: no rank great-principle; did you mean great-principal?
//
// in lower case, with the place first where there is one and what to do last;
// then a hint, which is a command to try.

// complaint is an error with what to do about it.
type complaint struct{ problem, fix string }

func (c complaint) Error() string {
	if c.fix == "" {
		return c.problem
	}
	return c.problem + "; " + c.fix
}

// broken is the error of a file without meaning: everything wrong in it.
type broken []finding.Finding

func (b broken) Error() string { return fmt.Sprintf("%d errors", len(b)) }

// complain writes why the command named by path could not run.
func complain(stderr io.Writer, err error, path string) {
	var files broken
	if errors.As(err, &files) {
		for _, f := range files {
			fmt.Fprintln(stderr, "trundle:", line(f))
		}
		fmt.Fprintln(stderr, "hint: every error of these files is listed; mend them and run again")
		return
	}
	for _, each := range flatten(err) {
		fmt.Fprintln(stderr, "trundle:", each)
	}
	fmt.Fprintf(stderr, "hint: %s --help\n", path)
}

// line is a finding without its severity and rule: place: message; fix.
func line(f finding.Finding) string {
	return fmt.Sprintf("%s: %v", f.Place, complaint{f.Message, f.Fix})
}

// flatten lists the errors that were joined in err, however deep.
func flatten(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, each := range joined.Unwrap() {
		all = append(all, flatten(each)...)
	}
	return all
}
