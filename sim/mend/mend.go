// Package mend writes the switching that lets a relay play its instrument with
// the wiring as soldered, and says what no switching can cure.
package mend

import (
	"slices"

	"trundle/console"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

// Result is a relay mended as far as its switching can mend it.
type Result struct {
	Relay       *wiring.Relay   // the wiring untouched, the switching new
	Proof       proof.Result    // of that relay
	Obstacles   []Obstacle      // what keeps it from being right
	Unexplained []int           // valves that differ without an obstacle: what the instrument asks, no wiring could do
	Left        []wiring.Switch // rows of the old table that drive what the proof does not look at and the new table does not drive
}

// Mend derives the switching from what was soldered and proves it. Where it
// cannot be right, each obstacle is taken away in memory to see which valves
// are wrong because of it.
func Mend(in *console.Instrument, r *wiring.Relay) Result {
	mended := derive(in, r)
	result := Result{Relay: mended, Proof: proof.Prove(in, mended), Left: left(r, mended)}
	if result.Proof.Verdict == proof.Equal {
		return result
	}
	all := obstacles(in, r)
	result.Unexplained = differing(in, cure(in, r, all))
	for i := range all {
		o := &all[i]
		others := slices.Delete(slices.Clone(all), i, i+1)
		o.Valves = without(differing(in, cure(in, r, others)), result.Unexplained)
		if len(o.Valves) > 0 {
			result.Obstacles = append(result.Obstacles, *o)
		}
	}
	explained := slices.Clone(result.Unexplained)
	for _, o := range result.Obstacles {
		explained = append(explained, o.Valves...)
	}
	result.Unexplained = append(result.Unexplained, without(result.Proof.Differing, explained)...)
	slices.Sort(result.Unexplained)
	return result
}

// derive is the relay with the switching that its soldered wiring asks for.
func derive(in *console.Instrument, r *wiring.Relay) *wiring.Relay {
	soldered := *r
	soldered.Plan, soldered.Wired = r.Soldered(), nil
	mended := *r
	mended.Switch, mended.Derived = withoutIdle(wiring.Derive(&soldered, in)), false
	return &mended
}

func differing(in *console.Instrument, r *wiring.Relay) []int {
	p := proof.Prove(in, r)
	all := append(slices.Clone(p.Differing), p.Undecided...)
	slices.Sort(all)
	return all
}

func without(valves, these []int) []int {
	return slices.DeleteFunc(slices.Clone(valves), func(v int) bool { return slices.Contains(these, v) })
}

// withoutIdle takes out of derived rows what waits for a control or a line
// that no pin sets, for nothing there can ever happen: rows that need it, and
// conditions that forbid it.
func withoutIdle(rows []wiring.Switch) []wiring.Switch {
	labels, lines := map[string]bool{}, map[string]bool{}
	for _, row := range rows {
		if row.Kind == wiring.Read && row.Line == "" {
			labels[row.Control[0].Label] = true
		}
	}
	var kept []wiring.Switch
	for _, row := range rows {
		if row.Kind == wiring.Read || !slices.ContainsFunc(row.Control, func(l wiring.Literal) bool { return !l.Not && !labels[l.Label] }) {
			row.Control = slices.DeleteFunc(slices.Clone(row.Control), func(l wiring.Literal) bool { return !labels[l.Label] })
			kept = append(kept, row)
		}
	}
	for grew := true; grew; {
		grew = false
		for _, row := range kept {
			to := row.To
			if row.Kind == wiring.Read {
				to = row.Line
			}
			if to != "" && !lines[to] && (row.Kind == wiring.Read || lines[row.Line]) {
				lines[to], grew = true, true
			}
		}
	}
	return slices.DeleteFunc(kept, func(row wiring.Switch) bool { return row.Line != "" && !lines[row.Line] })
}

// left is the rows of the old table that drive pins which the new one leaves
// alone, and on which something hangs.
func left(old, mended *wiring.Relay) []wiring.Switch {
	nets := wiring.Nets(mended)
	driven := map[int]bool{}
	for _, row := range mended.Switch {
		if row.Kind == wiring.Drive {
			for _, pin := range row.Pins {
				driven[nets.Of(pin)] = true
			}
		}
	}
	var rows []wiring.Switch
	for _, row := range old.Switch {
		if row.Kind == wiring.Drive && slices.ContainsFunc(row.Pins, func(t wiring.Terminal) bool {
			net := nets.Of(t)
			return net >= 0 && !driven[net] && slices.ContainsFunc(nets.Hung(net), func(h wiring.Hung) bool { return outside(nets.Item(h)) })
		}) {
			rows = append(rows, row)
		}
	}
	return rows
}

// outside reports whether an item is one that the proof does not look at.
func outside(i wiring.Item) bool {
	switch i.Kind {
	case wiring.NoteKind, wiring.ActionKind, wiring.ActionOnKind, wiring.ActionOffKind, wiring.ValveKind, wiring.SpareKind:
		return false
	}
	return true
}
