package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/midiio"
	"trundle/midiio/mapping"
)

// holdNote holds one key for the tuner, and goes from key to key as it is told.
func (f walkFlags) holdNote(cmd *cobra.Command, in *console.Instrument, m *mapping.Map) error {
	key, err := thingCalled(in, f.hold)
	if err != nil {
		return fmt.Errorf("--hold %s: %w", shellQuote(f.hold), err)
	}
	if key.Kind != mapping.Key {
		return complaint{"--hold " + shellQuote(f.hold) + ": is no key", "write it like great:C4"}
	}
	end := m.End(mapping.AtConsole, "walk")
	var drawn []mapping.Signal
	var wrong []error
	for _, id := range f.draw {
		c, err := findControl(in, strings.TrimSpace(id))
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		drawn = append(drawn, mapping.Signal{Thing: mapping.Thing{Kind: mapping.Control, Index: c}, Value: 1})
	}
	if err := errors.Join(wrong...); err != nil {
		return err
	}
	for _, s := range append(drawn, mapping.Signal{Thing: key}) {
		if entry, ok := m.Find(s.Thing); !ok || !entry.Has(mapping.ToOrgan) {
			return complaint{in.File + ": the map has no message for " + s.Thing.Name(in), "trundle learn INSTRUMENT --table shows the map"}
		}
	}
	ctx, stop := untilInterrupted()
	defer stop()
	out, err := f.ports.out.talk(cmd.ErrOrStderr(), midiio.NewClock())
	if err != nil {
		return err
	}
	out.KeysAre(m.IsKey)
	say := func(s mapping.Signal, value int) {
		s.Value = value
		for _, message := range end.Tell(nil, s) {
			out.Send(message)
		}
	}
	for _, s := range drawn {
		say(s, 1)
	}
	lines := wholeLines(cmd.InOrStdin())
	shown := folded(cmd.OutOrStdout())
	for more := true; more; {
		say(mapping.Signal{Thing: key}, 1)
		fmt.Fprintf(shown, "%s\n", key.Name(in))
		select {
		case line, open := <-lines:
			say(mapping.Signal{Thing: key}, 0)
			to, goesOn, wrong := nextKey(in.Keyboards[key.Index].Keys, key.Note, strings.ToLower(strings.TrimSpace(line)))
			if wrong != nil && open {
				fmt.Fprintf(shown, "  %v\n", wrong)
			}
			key.Note, more = to, goesOn && open
		case <-ctx.Done():
			err, more = errInterrupted, false
		}
	}
	settle(ctx, out)
	var off []midiio.Message
	for _, s := range drawn {
		s.Value = 0
		off = end.Tell(off, s)
	}
	return errors.Join(err, out.Close(off...))
}

// nextKey is the key that a line asks for, and whether to go on. What is no key leaves
// the one that is, and is told.
func nextKey(keys console.Span, n console.Note, line string) (to console.Note, more bool, err error) {
	switch line {
	case "end":
		return n, false, nil
	case "", "+":
		to = n + 1
	case "-":
		to = n - 1
	default:
		if to, err = console.ParseNote(line); err != nil {
			return n, true, errors.New("an empty line is the next key, - the one before, a name like C4 that key, end the end")
		}
	}
	if !keys.Has(to) {
		return n, true, fmt.Errorf("there is no key %s: they are %s", to, keys)
	}
	return to, true, nil
}
