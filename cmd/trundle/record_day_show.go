package main

import (
	"errors"
	"fmt"
	"os"
	"regexp"
	"time"

	"github.com/spf13/cobra"
)

func dayCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "day FILE",
		Short: "Show the record of a day: what was tested, who answered, and what is open",
		Long: `Show a record that walk --to keeps: instrument, ports, who the hardware says it is,
every step with its answer, every test with its rounds and its verdict, what is not
good by board, pin and leg, who answered, and the SHA-256 of the files.

A record is added to and never rewritten. Each line holds the digest of all before
it, and ends with its own, so that a line that was changed, taken out or put in
shows. The digest of the whole is its seal, what sha256sum prints of the file: lines
taken off the end, and a record written anew, show by that alone. So print the page,
and sign it with the seal on it. --seal holds the file to what was signed: to the
seal, or as many of its digits as one cares to type.

--note adds a line in words; --with the SHA-256 of files with it, such as what a
bench reported.

The exit code is 1 when something is not good, or the record is not whole.`,
		Example: `  trundle day day.jsonl
  trundle day day.jsonl --format html > day.html
  trundle day day.jsonl --seal 9f4bbcd29fcb
  trundle day day.jsonl --note "whole relay passed" --with bench.json --who Ann`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return complaint{"day needs one record", "name it, like day.jsonl"}
			}
			return nil
		},
	}
	note := cmd.Flags().String("note", "", "add a line of `WORDS`")
	with := cmd.Flags().StringArray("with", nil, "with the SHA-256 of `FILE`; repeatable")
	who := cmd.Flags().String("who", "", "`NAME` of who notes it")
	seal := cmd.Flags().String("seal", "", "hold it to a `SEAL` that was signed, or the digits that it begins with")
	form := formFlag(cmd, "text", "json", "html")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *seal != "" && !sealBegins.MatchString(*seal) {
			return complaint{"--seal " + shellQuote(*seal) + ": is no seal", "write at least eight of its digits, like 9f4bbcd2"}
		}
		if *note == "" && len(*with) > 0 {
			return complaint{"--with goes with --note", "say in words what the files are"}
		}
		if *note != "" {
			return addNote(args[0], *note, *who, *with)
		}
		a, err := loadDay(args[0])
		if err != nil {
			return err
		}
		if *seal != "" {
			a.hold(*seal)
		}
		out := cmd.OutOrStdout()
		switch form.chosen {
		case "json":
			err = writeJSON(out, a)
		case "html":
			err = dayPaper(a).WriteHTML(out)
		default:
			err = a.text(out, inkFor(out))
		}
		if err == nil && a.bad() {
			return errBad
		}
		return err
	}
	return cmd
}

// sealBegins is a seal, or enough of it to tell it from others.
var sealBegins = regexp.MustCompile("^(sha256:)?[0-9a-fA-F]{8,64}$")

func addNote(path, note, who string, with []string) error {
	files := map[string]string{}
	for _, file := range with {
		data, err := os.ReadFile(file)
		if err != nil {
			return fmt.Errorf("%s: cannot be read: %w", file, reason(err))
		}
		files[file] = sha256Of(data)
	}
	book, _, err := openDay(path, time.Now)
	if err != nil {
		return err
	}
	return errors.Join(book.add(dayEntry{Kind: "note", Words: note, Who: who, Files: files}), book.close())
}

// loadDay reads a record and what it comes to. What was changed in it is in the
// answer, and no error.
func loadDay(path string) (*dayAnswers, error) {
	if err := readable(path); err != nil {
		return nil, err
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, reason(err))
	}
	lines, seal := readDay(data)
	if !isDay(lines) {
		if err := notAnother(path, dayKind); err != nil {
			return nil, err
		}
		return nil, complaint{path + ": is no record of a day", "name one that walk --to has kept"}
	}
	return answerDay(path, lines, seal), nil
}
