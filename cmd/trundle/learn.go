package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

func learnCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "learn INSTRUMENT --in PORT",
		Short: "Learn which message is which key, knob, button and shoe",
		Long: `Name one thing after another of the instrument, wait until it is worked, and
record its messages: keyboards by their lowest and highest key, shoes from end
to end, controls on and off, buttons pressed and let go of. What is another
thing's message already is told at once. After three of a kind whose numbers
rise evenly the rule for the rest is proposed, and tried on the last of them.

While it waits, write a word, or its first letter:

  skip   leave this one without a message
  back   this one again, or the one before
  rule   take the rule that is proposed
  only   nothing comes when this button is let go of
  end    stop here

It asks for what the file does not map yet, or for what --only names. What comes
out is the section ` + "`midi`" + ` of the instrument file; what the file has there of
other things stays. It is printed, or put into the file itself with
--write, or into a new copy of it with --to; the rest of the file, comments
and all, stays as it is. Ctrl-C leaves the file of --write alone, and keeps what was
learned in a copy beside it. With --table, print the map as it stands and learn
nothing. With --default, what comes out is the map that stands in for a missing
section, to change by hand.

The section can be written by hand as well:

` + mapping.Reference,
		Example: `  trundle learn organ.yaml --in serial:/dev/ttyUSB0 --write
  trundle learn organ.yaml --in file:/dev/snd/midiC1D0 --only "stops of great" --knobs spring
  trundle learn organ.yaml --table
  trundle learn organ.yaml --default --to mapped.yaml`,
		Args: oneInstrument,
	}
	port := portFlag(cmd, "in", "listen to `PORT`")
	only := cmd.Flags().StringArray("only", nil, "only `NAME`: keys, shoes, controls, buttons, a group like \"stops of great\", or an id; repeatable")
	completeOnly(cmd)
	knobs := choiceFlag(cmd, "knobs", "what knobs send: stay, a message for on and one for off; spring, one that turns them over; pulse, each ended at once",
		string(mapping.Stay), string(mapping.Spring), string(mapping.Pulse))
	write := cmd.Flags().Bool("write", false, "put the section into the instrument file")
	to := cmd.Flags().String("to", "", "put it into `FILE`, a new copy of the instrument file")
	table := cmd.Flags().Bool("table", false, "print the map as it stands")
	standing := cmd.Flags().Bool("default", false, "take the default map of a file that has none, and learn nothing")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if *write && *to != "" {
			return complaint{"--write and --to are two places", "keep one of them"}
		}
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return err
		}
		m, _ := mapping.Load(in) // it has a meaning, since the file has
		if *table {
			return writeMap(cmd.OutOrStdout(), in, m)
		}
		if *standing {
			if !m.Default {
				return complaint{in.File + ": has a section midi, and needs no default map", "take the section out to begin again, or see it with --table"}
			}
			return keepMap(cmd, in, m, *write, *to)
		}
		things, err := thingsOf(in, m, *only)
		if err != nil {
			return err
		}
		if *to != "" {
			if err := absent(*to); err != nil {
				return err
			}
		}
		learner := mapping.NewLearner(m, things, mapping.Knobs(knobs.chosen))
		ended := learn(cmd, port, learner, hints[knobs.chosen])
		if ended != nil && learner.Learned() == 0 {
			fmt.Fprintln(cmd.ErrOrStderr(), "nothing was learned, and nothing is written")
			return ended
		}
		if ended != nil && *write { // who did not write end may not want it there
			*write, *to = false, beside(in.File)
			fmt.Fprintf(folded(cmd.ErrOrStderr()), "%s stays as it was, for only end writes it: what was learned is kept in %s, a copy of it\n", in.File, *to)
		}
		return errors.Join(ended, keepMap(cmd, in, learner.Map(), *write, *to))
	}
	return cmd
}

// completeOnly completes --only with the names of the instrument file that
// stands on the command line.
func completeOnly(cmd *cobra.Command) {
	err := cmd.RegisterFlagCompletionFunc("only", func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) == 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return mapping.Names(in), cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // the flag was added before
	}
}

