package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"trundle/console"
	"trundle/midiio/mapping"
	"trundle/sim/bench"
	"trundle/sim/fault"
	"trundle/sim/wiring"
)

// listFaults shows the classes of mistakes and an example of each.
func listFaults(w io.Writer, list []fault.Example) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "class\tways\tfor example")
	for _, e := range list {
		fmt.Fprintf(table, "%s\t%d\t--fault %s\n", e.Class, e.Ways, shellQuote(e.Fault))
	}
	return table.Flush()
}

// withFaults is a relay with mistakes, and what they are.
func withFaults(relay *wiring.Relay, in *console.Instrument, names []string) (*wiring.Relay, []string, error) {
	var made []string
	var wrong []error
	for _, name := range names {
		f, err := fault.Find(relay, in, name)
		if err != nil {
			wrong = append(wrong, complaint{fmt.Sprintf("--fault: %v", err), "--fault list shows them all"})
			continue
		}
		relay, made = f.Relay, append(made, f.Class+": "+f.Where)
	}
	return relay, made, errors.Join(wrong...)
}

// longest bounds every time of a stand-in.
const longest = time.Minute

func checkTiming(t bench.Timing) error {
	for name, d := range map[string]time.Duration{"scan": t.Scan, "debounce": t.Debounce, "bounce": t.Bounce, "travel": t.Travel, "late": t.Late, "drop": t.Drop} {
		if d < 0 || d > longest || name == "scan" && d < 50*time.Microsecond {
			return fmt.Errorf("--%s %v: must be from 0 to %v, and --scan at least 50µs", name, d, longest)
		}
	}
	return nil
}

// stuckContacts reads the contacts that are always made.
func stuckContacts(in *console.Instrument, names []string) ([]mapping.Thing, error) {
	var list []mapping.Thing
	var wrong []error
	for _, name := range names {
		if name = keyForm(name); strings.Contains(name, ":") {
			held, err := parsePlay(in, name)
			if err != nil {
				wrong = append(wrong, stuckWrong(name, err))
			}
			for _, h := range held {
				list = append(list, mapping.Thing{Kind: mapping.Key, Index: h.Keyboard, Note: h.Note})
			}
			continue
		}
		c, err := findControl(in, name)
		if err != nil {
			wrong = append(wrong, stuckWrong(name, err))
		}
		list = append(list, mapping.Thing{Kind: mapping.Control, Index: c})
	}
	return list, errors.Join(wrong...)
}

// keyForm writes the key great C4, as it is shown, as great:C4, as it is asked for.
func keyForm(name string) string {
	if words := strings.Fields(name); len(words) == 2 && !strings.Contains(name, ":") {
		return words[0] + ":" + words[1]
	}
	return name
}

// stuckWrong is what is wrong with a contact, which other flags take too.
func stuckWrong(name string, err error) error {
	text := strings.TrimPrefix(strings.TrimPrefix(err.Error(), "--play: "), "--draw: ")
	return fmt.Errorf("--stuck %s: %s", name, text)
}
