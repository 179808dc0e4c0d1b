package main

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"trundle/combination"
	"trundle/console"
	"trundle/console/finding"
)

func replayCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "replay INSTRUMENT LOG",
		Short: "Run a log of what was played through the console, and print what it does",
		Long: `Run a console log through the console machine and its combination action, and
print every effect: valves that open and shut, controls that come on, coils,
lamps, shades. The same log always prints the same bytes.

A log begins with the line "format: 1". Every other line is a time in seconds
and an event; lines that begin with # are comments:

  # knobs follow their coils: nothing real is attached
  0 obey on
  1.5 draw great-principal-8
  2 key great C4 down
  2.5 press set
  2.75 press general-1
  2.9 release set
  # the answer to the effect "save 1" of the capture; without one it counts as saved
  3 saved 1

A button is held until its release: while Set is, every other captures.

A word that is no event is answered with the list of them, and an event that is
not complete with how to write it. What the console refuses, a key that it has not
or a stage too high, is an effect too, and then the exit code is 1.

The memory file is read and never written; --to writes the memories as the log
leaves them. Sheets (.csv, .xlsx) hold combinations by memory and button.`,
		Example: `  trundle replay organ.yaml evening.log
  trundle replay organ.yaml evening.log --memory organ-memory.yaml --format json
  trundle replay organ.yaml evening.log --memory organ-memory.yaml --to combinations.xlsx`,
		Args: instrumentAndLog,
	}
	memory := cmd.Flags().String("memory", "", "begin with the memories of `FILE`: a memory file, .csv or .xlsx")
	to := cmd.Flags().String("to", "", "write the memories at the end into `FILE`: a memory file, .csv or .xlsx")
	form := formFlag(cmd, "text", "json")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		in, _, err := loadInstrument(args[0])
		if err != nil {
			return err
		}
		log, err := loadLog(in, args[1])
		if err != nil {
			return err
		}
		memories, err := loadMemories(cmd.ErrOrStderr(), in, *memory)
		if err != nil {
			return err
		}
		c := combination.New(in, memories)
		refused, unanswered, err := replay(cmd.OutOrStdout(), c, in, log, form.chosen)
		if err != nil {
			return err
		}
		if still := heldSet(in, log); still != "" {
			fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s: %s\n", args[1], still)
		}
		if unanswered > 0 {
			fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s: %s not answered by the log: taken as saved\n", args[1], count(unanswered, "capture"))
		}
		if *to != "" {
			if err := combination.Export(*to, c.Memories()); err != nil {
				return err
			}
		}
		if refused > 0 {
			fmt.Fprintf(cmd.ErrOrStderr(), "trundle: %s: the console refused %s\n", args[1], count(refused, "event"))
			return errBad
		}
		return nil
	}
	return cmd
}

// instrumentAndLog is for the arguments of replay.
func instrumentAndLog(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 0, 1:
		return complaint{cmd.Name() + " needs an instrument file and a log", "name both, like organ.yaml evening.log"}
	case 2:
		if filepath.Ext(args[1]) == ".yaml" && filepath.Ext(args[0]) != ".yaml" {
			return complaint{args[1] + " stands where the log is meant", "name the instrument file before the log"}
		}
		return nil
	}
	return fmt.Errorf("%s takes an instrument file and a log, not %d files", cmd.Name(), len(args))
}

// shownOfLog is how many errors of a log are written: in a file that is none,
// every line is wrong.
const shownOfLog = 10

func loadLog(in *console.Instrument, path string) ([]console.Timed, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		if of, ok := errors.AsType[*fs.PathError](err); ok {
			err = of.Err
		}
		return nil, fmt.Errorf("%s: cannot be read: %w", path, err)
	}
	if err := notAnother(path, logKind); err != nil {
		return nil, err
	}
	log, findings := console.ParseLog(in, path, data)
	if more := len(findings) - shownOfLog; more > 0 {
		findings = append(findings[:shownOfLog:shownOfLog], finding.Finding{Severity: finding.Error, Place: finding.Place{File: path}, Message: "and " + count(more, "error") + " more"})
	}
	if len(findings) > 0 {
		return nil, broken{findings: findings, check: "trundle replay --help"}
	}
	return log, nil
}

