package main

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// shownPaths is how many of a valve's paths the text names.
const shownPaths = 4

// soundText is the answer for a builder: valves by rank, each with its pitch
// and the paths that open it, and a last line that sums them up.
func soundText(in *console.Instrument, s console.State, a soundAnswer, ink ink) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", ink.bold(in.Name))
	fmt.Fprintf(&b, "held: %s\n", heldText(in, s))
	fmt.Fprintf(&b, "on:   %s\n", onText(in, s))
	rank := ""
	for _, v := range a.Valves {
		if v.Rank != rank {
			rank = v.Rank
			fmt.Fprintf(&b, "\n%s\n", ink.bold(rank))
		}
		writeValve(&b, v)
	}
	fmt.Fprintf(&b, "\n%s\n", ink.bold(soundSum(in, s, a)))
	if a.Relay != nil {
		b.WriteString(a.Relay.text(ink))
	}
	return b.String()
}

func heldText(in *console.Instrument, s console.State) string {
	if len(s.Held) == 0 {
		return "no key"
	}
	var boards []string
	for k, keyboard := range in.Keyboards {
		var held []console.Held
		for _, h := range s.Held {
			if h.Keyboard == k {
				held = append(held, h)
			}
		}
		if len(held) > 0 {
			boards = append(boards, keyboard.ID+" "+runsOf(held))
		}
	}
	text := strings.Join(boards, ", ")
	if s.Transpose != 0 {
		text += fmt.Sprintf("; transposed by %s semitones", signed(s.Transpose))
	}
	return text
}

// runsOf is keys in the order they were named, five or more that follow each
// other as a range.
func runsOf(held []console.Held) string {
	const run = 5
	var texts []string
	for len(held) > 0 {
		n := 1
		for n < len(held) && held[n].Note == held[n-1].Note+1 && held[n].Deep == held[0].Deep {
			n++
		}
		if n < run {
			n = 1
		}
		text := held[0].Note.String()
		if n > 1 {
			text += ".." + held[n-1].Note.String()
		}
		if held[0].Deep {
			text += " (second touch)"
		}
		texts, held = append(texts, text), held[n:]
	}
	return strings.Join(texts, " ")
}

// onText is what is on: what is drawn, then a line for each stage of the crescendo
// and for the tutti, with what they add to that, or drop of it.
func onText(in *console.Instrument, s console.State) string {
	var drawn, by []string
	moved := map[string][]string{}
	for c, on := range in.On(s) {
		id, knob := in.Controls[c].ID, c < len(s.Drawn) && s.Drawn[c]
		var mover string
		switch {
		case on && knob:
			drawn = append(drawn, id)
			continue
		case on:
			mover = blindly(in, s, c, func(b console.Blind) []int { return b.Adds }) + " adds "
		case knob:
			mover = blindly(in, s, c, func(b console.Blind) []int { return b.Drops }) + " drops "
		default:
			continue
		}
		if moved[mover] == nil {
			by = append(by, mover)
		}
		moved[mover] = append(moved[mover], id)
	}
	slices.Sort(by)
	var lines []string
	if len(drawn) > 0 {
		lines = append(lines, strings.Join(drawn, ", "))
	}
	for _, mover := range by {
		lines = append(lines, mover+strings.Join(moved[mover], ", "))
	}
	if lines == nil {
		return "nothing"
	}
	return strings.Join(lines, "\n      ")
}

// blindly is what moves a control without its knob: the stage of the crescendo that
// does so first, or the tutti.
func blindly(in *console.Instrument, s console.State, control int, moves func(console.Blind) []int) string {
	if s.Sequence < len(in.Crescendo) {
		stages := in.Crescendo[s.Sequence].Stages
		for i, stage := range stages[:min(s.Stage, len(stages))] {
			if slices.Contains(moves(stage.Blind), control) {
				return fmt.Sprintf("stage %*d of the crescendo", len(fmt.Sprint(s.Stage)), i+1)
			}
		}
	}
	return "the tutti"
}

func writeValve(b *strings.Builder, v openValve) {
	fmt.Fprintf(b, "  valve %-3d %-4v %-20s", v.Number, console.Note(v.Note), pitchText(v))
	if v.Paths == 1 {
		fmt.Fprintf(b, "  %s\n", v.Because[0])
		return
	}
	fmt.Fprintf(b, "  %d paths\n", v.Paths)
	shown := v.Because[:min(shownPaths, len(v.Because))]
	for _, w := range shown {
		fmt.Fprintf(b, "      %s\n", w)
	}
	if more := v.Paths - len(shown); more > 0 {
		fmt.Fprintf(b, "      and %d more\n", more)
	}
}

// pitchText is the pitch of every pipe on a valve: 261.63 Hz.
func pitchText(v openValve) string {
	pitches := make([]string, len(v.Hz))
	for i, hz := range v.Hz {
		pitches[i] = fmt.Sprintf("%.2f", hz)
	}
	text := strings.Join(pitches, " ") + " Hz"
	if !v.Wind {
		text += ", no wind"
	}
	return text
}

// String is the path as it runs: great C4, choir-to-great-4, choir-flute-8.
func (w way) String() string {
	steps := append([]string{w.Keyboard + " " + console.Note(w.Key).String()}, w.Couplers...)
	return strings.Join(append(steps, w.Stop), ", ")
}

// soundSum is one line: how many pipes, and what becomes of the rest.
func soundSum(in *console.Instrument, s console.State, a soundAnswer) string {
	if len(a.Valves) == 0 {
		return "nothing sounds: " + lacking(in, s)
	}
	paths, shared, mute := 0, 0, 0
	struck := map[string]int{}
	for _, v := range a.Valves {
		paths += v.Paths
		if v.Paths > 1 {
			shared++
		}
		switch {
		case !v.Wind:
			mute += max(1, v.Pipes)
		case v.Pipes == 0:
			struck[v.Rank]++
		}
	}
	parts := []string{fmt.Sprintf("%s, %s", count(paths, "path"), count(a.Pipes, "pipe"))}
	for _, rank := range in.Ranks {
		if n := struck[rank.ID]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d of %s", n, rank.ID))
		}
	}
	if mute > 0 {
		parts = append(parts, fmt.Sprintf("%d without wind", mute))
	}
	sum := strings.Join(parts, ", ")
	switch {
	case shared == 1:
		sum += "; 1 valve is wanted more than once and opens once"
	case shared > 1:
		sum += fmt.Sprintf("; %d valves are wanted more than once and open once each", shared)
	}
	if a.Cut {
		sum = "at least " + sum + "; couplers run in circles, and not all paths were counted"
	}
	return sum
}

// lacking is why nothing sounds.
func lacking(in *console.Instrument, s console.State) string {
	switch {
	case len(s.Held) == 0:
		return "no key is held"
	case !slices.Contains(in.On(s), true):
		return "nothing is drawn"
	}
	return "no stop that is on hears these keys"
}
