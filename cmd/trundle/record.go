package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"trundle/midiio"
)

func recordCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "record --in PORT --to FILE.mid",
		Short: "Record what comes from a port into a standard MIDI file",
		Long: `Record every message until the port ends, --for is over or Ctrl-C: one track, in
ticks of a tenth of a millisecond. Bytes that are no message are recorded as
they came. Meanwhile the file has its name and .part, and can be played if the
program is killed. A port that goes away is looked for; the keys it held are
released.

With --on the recording begins with the registration: a message for each control
that the map of the instrument has, on when it is among --draw. Controls, pistons
and stages are named in text events before their messages.`,
		Example: `  trundle record --in serial:/dev/ttyUSB0 --to evening.mid
  trundle record --in file:/dev/snd/midiC1D0 --to evening.mid --for 10m --without active-sensing
  trundle record --in serial:/dev/ttyUSB0 --to evening.mid --on organ.yaml --draw great-principal-8`,
		Args: noArguments,
	}
	port := portFlag(cmd, "in", "record from `PORT`")
	on := cmd.Flags().String("on", "", "begin with how `INSTRUMENT` stands, and name its controls as they move")
	draw := cmd.Flags().StringArray("draw", nil, "with --on: these controls are drawn as it begins, `IDS` with commas between them")
	to := cmd.Flags().String("to", "", "write `FILE`.mid")
	limit := cmd.Flags().Duration("for", 0, "end after so long; 0: when the port ends")
	filter := filterFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if *to == "" {
			return complaint{"--to is missing", "name the file to write, like evening.mid"}
		}
		keep, err := filter.parse()
		if err != nil {
			return err
		}
		about, err := registrationAt(*on, *draw)
		if err != nil {
			return err
		}
		part, err := newPart(*to)
		if err != nil {
			return err
		}
		h, err := hearFrom(port, *limit)
		if err != nil {
			return errors.Join(err, part.drop())
		}
		r, err := midiio.Record(part, h.clock())
		if err != nil {
			return errors.Join(part.complain(err), h.in.Close())
		}
		messages, dropped, overrun := 0, 0, false
		if about != nil {
			about.record(r, h.clock())
		}
		tell := port.tellOf(cmd.ErrOrStderr())
		ended := h.each(func(taken midiio.Taken) error {
			for _, t := range taken.Messages {
				if t.Message.Kind == midiio.Overrun {
					overrun = true
				} else if t.Message.OfPort() {
					tell(t.Message.Kind == midiio.Gone, nil)
				} else if !keep(t.Message) {
					continue
				} else {
					messages++
				}
				if about != nil && about.hear(t) && about.words != "" {
					r.Text(t.At, about.words)
				}
				r.Add(t)
			}
			dropped = taken.Dropped
			return part.complain(r.Flush(h.clock()))
		})
		ended = errors.Join(ended, part.finish())
		if dropped > 0 {
			ended = errors.Join(ended, fmt.Errorf("%d messages were lost, because they came too fast", dropped))
		}
		if overrun {
			ended = errors.Join(ended, errors.New("messages were lost by the system, because they came too fast; the recording says when"))
		}
		_, err = fmt.Fprintf(cmd.OutOrStdout(), "recorded %s, %.3f s\n", count(messages, "message"), h.clock().Seconds())
		return errors.Join(ended, err)
	}
	return cmd
}

// part is a file that is being written under its name and .part, and has its
// name once it is whole. What is lost with the program is nothing of it.
type part struct {
	*os.File
	path string
}

func newPart(path string) (*part, error) {
	if err := absent(path); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path+".part", os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return nil, complaint{path + ".part: is there already, from a recording that goes on or was broken off", "play it, rename it or remove it"}
	}
	p := &part{f, path}
	return p, p.complain(err)
}

// complain says of what is wrong with writing that it is that.
func (p *part) complain(err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: cannot be written: %w", p.path, reason(err))
}

// finish gives the file its name.
func (p *part) finish() error {
	err := errors.Join(p.Sync(), p.Close())
	if err == nil {
		err = os.Rename(p.Name(), p.path)
	}
	return p.complain(err)
}

// drop removes the file.
func (p *part) drop() error { return errors.Join(p.Close(), os.Remove(p.Name())) }
