package mapping

import (
	"fmt"
	"slices"
	"strings"

	"trundle/console"
)

// footController and generalPurpose are controllers that MIDI 1.0 table III
// gives such names.
const (
	footController = 4
	generalPurpose = 16
)

// Section is the default map of an instrument, as its file would write it
// under `midi`, indented by two blanks. It follows from the MIDI 1.0 text
// alone: keys are notes under their own numbers, a channel a keyboard from 1
// up; second contacts on the channels behind; shoes are foot controllers, a
// channel each from 1 up; controls are notes from 0 on channel 16 and downwards,
// 128 a channel, and buttons likewise on the channels below them. What has no
// channel left has no message. A relay reports its valves (Reports).
func Section(in *console.Instrument) string {
	var b strings.Builder
	low, high := keyboards(&b, in), 16
	run := func(heading string, ids []string) {
		for first := 0; first < len(ids); first += 128 {
			if high < low {
				return
			}
			if first == 0 {
				fmt.Fprintf(&b, "  %s:\n", heading)
			}
			last := min(first+128, len(ids)) - 1
			fmt.Fprintf(&b, "    %s..%s: notes from 0 on channel %d\n", ids[first], ids[last], high)
			high--
		}
	}
	b.WriteString(Reports(in))
	for s, shoe := range in.Shoes {
		if s == 0 {
			b.WriteString("  shoes:\n")
		}
		if s < 16 {
			fmt.Fprintf(&b, "    %s: controller %d on channel %d\n", shoe.ID, footController, s+1)
		}
	}
	if len(in.Crescendo) > 0 && !slices.ContainsFunc(in.Shoes, func(s console.Shoe) bool { return s.Crescendo }) {
		fmt.Fprintf(&b, "  crescendo: controller %d on channel 16\n", generalPurpose)
	}
	run("controls", controlsOf(in).ids)
	run("buttons", buttonsOf(in).ids)
	return b.String()
}

// Reports is the heading by which a relay reports all its valves: non-registered
// parameters from 0 up, one rank behind the other, the last of them on channel 16.
// Such are no notes of a keyboard, and a channel has 16,384. "" where there are too
// many valves, or a rank has the name that stands for all.
func Reports(in *console.Instrument) string {
	channels := (in.Valves + mostNRPN) / (mostNRPN + 1)
	if channels < 1 || channels > 16 || hasRank(in, allRanks) {
		return ""
	}
	return fmt.Sprintf("  valves: {%s: nrpns from 0 on channel %d}\n", allRanks, 17-channels)
}

// keyboards writes the channels of keyboards, and returns the first one left.
func keyboards(b *strings.Builder, in *console.Instrument) int {
	b.WriteString("  keys:\n")
	most := min(len(in.Keyboards), 16)
	next := most + 1
	for k, keyboard := range in.Keyboards[:most] {
		if keyboard.Touches > 1 && next <= 16 {
			fmt.Fprintf(b, "    %s: {channel: %d, second: %d}\n", keyboard.ID, k+1, next)
			next++
			continue
		}
		fmt.Fprintf(b, "    %s: channel %d\n", keyboard.ID, k+1)
	}
	return next
}
