package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/mend"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// mendAnswer is a new switching table for the wiring as soldered, and what it
// cannot cure.
type mendAnswer struct {
	To          string           `json:"to"`
	Rows        int              `json:"rows"`
	Verdict     string           `json:"verdict"` // of the relay with the new table
	Outputs     int              `json:"outputs"`
	Differing   int              `json:"differing"`
	Obstacles   []obstacleAnswer `json:"obstacles"`
	Unexplained []string         `json:"unexplained"` // valves that differ whatever the wiring, by runs
	Left        []leftAnswer     `json:"left"`        // old rows that the new table has nothing for
}

type obstacleAnswer struct {
	placeAnswer
	Message string   `json:"message"`
	Fix     string   `json:"fix"`
	Pins    []string `json:"pins"`
	Valves  []string `json:"valves"`
}

type leftAnswer struct {
	placeAnswer
	Pins []string `json:"pins"`
}

// checkMend complains of flags that do not go together, and of a file that
// would be overwritten.
func checkMend(relay, to string, wanted bool) error {
	switch {
	case !wanted && to != "":
		return complaint{"--to names a file for --mend", "add --mend, or leave --to out"}
	case !wanted:
		return nil
	case relay == "":
		return complaint{"--mend needs a relay", "name it with --relay"}
	case to == "":
		return complaint{"--mend needs a file to write", "name it with --to, like --to switching-mended.csv"}
	}
	return absent(to)
}

// absent complains of a file that would be overwritten.
func absent(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return complaint{path + ": exists already", "nothing is ever overwritten; name another file"}
	}
	return nil
}

// writeMended mends the switching, proves the result, and writes it to a new
// file.
func (c *checked) writeMended(to string) error {
	if c.relay == nil {
		return broken{c.findings, checkCommandFor(c.path, c.relayPath)}
	}
	result := mend.Mend(c.in, c.relay)
	if result.Proof.Verdict == proof.NotDecided {
		return complaint{"the mended table is neither proven nor refuted: " + result.Proof.Reason, "nothing was written"}
	}
	answer := answerMend(c.in, result, to)
	var table bytes.Buffer
	for _, o := range answer.Obstacles {
		fmt.Fprintf(&table, "# not cured: %s\n", o.Message)
	}
	if err := wiring.WriteSwitching(&table, result.Relay, result.Relay.Switch); err != nil {
		return err
	}
	if err := writeNew(to, table.Bytes()); err != nil {
		return err
	}
	c.mended = &answer
	return nil
}

// writeNew writes a file that must not exist yet; nothing of it stays behind
// when that fails.
func writeNew(path string, data []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return complaint{path + ": exists already", "nothing is ever overwritten; name another file"}
	case err != nil:
		return fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	_, err = file.Write(data)
	if err = errors.Join(err, file.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("%s: cannot be written: %w", path, reason(err))
	}
	return nil
}

func answerMend(in *console.Instrument, m mend.Result, to string) mendAnswer {
	a := mendAnswer{
		To: to, Rows: len(m.Relay.Switch), Verdict: string(m.Proof.Verdict), Outputs: m.Proof.Outputs, Differing: len(m.Proof.Differing) + len(m.Proof.Undecided),
		Obstacles: []obstacleAnswer{}, Unexplained: append([]string{}, valveRuns(in, m.Unexplained)...), Left: []leftAnswer{},
	}
	for _, o := range m.Obstacles {
		a.Obstacles = append(a.Obstacles, obstacleAnswer{placeAnswer(o.At), o.Message, o.Fix, pinNames(m.Relay, o.Pins), valveRuns(in, o.Valves)})
	}
	for _, row := range m.Left {
		a.Left = append(a.Left, leftAnswer{placeAnswer(row.At), pinNames(m.Relay, row.Pins)})
	}
	return a
}

func pinNames(r *wiring.Relay, pins []wiring.Terminal) []string {
	names := make([]string, len(pins))
	for i, pin := range pins {
		names[i] = r.Name(pin)
	}
	return names
}

// text says what was written and what is left to solder.
func (m *mendAnswer) text(w io.Writer, ink ink) {
	fmt.Fprintf(w, "\n%s %s written, %s; the wiring stays as soldered\n", ink.bold("mended:"), m.To, count(m.Rows, "row"))
	if m.Verdict == string(proof.Equal) {
		fmt.Fprintf(w, "  proven %s with it: all %s in every state\n", ink.green("equal"), count(m.Outputs, "valve"))
	} else {
		fmt.Fprintf(w, "  %s: %d of %s still differ; the others are proven\n", ink.red("not all of it"), m.Differing, count(m.Outputs, "valve"))
	}
	for _, o := range m.Obstacles {
		fmt.Fprintf(w, "  no table cures %s: %s\n      makes wrong: %s\n      fix: %s\n", finding.Place(o.placeAnswer).String(), o.Message, someOf(o.Valves), o.Fix)
	}
	if len(m.Unexplained) > 0 {
		fmt.Fprintf(w, "  no wiring cures, the instrument asks what its chests cannot do: %s\n", someOf(m.Unexplained))
	}
	for _, l := range m.Left {
		fmt.Fprintf(w, "  carry over by hand %s: it drives %s, which no proof looks at and the new table leaves alone\n", finding.Place(l.placeAnswer).String(), strings.Join(l.Pins, ", "))
	}
}
