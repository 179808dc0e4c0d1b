package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"trundle/console"
	"trundle/sim/change"
)

// text is the comparison in words.
func (d *compared) text(ink ink) string {
	var b strings.Builder
	sounding := 0
	for _, f := range d.result.Differences {
		fmt.Fprintf(&b, "%s\n", ink.bold(title(f)))
		if sounds(f) {
			sounding++
		}
		if f.Detail != "" {
			fmt.Fprintf(&b, "    %s\n", f.Detail)
		}
		such := "for example"
		for _, e := range []*change.Example{f.Example, f.Also} {
			if e != nil {
				fmt.Fprintf(&b, "    %s: %s, %s\n", such, drawnInWords(e.Draw), heldInWords(e.Play))
				pipes(&b, "sounded, and does not now", e.Before)
				pipes(&b, "sounds now, and did not", e.After)
			}
			such = "and"
		}
		if !sounds(f) {
			b.WriteString("    nothing sounds differently by it\n")
		}
		b.WriteString("\n")
	}
	d.ironText(&b)
	d.tableText(&b)
	if ids := d.unset(); len(ids) > 0 {
		fmt.Fprintf(&b, "stored combinations do not hold %s: they leave what is new as it stands until they are set again\n\n", strings.Join(ids, ", "))
	}
	b.WriteString(ink.bold(d.sum(sounding)) + "\n")
	return b.String()
}

// unset are the new controls that combinations take, and none stored yet can hold.
func (d *compared) unset() (ids []string) {
	if d.old.Combination == nil || d.new.Combination == nil {
		return nil
	}
	for _, f := range d.result.Differences {
		switch console.ControlKind(f.Kind) {
		case console.StopControl, console.CouplerControl, console.UnisonOffControl, console.TremulantControl:
			if f.What == change.Added {
				ids = append(ids, f.ID)
			}
		}
	}
	return ids
}

// sounds reports whether a difference can be heard.
func sounds(f change.Difference) bool { return f.Example != nil || f.Detail != "" }

// title says which thing differs: changed: stop Principal (great-principal-8), 61 notes.
func title(f change.Difference) string {
	thing := f.Kind + " " + f.ID
	switch {
	case f.Kind == "keys":
		thing = "keys of the " + f.ID
	case f.ID == "":
		thing = f.Name
	case f.Name != "" && f.Name != f.ID:
		thing = fmt.Sprintf("%s %s (%s)", f.Kind, f.Name, f.ID)
	}
	text := string(f.What) + ": " + thing
	if f.Count > 0 {
		noun := "note"
		if f.Kind == "rank" {
			noun = "pipe"
		}
		text += ", " + count(f.Count, noun)
	}
	return text
}

// said is a difference in one line.
func said(f change.Difference) string {
	text := title(f)
	if f.Detail != "" {
		text += ": " + f.Detail
	}
	for _, e := range []*change.Example{f.Example, f.Also} {
		if e == nil {
			continue
		}
		text += fmt.Sprintf("; %s and %s:", drawnInWords(e.Draw), heldInWords(e.Play))
		if len(e.Before) > 0 {
			text += " " + listed(e.Before) + " sounded and does not now"
		}
		if len(e.After) > 0 {
			text += " " + listed(e.After) + " sounds now and did not"
		}
	}
	return text
}

func listed(names []string) string { return strings.Join(names, " ") }

func pipes(b *strings.Builder, what string, names []string) {
	if len(names) > 0 {
		fmt.Fprintf(b, "    %s: %s\n", what, strings.Join(names, ", "))
	}
}

// ironText is the list for the iron.
func (d *compared) ironText(b *strings.Builder) {
	rows := d.rows()
	if d.relay == nil || len(rows) == 1 {
		return
	}
	b.WriteString("to do at the relay:\n")
	var lines [][]string
	for _, j := range *d.answer().Iron {
		pin := "a new board"
		if j.Board != "" {
			pin = j.Board + "." + j.Pins
		}
		cable := ""
		if j.Cable != "" {
			cable = strings.TrimSpace("cable " + j.Cable + " wires " + j.Wires)
		}
		lines = append(lines, []string{j.Do, pin, strings.TrimSpace(j.Kind + " " + j.Item + " " + j.Notes), becomes(j), cable})
	}
	writeTable(b, lines)
	for _, j := range d.iron {
		if j.Board == "" && len(j.Pins) == 0 {
			rows := ""
			if !d.relay.Derived {
				rows = "; its rows in the switching table are not listed"
			}
			fmt.Fprintf(b, "  no board has %s beside others of its kind for %s: a new board is needed, or pins elsewhere that you choose%s\n", count(max(1, len(j.Notes)), "free pin"), strings.TrimSpace(string(j.Kind)+" "+j.Item), rows)
		}
	}
	b.WriteString("\n")
}

// tableText is the rows that the relay's own table needs.
func (d *compared) tableText(b *strings.Builder) {
	if len(d.table) == 0 {
		return
	}
	b.WriteString("then, in its switching table (a line that is on no pin is named as `trundle new` would):\n")
	for _, e := range d.table {
		at := ""
		if e.Do != change.Add {
			at = fmt.Sprintf("%s:%d  ", filepath.Base(e.At.File), e.At.Line)
		}
		fmt.Fprintf(b, "  %-6s  %s%s\n", e.Do, at, d.filed(e))
	}
	b.WriteString("\n")
}

// becomes says what becomes of a run of wires.
func becomes(j ironAnswer) string {
	switch change.Do(j.Do) {
	case change.Move:
		return "from " + j.From + " to " + j.To
	case change.Retag:
		return fmt.Sprintf("%q, now %q", strings.TrimSpace(j.From+" "+j.Was), strings.TrimSpace(j.To+" "+j.Notes))
	case change.Write:
		return fmt.Sprintf("the row says %q, write %q", j.From, strings.TrimSpace(j.Item+" "+j.Notes))
	}
	return fmt.Sprintf("%q", strings.TrimSpace(j.To+" "+j.Notes))
}

// sum is the one line that says whether anything sounds differently.
func (d *compared) sum(sounding int) string {
	text := "no difference in what sounds"
	switch {
	case d.result.Verdict == change.NotDecided:
		text = "not decided: " + d.result.Reason
	case sounding > 0:
		text = count(sounding, "difference") + " in what sounds"
	}
	if d.relay != nil {
		rows, without := len(d.table), 0
		for _, j := range d.iron {
			switch {
			case j.Do == change.Write:
				rows++
			case j.Board == "":
				without++
			}
		}
		text += ", " + counted(len(d.iron)+len(d.table)-rows-without, "entry", "entries") + " for the iron"
		if without > 0 {
			text += ", " + counted(without, "more entry", "more entries") + " without a pin: boards are short"
		}
		if rows > 0 {
			text += ", " + counted(rows, "row", "rows") + " for the tables"
		}
	}
	return text
}

func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