// loadMemories reads the memories that a command begins with, none for no
// path, and says what is strange in them.
func loadMemories(stderr io.Writer, in *console.Instrument, path string) (*combination.Memories, error) {
	if path == "" {
		return nil, nil
	}
	if err := notAnother(path, memoryKind, combinationsKind, workbookKind); err != nil {
		return nil, err
	}
	memories, findings, err := combination.Load(path, in)
	if err != nil {
		return nil, err
	}
	if memories == nil {
		return nil, broken{findings: slices.DeleteFunc(findings, func(f finding.Finding) bool { return f.Severity != finding.Error })}
	}
	for _, f := range findings {
		fmt.Fprintln(stderr, "trundle:", line(f))
	}
	return memories, nil
}

// replay prints the effects of a log, the valves of one event in their order, and
// counts the events that were refused. A save that the log does not answer counts as
// saved: captures behind it would wait for ever.
func replay(w io.Writer, c *combination.Console, in *console.Instrument, log []console.Timed, form string) (refused, unanswered int, err error) {
	out := bufio.NewWriter(w)
	appendTo := in.AppendEffect
	if form == "json" {
		appendTo = in.AppendEffectJSON
	}
	var text []byte
	for i, e := range log {
		for again := true; again; {
			effects := c.Do(e.At, e.Event)
			sortValves(effects)
			text, again = text[:0], false
			for _, effect := range effects {
				text = appendTo(text, effect)
				switch {
				case effect.Kind == console.RefusedEffect:
					refused++
				case effect.Kind == console.SaveEffect && !answered(log[i+1:], effect.Value):
					unanswered++
					e.Event, again = console.Event{Kind: console.SavedEvent, Value: effect.Value}, true
				}
			}
			if _, err := out.Write(text); err != nil {
				return refused, unanswered, err
			}
		}
	}
	return refused, unanswered, out.Flush()
}

// heldSet says that a log never lets go of Set, so that buttons behind the first
// captured too; "" where none did.
func heldSet(in *console.Instrument, log []console.Timed) string {
	var set console.Timed
	var pressed []console.Timed // while it is held
	held := false
	for _, e := range log {
		if e.Kind != console.PressEvent && e.Kind != console.ReleaseEvent {
			continue
		}
		b, down := e.Index, e.Kind == console.PressEvent
		if of := in.Combination.Buttons[b].Repeats; of != console.None {
			b = of
		}
		switch isSet := in.Combination.Buttons[b].Kind == console.Set; {
		case isSet && held != down:
			set, held, pressed = e, down, nil
		case !isSet && down:
			pressed = append(pressed, e)
		}
	}
	if !held || len(pressed) < 2 {
		return ""
	}
	id := in.Combination.Buttons[set.Index].ID
	return fmt.Sprintf("%s is held from %g to the end, so each of the %s pressed after it is to capture, not to recall: let it go behind the first, as by %g release %s",
		id, set.At.Seconds(), count(len(pressed), "button"), pressed[0].At.Seconds(), id)
}

// answered reports whether a log says what became of a save.
func answered(log []console.Timed, save int) bool {
	return slices.ContainsFunc(log, func(e console.Timed) bool {
		return (e.Kind == console.SavedEvent || e.Kind == console.SaveFailedEvent) && e.Value == save
	})
}

// sortValves puts each run of valves into their order.
func sortValves(effects []console.Effect) {
	for i := 0; i < len(effects); i++ {
		end := i
		for end < len(effects) && effects[end].Kind == console.ValveEffect {
			end++
		}
		slices.SortStableFunc(effects[i:end], func(a, b console.Effect) int {
			return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Index, b.Index))
		})
		i = max(i, end)
	}
}
