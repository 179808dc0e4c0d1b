package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trundle/console/finding"
	"trundle/midiio"
)

func watchCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "watch --in PORT",
		Short: "Show what comes from a MIDI port, and what is wrong with it",
		Long: `Show every message with the time since the beginning and since the one before,
in seconds, and between them what is wrong:

  no-status, undefined, unfinished   bytes that are no message
  sysex-cut, sysex-stray-end         system exclusive without its end, or its beginning
  on-twice, off-without-on           notes that do not pair
  note-hangs                         a key on for longer than --hang, or at the end
  sensing-stopped                    silence after active sensing (not with --no-sensing)
  link-full                          over 80% of the link used in a second; its rate must be known (--baud)
  lost                               messages that came faster than they could be shown
  port-gone                          the port went away: its keys are released, and it is
                                     looked for until port-back

Faults are found before anything is filtered. The exit code is 1 when there
were any.`,
		Example: `  trundle watch --in serial:/dev/ttyUSB0
  trundle watch --in file:/dev/snd/midiC1D0 --baud 31250 --raw --without timing-clock
  trundle watch --in pty:organ --only note-on --only note-off --channel 1 --format json`,
		Args: noArguments,
	}
	port := portFlag(cmd, "in", "listen to `PORT`")
	form := formFlag(cmd, "text", "json")
	limit := cmd.Flags().Duration("for", 0, "end after so long; 0: when the port ends")
	raw := cmd.Flags().Bool("raw", false, "show the bytes as well")
	hang := cmd.Flags().Duration("hang", time.Minute, "tell of a key that is on for so long; 0: of none until the end")
	noSensing := cmd.Flags().Bool("no-sensing", false, "expect nothing after active sensing")
	filter := filterFlags(cmd)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		keep, err := filter.parse()
		if err != nil {
			return err
		}
		h, err := hearFrom(port, *limit)
		if err != nil {
			return err
		}
		w := &watcher{
			out: bufio.NewWriter(cmd.OutOrStdout()), ink: inkFor(cmd.OutOrStdout()), json: form.chosen == "json", raw: *raw, keep: keep,
			monitor: midiio.Monitor{IgnoreSensing: *noSensing, Hang: *hang},
		}
		ended := h.each(func(taken midiio.Taken) error { return w.show(taken, h.clock(), h.in.Load(h.clock(), h.byteTime)) })
		if err := w.finish(h.clock()); err != nil {
			return err
		}
		if ended == nil && w.faults > 0 {
			return errBad
		}
		return ended
	}
	return cmd
}

// filters choose messages.
type filters struct{ only, without, channels *[]string }

func filterFlags(cmd *cobra.Command) filters {
	f := filters{
		cmd.Flags().StringArray("only", nil, "only messages of this `NAME`, like note-on; repeatable"),
		cmd.Flags().StringArray("without", nil, "no messages of this `NAME`, like timing-clock; repeatable"),
		cmd.Flags().StringArray("channel", nil, "only messages of this channel, `N` from 1 to 16; repeatable"),
	}
	for _, flag := range []string{"only", "without"} {
		if err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(midiio.Names(), cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic(err) // the flag was added above
		}
	}
	return f
}

// parse is the filter as a function.
func (f filters) parse() (keep func(midiio.Message) bool, err error) {
	for _, name := range slices.Concat(*f.only, *f.without) {
		if !slices.Contains(midiio.Names(), name) {
			return nil, complaint{"no messages are named " + name, finding.DidYouMean(name, midiio.Names())}
		}
	}
	var channels []int
	for _, text := range *f.channels {
		m, err := midiio.ParseMessage("program-change " + text + " 0")
		if err != nil {
			return nil, fmt.Errorf("--channel %s: a channel is a number from 1 to 16", text)
		}
		channels = append(channels, m.Channel())
	}
	return func(m midiio.Message) bool {
		name := m.Name()
		return (len(*f.only) == 0 || slices.Contains(*f.only, name)) && !slices.Contains(*f.without, name) &&
			(len(channels) == 0 || slices.Contains(channels, m.Channel()))
	}, nil
}

// watcher shows messages and faults.
type watcher struct {
	out       *bufio.Writer
	ink       ink
	json, raw bool
	keep      func(midiio.Message) bool
	monitor   midiio.Monitor
	last      time.Duration // of the message shown last
	messages  int
	faults    int
}

// show shows what was taken by now, and flushes it.
func (w *watcher) show(taken midiio.Taken, now time.Duration, load float64) error {
	var faults []midiio.Fault
	for _, t := range taken.Messages {
		faults = w.monitor.Hear(faults[:0], t)
		w.tell(faults)
		switch {
		case t.Message.Kind.Fault():
		case t.Message.OfPort():
			w.message(t)
		default:
			w.messages++
			if w.keep(t.Message) {
				w.message(t)
			}
		}
	}
	faults = w.monitor.Tick(faults[:0], now)
	faults = w.monitor.Link(faults, now, load)
	faults = w.monitor.Lost(faults, now, taken.Dropped)
	w.tell(faults)
	return w.out.Flush()
}

func (w *watcher) finish(now time.Duration) error {
	w.tell(w.monitor.Finish(nil, now))
	if w.json {
		w.line(watchAnswer{At: now.Seconds(), End: &watchEnd{w.messages, w.faults}})
	} else {
		fmt.Fprintf(w.out, "%s, %s\n", count(w.messages, "message"), count(w.faults, "fault"))
	}
	return w.out.Flush()
}

func (w *watcher) message(t midiio.Timed) {
	since := t.At - w.last
	w.last = t.At
	bytes := fmt.Sprintf("% X", t.Message.Bytes())
	if w.json {
		a := watchAnswer{At: t.At.Seconds(), Since: new(since.Seconds()), Message: t.Message.String()}
		if w.raw {
			a.Bytes = bytes
		}
		w.line(a)
		return
	}
	text := t.Message.String()
	if w.raw {
		text = fmt.Sprintf("%-32s %s", text, bytes)
	}
	fmt.Fprintf(w.out, "%12.6f %+12.6f  %s\n", t.At.Seconds(), since.Seconds(), text)
}

func (w *watcher) tell(faults []midiio.Fault) {
	for _, f := range faults {
		w.faults++
		if w.json {
			w.line(watchAnswer{At: f.At.Seconds(), Fault: f.Rule, Text: f.Text})
			continue
		}
		fmt.Fprintf(w.out, "%12.6f %s %s\n", f.At.Seconds(), strings.Repeat(" ", 11)+"!", w.ink.red(f.Rule)+": "+f.Text)
	}
}

// watchAnswer is one line of JSON: a message, a fault or the end.
type watchAnswer struct {
	Schema  string    `json:"schema"`
	At      float64   `json:"at"`
	Since   *float64  `json:"since,omitempty"`
	Message string    `json:"message,omitempty"`
	Bytes   string    `json:"bytes,omitempty"`
	Fault   string    `json:"fault,omitempty"`
	Text    string    `json:"text,omitempty"`
	End     *watchEnd `json:"end,omitempty"`
}

type watchEnd struct {
	Messages int `json:"messages"`
	Faults   int `json:"faults"`
}

// line writes a line of JSON; what fails is told by the flush.
func (w *watcher) line(a watchAnswer) {
	a.Schema = "trundle.watch/1"
	_ = writeJSON(io.Writer(w.out), a)
}
