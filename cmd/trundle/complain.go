package main

import (
	"errors"
	"fmt"
	"io"
	"slices"

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

// broken is the error of files without meaning: everything wrong in them, and
// the command that shows it line by line, if there is one. What else was found in
// them, and leaves a meaning, is not told beside it.
type broken struct {
	findings []finding.Finding
	check    string
}

// mostTold is how many errors of files are told: one slip in a heading may leave
// hundreds of names unknown.
const mostTold = 100

func (b broken) Error() string { return count(len(b.findings), "error") }

// complain writes why the command named by path could not run.
func complain(stderr io.Writer, err error, path string) {
	hint := path + " --help"
	if files, ok := errors.AsType[broken](err); ok {
		hint = files.check
		wrong := slices.DeleteFunc(slices.Clone(files.findings), func(f finding.Finding) bool { return f.Severity != finding.Error })
		for _, f := range wrong[:min(len(wrong), mostTold)] {
			fmt.Fprintln(stderr, "trundle:", line(f))
		}
		if more := len(wrong) - mostTold; more > 0 {
			fmt.Fprintln(stderr, "trundle:", count(more, "more error"))
		}
	} else {
		for _, each := range flatten(err) {
			fmt.Fprintln(stderr, "trundle:", each)
		}
	}
	if hint != "" {
		fmt.Fprintln(stderr, "hint:", hint)
	}
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
