package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"trundle/sim/circuit"
	"trundle/sim/probe"
	"trundle/sim/wiring"
)

// loopAnswer is a plug through which a whole relay is tried, and what is not.
type loopAnswer struct {
	Pairs    []string         `json:"pairs"`   // as --loop names them
	Outputs  int              `json:"outputs"` // that lead through the plug
	Of       int              `json:"of"`      // of so many that open valves
	Notes    []string         `json:"notes"`   // of how to build the plug, and what does not fit
	NotTried []notTriedAnswer `json:"notTried"`
}

// notTriedAnswer is what a test through a plug does not try.
type notTriedAnswer struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// through cuts the plan to what can be tried with the plug in.
func (t *wholeTest) through(a *wholeAnswer) error {
	loop, err := loopOf(t.in, t.relay, *t.flags.loop)
	if err != nil || len(loop) == 0 {
		return err
	}
	if err := reportsLoop(t.in, t.m, loop); err != nil {
		return err
	}
	t.plan = probe.Through(t.plan, loop, t.relay, t.in)
	var names []string
	for _, k := range loopKeyboards(t.in, loop) {
		names = append(names, t.in.Keyboards[k].ID)
	}
	behind := strings.Join(names, " and ")
	silent := t.silent()
	if len(silent) == len(loop) {
		return complaint{fmt.Sprintf("--loop: no output that leads through the plug can be tried: keys of %s would work it whatever is drawn, or no other key leads there", behind),
			"put it into the key inputs of another keyboard"}
	}
	a.Loop = &loopAnswer{Pairs: *t.flags.loop, Outputs: len(loop), Notes: []string{}}
	for _, row := range t.relay.Plan {
		for _, item := range row.Items {
			if fits(item, true) {
				a.Loop.Of++
			}
		}
	}
	a.Loop.Notes = append(a.Loop.Notes, t.resistors(loop)...)
	a.Loop.NotTried = t.notTried(loop, silent, behind)
	return nil
}

// silent are the looped outputs that nothing in the plan drives.
func (t *wholeTest) silent() (silent []wiring.Terminal) {
	answers := slices.Concat(probe.Simulate(t.plan, t.relay, t.in)...)
	for i, l := range t.plan.Loop {
		if !slices.ContainsFunc(answers, func(answer probe.Set) bool { return answer.Has(i) }) {
			silent = append(silent, l.Output)
		}
	}
	return silent
}

// notTried is what the plan leaves out.
func (t *wholeTest) notTried(loop probe.Loop, silent []wiring.Terminal, behind string) []notTriedAnswer {
	var list []notTriedAnswer
	add := func(what, why string) { list = append(list, notTriedAnswer{what, why}) }
	var outputs, inputs []wiring.Terminal
	for _, l := range loop {
		if !l.FarOutput {
			outputs = append(outputs, l.Output)
		}
		if !l.FarInput {
			inputs = append(inputs, l.Input)
		}
	}
	if len(silent) > 0 {
		add(count(len(silent), "looped output")+": "+pinRuns(t.relay, silent), "driven by no chord that can be pressed")
	}
	add("the keys of "+behind, "the plug is in their place; put it into another keyboard for them")
	if len(outputs) > 0 {
		add("what is soldered at "+pinRuns(t.relay, outputs), "the plug is in the place of the cable; with it at the far end, name the cable")
	}
	if len(inputs) > 0 {
		add("what is soldered at "+pinRuns(t.relay, inputs), "the plug is in the place of the cable; with it at the far end, name the cable")
	}
	return append(list, t.rowsNotTried(behind)...)
}

// rowsNotTried are the rows of the table that lead to looped outputs, and of which
// something is not tried, by what they ask.
func (t *wholeTest) rowsNotTried(behind string) (list []notTriedAnswer) {
	type group struct {
		notes, of int
		why       string
	}
	groups := map[string]*group{}
	var order []string
	for _, u := range probe.Leads(t.plan, t.relay, t.in) {
		row := t.relay.Switch[u.Row]
		name := wiring.FormatControl(row.Control)
		if name == "" {
			name = "always"
		}
		if row.Kind == wiring.Couple {
			name += ", from " + row.Line + " to " + row.To
		} else if row.Line != "" {
			name += ", from " + row.Line
		}
		why := "no chord that can be pressed leads there"
		switch {
		case u.FeedsBack:
			why = fmt.Sprintf("with it, keys of %s would work what leads through the plug", behind)
		case u.Behind:
			why = fmt.Sprintf("only keys of %s lead there, and the plug is in their place", behind)
		}
		name += "\n" + why
		g := groups[name]
		if g == nil {
			g = &group{why: why}
			groups[name], order = g, append(order, name)
		}
		g.notes += u.Notes
		g.of += u.Of
	}
	slices.SortStableFunc(order, func(a, b string) int { return cmp.Compare(groups[b].notes, groups[a].notes) })
	for _, name := range order {
		what, _, _ := strings.Cut(name, "\n")
		list = append(list, notTriedAnswer{fmt.Sprintf("%s: %d of %s", what, groups[name].notes, count(groups[name].of, "note")), groups[name].why})
	}
	return list
}

