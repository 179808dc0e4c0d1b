package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// explainField is a field of some kind of file, a column or a word of a table, with
// all places in which it may stand; "" for what is none.
func explainField(ink ink, word string) string {
	var b strings.Builder
	var kinds []string
	for _, file := range []struct {
		kind   string
		schema []byte
	}{{"instrument", console.Schema}, {"relay", wiring.Schema}} {
		f := readFields(ink, file.schema, word)
		f.object(file.kind+".yaml", f.defs.Get(file.kind))
		b.WriteString(f.out.String())
		for _, heading := range f.headings {
			kind := file.kind
			if strings.HasPrefix(heading, "instrument.yaml, midi") {
				kind = "midi"
			}
			kinds = append(kinds, kind)
		}
	}
	for _, kind := range []string{"wiring", "joins", "switching"} {
		s := sheets[kind]
		rows := slices.Concat(s.columns, s.words)
		rows = slices.DeleteFunc(rows, func(row [2]string) bool { return !means(word, row[0]) })
		if len(rows) > 0 {
			fmt.Fprintf(&b, "\n%s\n", ink.bold("a table of "+kind))
			writeWords(&b, rows)
			kinds = append(kinds, kind)
		}
	}
	if kinds = slices.Compact(kinds); len(kinds) == 0 {
		return ""
	}
	fmt.Fprintf(&b, "\nall that may stand there: trundle explain %s\n", strings.Join(kinds, ", trundle explain "))
	if ids := rulesWith(word); len(ids) > 0 {
		fmt.Fprintf(&b, "rules with that word: %s\n", someOf(ids))
	}
	return strings.TrimPrefix(b.String(), "\n")
}

// fieldNames are the names of all fields, columns and words that can be explained.
func fieldNames() (names []string) {
	for _, schema := range [][]byte{console.Schema, wiring.Schema} {
		for _, def := range readFields(false, schema, "").defs.Pairs {
			if properties := def.Value.Get("properties"); properties != nil {
				for _, p := range properties.Pairs {
					names = append(names, p.Key.Text)
				}
			}
		}
	}
	for _, kind := range fileKinds {
		for _, row := range slices.Concat(sheets[kind].columns, sheets[kind].words) {
			names = append(names, row[0])
		}
	}
	return names
}
