package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

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
seal, or to the digits that it begins with, four or more.

--note adds a line in words; --with the SHA-256 of files with it, such as what a
bench reported.

The exit code is 1 when something is not good, or the record is not whole.`,
		Example: `  trundle day day.jsonl
  trundle day day.jsonl --format html > day.html
  trundle day day.jsonl --seal 9f4bbcd29fcb
  trundle day day.jsonl --note "whole relay passed" --with bench.json --who Ann`,
		Args: func(_ *cobra.Command, args []string) error {
			switch len(args) {
			case 0:
				return complaint{"day needs one record", "name it, like day.jsonl"}
			case 1:
				return nil
			}
			return complaint{fmt.Sprintf("day takes one record, not %d: %s", len(args), strings.Join(args, " ")), "words to add to it stand behind --note, in quotes"}
		},
	}
	note := cmd.Flags().String("note", "", "add a line of `WORDS`")
	with := cmd.Flags().StringArray("with", nil, "with the SHA-256 of `FILE`; repeatable")
	who := cmd.Flags().String("who", "", "`NAME` of who notes it")
	seal := cmd.Flags().String("seal", "", "hold it to a `SEAL` that was signed, or the digits that it begins with")
	form := formFlag(cmd, "text", "json", "html")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		digits := ""
		if cmd.Flags().Changed("seal") { // an empty one is a slip, and must not pass for signed
			var err error
			if digits, err = sealDigits(*seal); err != nil {
				return err
			}
		}
		noting := cmd.Flags().Changed("note")
		switch {
		case noting && strings.TrimSpace(*note) == "":
			return complaint{"--note '': says nothing", "write the words in quotes behind it"}
		case noting && (digits != "" || cmd.Flags().Changed("format")):
			return complaint{"--note only adds a line", "show the record by a command of its own"}
		case noting:
			return addNote(cmd.OutOrStdout(), args[0], *note, *who, *with)
		case len(*with) > 0:
			return complaint{"--with goes with --note", "say in words what the files are"}
		case *who != "":
			return complaint{"--who goes with --note", "say in words what is noted"}
		}
		a, err := loadDay(args[0])
		if err != nil {
			return err
		}
		if digits != "" {
			a.hold(digits)
		}
		out := cmd.OutOrStdout()
		switch form.chosen {
		case "json":
			err = writeJSON(out, a)
		case "html":
			err = dayPaper(a).WriteHTML(out)
		default:
			err = a.text(folded(out), inkFor(out))
		}
		if err == nil && a.bad() {
			return errBad
		}
		return err
	}
	return cmd
}

// How few digits of a seal are taken, and how few tell it from those of other
// records: of two it is the same by chance in 1 of 65,536, or in 1 of 4,294,967,296.
const (
	fewestDigits = 4
	enoughDigits = 8
)

// sealDigits are the digits of a seal, or those that it begins with, however they
// were copied.
func sealDigits(seal string) (string, error) {
	digits := strings.ToLower(strings.Join(strings.FieldsFunc(seal, func(r rune) bool { return unicode.IsSpace(r) || r == '.' || r == '…' }), ""))
	digits = strings.TrimPrefix(digits, "sha256:")
	other := strings.IndexFunc(digits, func(r rune) bool { return !strings.ContainsRune("0123456789abcdef", r) })
	switch {
	case other >= 0:
		r, _ := utf8.DecodeRuneInString(digits[other:])
		return "", complaint{fmt.Sprintf("--seal %s: %q is no digit of a seal", shellQuote(seal), r), "they are 0 to 9 and a to f, like 9f4bbcd2"}
	case len(digits) < fewestDigits:
		return "", complaint{fmt.Sprintf("--seal %s: too few digits to tell anything", shellQuote(seal)), "write at least four, better eight, like 9f4bbcd2"}
	case len(digits) > 2*sha256.Size:
		return "", complaint{fmt.Sprintf("--seal %s: has %d digits", shellQuote(seal), len(digits)), fmt.Sprintf("a seal has %d", 2*sha256.Size)}
	}
	return digits, nil
}

// addNote adds a line in words, and says what the seal is by then.
func addNote(w io.Writer, path, note, who string, with []string) error {
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
	if err := errors.Join(book.add(dayEntry{Kind: "note", Words: note, Who: who, Files: files}), book.close()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "noted in %s; its seal is %s\n", path, book.seal())
	return err
}

// loadDay reads a record and what it comes to. What was changed in it is in the
// answer, and no error.
func loadDay(path string) (*dayAnswers, error) {
	if err := readable(path, "*.jsonl"); err != nil {
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