// thingsOf is what is to be learned: what is named, or else all that the file
// does not map yet.
func thingsOf(in *console.Instrument, m *mapping.Map, names []string) (things []mapping.Thing, err error) {
	var wrong []error
	for _, name := range names {
		list, err := mapping.Things(in, name)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("--only %s: %w", shellQuote(name), err))
		}
		things = append(things, list...)
	}
	if len(names) > 0 {
		return things, errors.Join(wrong...)
	}
	for _, t := range mapping.Workable(in) {
		if _, mapped := m.Find(t); m.Default || !mapped {
			things = append(things, t)
		}
	}
	if len(things) == 0 {
		return nil, complaint{in.File + ": everything has its message already", "name what to learn again with --only"}
	}
	return things, nil
}

// hints say what is taken for granted of knobs.
var hints = map[string]string{
	string(mapping.Stay):   "knobs are taken to stay as they are put; if they spring back, learn with --knobs spring",
	string(mapping.Spring): "knobs are taken to spring back; if they stay as they are put, learn with --knobs stay",
	string(mapping.Pulse):  "knobs are taken to send a message that ends at once for on, and another for off",
}

// errLearned ends the listening: there is no more to learn.
var errLearned = errors.New("all is learned")

// learn asks on stderr until all is learned, the port ends, or the player ends it.
func learn(cmd *cobra.Command, port portFlags, learner *mapping.Learner, hint string) error {
	h, err := hearFrom(port, 0)
	if err != nil {
		return err
	}
	t := &teacher{learner: learner, out: bufio.NewWriter(folded(cmd.ErrOrStderr())), ink: inkFor(cmd.ErrOrStderr()), words: linesOf(cmd.InOrStdin())}
	fmt.Fprintln(t.out, "work what is asked for, or write skip, back, rule or only; end stops and keeps what was learned")
	fmt.Fprintln(t.out, hint)
	t.ask()
	ended := h.each(t.hear)
	if errors.Is(ended, errLearned) {
		ended = h.in.Close()
	}
	return errors.Join(ended, t.out.Flush())
}

// teacher leads through what is to be learned.
type teacher struct {
	learner *mapping.Learner
	out     *bufio.Writer
	ink     ink
	words   <-chan string
	asked   string
}

// hear takes what came by now, and what the player wrote.
func (t *teacher) hear(taken midiio.Taken) error {
	for _, message := range taken.Messages {
		for _, said := range t.learner.Hear(message.Message) {
			fmt.Fprintln(t.out, "  "+said)
		}
		if err := t.ask(); err != nil {
			return err
		}
	}
	for {
		select {
		case word := <-t.words:
			if err := t.obey(word); err != nil {
				return err
			}
		default:
			return t.ask()
		}
	}
}

// ask asks for the next thing, once.
func (t *teacher) ask() error {
	text, done, of := t.learner.Ask()
	if text == "" {
		return errors.Join(t.out.Flush(), errLearned)
	}
	if rule := t.learner.Rule(); rule != "" {
		text += "\n  " + rule + ": write rule to take that"
	}
	if line := fmt.Sprintf("%d of %d: %s", done+1, of, text); line != t.asked {
		t.asked = line
		fmt.Fprintln(t.out, t.ink.bold(line))
	}
	return t.out.Flush()
}

// obey does what the player wrote.
func (t *teacher) obey(word string) error {
	word = strings.TrimSpace(word)
	t.asked = "" // whatever it was, ask again
	switch {
	case word == "":
	case strings.HasPrefix("skip", word):
		t.learner.Skip()
	case strings.HasPrefix("back", word):
		t.learner.Back()
	case strings.HasPrefix("end", word):
		return errLearned
	case strings.HasPrefix("only", word):
		said, ok := t.learner.Only()
		if !ok {
			said = []string{"no button waits to be let go of"}
		}
		for _, line := range said {
			fmt.Fprintln(t.out, "  "+line)
		}
	case strings.HasPrefix("rule", word):
		if !t.learner.TakeRule() {
			fmt.Fprintln(t.out, "  no rule is proposed")
		}
	default:
		fmt.Fprintf(t.out, "  no word %s: they are skip, back, rule, only and end\n", word)
	}
	return t.ask()
}

// linesOf hands on the lines of a reader as they come.
func linesOf(r io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		for scanner := bufio.NewScanner(r); scanner.Scan(); {
			lines <- scanner.Text()
		}
	}()
	return lines
}