// resistors says what the plug needs, as far as the relay's files tell.
func (t *wholeTest) resistors(loop probe.Loop) (notes []string) {
	const unknown = "what load each output needs is not known: the files say nothing of its magnet and supply; take what its magnet has, in ohms and watts"
	if !circuit.Given(t.relay) {
		return []string{unknown}
	}
	c, _ := circuit.Read(t.relay, t.in)
	if c == nil {
		return []string{unknown}
	}
	least, most, watts, known := math.Inf(1), 0.0, 0.0, 0
	for _, l := range c.Loads {
		if !slices.ContainsFunc(loop, func(p probe.Looped) bool { return p.Output == l.Pin && p.Hangs == l.Item }) {
			continue
		}
		if amps := c.Nominal(l); amps > 0 {
			m := c.Magnets[l.Magnet]
			ohms := m.Ohms / float64(m.Count)
			least, most, watts, known = min(least, ohms), max(most, ohms), max(watts, amps*amps*ohms), known+1
		}
	}
	if known == 0 {
		notes = append(notes, unknown)
	} else {
		ohms := fmt.Sprintf("%.0f ohms", most)
		if most-least >= 1 {
			ohms = fmt.Sprintf("%.0f to %.0f ohms, as its magnet has", least, most)
		}
		notes = append(notes, fmt.Sprintf("a load of %s at each output takes up to %.1f W and gets hot: take twice that, in free air; chords are reckoned with it", ohms, watts))
	}
	return append(notes, t.misfits(c, loop)...)
}

// misfits warns of outputs and inputs that do not go together, as far as the
// files tell: of a supply that is another, and of the other pole.
func (t *wholeTest) misfits(c *circuit.Circuit, loop probe.Loop) (notes []string) {
	said := map[[2]int]bool{}
	for _, l := range loop {
		pair := [2]int{l.Output.On, l.Input.On}
		if said[pair] {
			continue
		}
		said[pair] = true
		out, in := c.Boards[pair[0]], c.Boards[pair[1]]
		from, to := t.relay.Board(pair[0]), t.relay.Board(pair[1])
		if node := t.relay.Boards[pair[1]].Node; node != nil && node.Get("switches") != nil && in.Switches != out.Switches {
			notes = append(notes, fmt.Sprintf("%s switches %s and the keys of %s %s: they do not work each other without something between", from, out.Switches, to, in.Switches))
		} else if node == nil || node.Get("switches") == nil {
			notes = append(notes, fmt.Sprintf("%s switches %s; the files do not say by which pole %s reads a key: see that it is the same", from, out.Switches, to))
		}
		if len(out.Supplies) == 0 || len(in.Supplies) == 0 {
			notes = append(notes, fmt.Sprintf("the files do not say whether %s and %s have one supply: see that they have, and one common", from, to))
			continue
		}
		if a, b := c.Supplies[out.Supplies[0]], c.Supplies[in.Supplies[0]]; math.Abs(a.Idle-b.Idle) > 0.1*max(a.Idle, b.Idle) {
			notes = append(notes, fmt.Sprintf("%s works at %g V (%s) and %s at %g V (%s): an input may be destroyed by the higher; put something between that keeps it away", from, a.Idle, a.ID, to, b.Idle, b.ID))
		}
	}
	return notes
}

// before says what the plug is, and what is not tried through it.
func (a *loopAnswer) before(w io.Writer) {
	fmt.Fprintf(w, "through the plug %s: %d of %s that open valves\n", strings.Join(a.Pairs, ", "), a.Outputs, count(a.Of, "output"))
	fmt.Fprintln(w, "plug it in and out with the power off, and begin on a small fuse")
	for _, note := range a.Notes {
		fmt.Fprintln(w, note)
	}
	fmt.Fprintln(w, "in the relay of the files, keys behind the plug reach nothing that leads through it, in all that is tried; by a mistake they may, which is told")
	a.left(w)
}

// mostNotTried is how much of what is not tried is listed.
const mostNotTried = 12

// left says what is not tried.
func (a *loopAnswer) left(w io.Writer) {
	fmt.Fprintln(w, "not tried:")
	for _, n := range a.NotTried[:min(mostNotTried, len(a.NotTried))] {
		fmt.Fprintf(w, "  %s: %s\n", n.What, n.Why)
	}
	if more := len(a.NotTried) - mostNotTried; more > 0 {
		fmt.Fprintf(w, "  and %d more, which --format json lists\n", more)
	}
}

// only says that not all of a relay was tried.
func (a *loopAnswer) only() string {
	return fmt.Sprintf(throughPlugs+"%s was tried, %d of %s", strings.Join(a.Pairs, ", "), a.Outputs, count(a.Of, "output"))
}

// loopedAnswer is a looped output that is not driven as it should be.
func (t *wholeTest) loopedAnswer(v valveAnswer, bit int) valveAnswer {
	half := t.plan.Loop.Half()
	l := t.plan.Loop[bit%half]
	kind, item, note := l.Hangs.Words(t.in)
	v.Valve, v.LetGo = t.relay.Name(l.Output), bit >= half
	v.Item = strings.TrimSpace(string(kind) + " " + item + " " + note)
	return v
}

// looped is what a looped output does.
func (v valveAnswer) looped() string {
	does := "is not driven and should be"
	if v.Opens {
		does = "is driven and should not"
	}
	if v.LetGo {
		does = "stays driven when all is let go"
		if !v.Opens {
			does = "is not driven when all is let go and should be"
		}
	}
	return fmt.Sprintf("%s (%s) %s, in %s", v.Valve, v.Item, does, count(v.Chords, "chord"))
}
