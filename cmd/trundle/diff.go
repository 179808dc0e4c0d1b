package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/change"
	"trundle/sim/table"
	"trundle/sim/waiver"
	"trundle/sim/wiring"
)

func diffCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "diff OLD NEW",
		Short: "Say what sounds differently in another version of an instrument",
		Long: `Compare two instrument files, the one there is and the one of a change order, in
every state of keys and controls: which stops, couplers and keys now sound other
pipes, each with the smallest example. Things match by their ids; other names
make no difference. Crescendo, tutti and combinations only work controls, and are
left out. The exit code is 1 when something sounds differently.

With --relay, a relay for the old instrument, list what there is to solder so
that its wiring has all that the new one needs: wires to remove, to take to
another chest, to add, labels to write anew, and rows of the wiring table that
would mean something else. The relay must have no errors but of things on no pin.
What is removed leaves a spare pin. Coils, lamps,
shades, stages and the like are asked for where the relay has any of the kind,
or the old instrument had none. Then come the rows that its switching table
needs: to remove as they stand there, to write in the place of the row of a line,
to add; a table that is derived needs none. --format csv writes the list for the
iron.`,
		Example: `  trundle diff organ.yaml organ-next.yaml
  trundle diff organ.yaml organ-next.yaml --relay relay.yaml
  trundle diff organ.yaml organ-next.yaml --relay relay.yaml --format csv`,
		Args: twoInstruments,
	}
	relay := cmd.Flags().String("relay", "", "relay design `FILE` for the old instrument")
	form := formFlag(cmd, "text", "json", "csv", "sarif")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		d, err := diff(args[0], args[1], *relay)
		if err != nil {
			return err
		}
		switch out := cmd.OutOrStdout(); form.chosen {
		case "json":
			err = writeJSON(out, d.answer())
		case "csv":
			err = writeCSV(out, d.rows())
		case "sarif":
			err = writeJSON(out, sarifOf(d.findings(), ""))
		default:
			_, err = fmt.Fprint(out, d.text(inkFor(out)))
		}
		if err == nil && d.result.Verdict != change.Equal {
			return errBad
		}
		return err
	}
	return cmd
}

// twoInstruments is for a command that takes the paths of two instrument files.
func twoInstruments(cmd *cobra.Command, args []string) error {
	if len(args) != 2 {
		return complaint{fmt.Sprintf("%s needs two instrument files, not %d", cmd.Name(), len(args)), "name the old one and the new one"}
	}
	return nil
}

// compared is two instruments, what differs, and what there is to solder.
type compared struct {
	old, new *console.Instrument
	result   change.Result
	relay    *wiring.Relay // nil without one
	iron     []change.Job
	table    []change.Entry // what is to be written in the relay's own table
}

func diff(oldPath, newPath, relayPath string) (*compared, error) {
	old, _, err := loadInstrument(oldPath)
	if err != nil {
		return nil, err
	}
	new, _, err := loadInstrument(newPath)
	if err != nil {
		return nil, err
	}
	d := &compared{old: old, new: new}
	if relayPath != "" {
		if d.relay, err = loadRelay(relayPath, old); err != nil {
			return nil, err
		}
		if err := listable(d.relay, old); err != nil {
			return nil, err
		}
		d.iron, d.table = change.Iron(old, new, d.relay), change.Switching(old, new, d.relay)
	}
	d.result = change.Compare(old, new)
	return d, nil
}

// listable complains of a relay with errors: where pins and things do not match,
// nothing tells which pins are free. What is on no pin yet is listed instead, and
// what the relay file waives is set aside.
func listable(r *wiring.Relay, in *console.Instrument) error {
	left, _ := waiver.Apply(wiring.Check(r, in), r.Waivers)
	wrong := slices.DeleteFunc(left, func(f finding.Finding) bool { return f.Severity != finding.Error || f.Rule == "item-not-wired" })
	if len(wrong) == 0 {
		return nil
	}
	finding.Sort(wrong)
	first := finding.Finding{Severity: finding.Error, Place: finding.Place{File: r.File},
		Message: fmt.Sprintf("the relay has %s, and a list of what there is to solder could not be trusted; mend it first", count(len(wrong), "error"))}
	return broken{append([]finding.Finding{first}, wrong...), checkCommandFor(in.File, r.File)}
}

