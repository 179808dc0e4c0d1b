package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"trundle/console"
	"trundle/midiio/mapping"
)

// writeMap prints a map as a table, with how long the worst of it takes on the
// link.
func writeMap(w io.Writer, in *console.Instrument, m *mapping.Map) error {
	var b strings.Builder
	from := "its section midi"
	if m.Default {
		from = "the default map, for the file has none"
	}
	fmt.Fprintf(&b, "%s: %s\n\n", in.Name, from)
	table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintf(table, "\t\tto the organ\tto the console\n")
	for _, r := range m.Table() {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", r.What, r.Name, dashed(r.ToOrgan), dashed(r.ToConsole))
	}
	table.Flush() // a strings.Builder takes everything
	for i, t := range m.Times() {
		if i == 0 {
			fmt.Fprintf(&b, "\non a link of %d baud\n", m.Baud)
		}
		fmt.Fprintf(&b, "  %s: %s, %.1f ms\n", t.What, count(t.Bytes, "byte"), float64(t.Time.Microseconds())/1000)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