// answer is the comparison in the shape of its JSON.
func (d *compared) answer() diffAnswer {
	a := diffAnswer{Schema: "trundle.diff/1", Verdict: string(d.result.Verdict), Reason: d.result.Reason, Differences: []differenceAnswer{}}
	for _, f := range d.result.Differences {
		answer := differenceAnswer{string(f.What), f.Kind, f.ID, f.Name, f.Detail, f.Count, nil, nil}
		if e := f.Example; e != nil {
			answer.Example = &diffExample{e.Play, e.Draw, e.Before, e.After}
		}
		if e := f.Also; e != nil {
			answer.Also = &diffExample{e.Play, e.Draw, e.Before, e.After}
		}
		a.Differences = append(a.Differences, answer)
	}
	if d.relay != nil {
		a.Iron = &[]ironAnswer{}
		for _, j := range d.iron {
			*a.Iron = append(*a.Iron, ironAnswer{string(j.Do), j.Board, wiring.FormatNumbers(j.Pins), string(j.Kind), j.Item,
				change.NotesText(j.Kind, j.Notes), j.From, change.NotesText(j.Kind, j.Was), j.To, j.Cable, wiring.FormatNumbers(j.Wires)})
		}
		a.Switching = &[]entryAnswer{}
		for _, e := range d.table {
			entry := entryAnswer{Do: string(e.Do), Row: d.row(e.Switch)}
			if e.Do != change.Add {
				entry.File, entry.Line = e.At.File, e.At.Line
			}
			*a.Switching = append(*a.Switching, entry)
		}
	}
	return a
}

// row is a switching row as its table has it.
func (d *compared) row(s wiring.Switch) string {
	var b bytes.Buffer
	wiring.WriteSwitching(&b, d.relay, []wiring.Switch{s}) // a buffer takes everything
	_, row, _ := strings.Cut(b.String(), "\n")
	return strings.TrimSuffix(row, "\n")
}

// filed is the row of an entry as its file writes rows: one to take out as it
// stands there.
func (d *compared) filed(e change.Entry) string {
	at := e.At.File
	if e.Do == change.Add && len(d.relay.Switch) > 0 {
		at = d.relay.Switch[0].At.File
	}
	form, known := d.relay.Forms[at]
	if !known {
		return d.row(e.Switch)
	}
	var texts []string
	if e.Do != change.Remove {
		texts, _ = csv.NewReader(strings.NewReader(d.row(e.Switch))).Read() // of what a csv.Writer wrote
	}
	var like table.Row
	if e.Do != change.Add {
		like = e.Cells
	}
	return form.Say(form.Line(form.Cells(texts, like)))
}

// rows is the list for the iron as a table, or without a relay the differences.
func (d *compared) rows() [][]string {
	a := d.answer()
	if a.Iron == nil {
		rows := [][]string{{"what", "kind", "id", "name", "detail", "count", "draw", "play", "before", "after"}}
		for _, f := range a.Differences {
			row := []string{f.What, f.Kind, f.ID, f.Name, f.Detail, strconv.Itoa(f.Count)}
			if e := f.Example; e != nil {
				row = append(row, listed(e.Draw), listed(e.Play), listed(e.Before), listed(e.After))
			} else {
				row = append(row, "", "", "", "")
			}
			rows = append(rows, row)
		}
		return rows
	}
	rows := [][]string{{"do", "board", "pins", "kind", "item", "notes", "from", "was", "to", "cable", "wires"}}
	for _, j := range *a.Iron {
		rows = append(rows, []string{j.Do, j.Board, j.Pins, j.Kind, j.Item, j.Notes, j.From, j.Was, j.To, j.Cable, j.Wires})
	}
	return rows
}

// findings is the differences as findings, where the new file says what it
// changed, or the old one what is gone.
func (d *compared) findings() []finding.Finding {
	var list []finding.Finding
	for _, f := range d.result.Differences {
		severity := finding.Note
		if sounds(f) {
			severity = finding.Warning
		}
		list = append(list, finding.Finding{Rule: "sounds-" + string(f.What), Severity: severity, Place: d.place(f), Message: said(f)})
	}
	if d.result.Verdict == change.NotDecided {
		list = append(list, finding.Finding{Rule: "diff-not-decided", Severity: finding.Error, Place: finding.Place{File: d.new.File}, Message: d.result.Reason})
	}
	return list
}

func (d *compared) place(f change.Difference) finding.Place {
	for _, in := range []*console.Instrument{d.new, d.old} {
		for _, c := range in.Controls {
			if c.ID == f.ID && string(c.Kind) == f.Kind {
				return c.At
			}
		}
		for _, r := range in.Ranks {
			if r.ID == f.ID && f.Kind == "rank" {
				return r.At
			}
		}
		for _, k := range in.Keyboards {
			if k.ID == f.ID && f.Kind == "keys" {
				return k.At
			}
		}
		for _, division := range in.Divisions {
			if division.ID == f.ID && f.Kind == "division" {
				return division.At
			}
		}
	}
	return finding.Place{File: d.new.File}
}
