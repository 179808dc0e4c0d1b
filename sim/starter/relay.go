package starter

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"trundle/console"
	"trundle/sim/wiring"
)

// Names of the files of a relay.
const (
	RelayFile     = "relay.yaml"
	WiringFile    = "wiring.csv"
	SwitchingFile = "switching.csv"
)

// File is a file to write.
type File struct {
	Name string
	Data []byte
}

// Relay is a relay that plays an instrument, as files that name the instrument
// file by its path. Every keyboard, every division's knobs, every chest and
// every rank on a unit chest has boards of its own, a cable goes to each, and
// the switching is the one that follows from the wiring.
func Relay(in *console.Instrument, instrument string) []File {
	relay := &wiring.Relay{Derived: true}
	sections := sections(in)
	var text bytes.Buffer
	counts := map[string]int{}
	rows := make([][]wiring.Row, len(sections)) // by section
	for i, s := range sections {
		fmt.Fprintf(&text, "  # %s\n", s.about)
		for pins := range chunks(s.items) {
			counts[s.letter]++
			board := wiring.Board{ID: fmt.Sprint(s.letter, counts[s.letter]), Direction: s.direction, Pins: boardSize(len(pins))}
			rows[i] = append(rows[i], hang(in, len(relay.Boards), board, pins)...)
			relay.Boards = append(relay.Boards, board)
			fmt.Fprintf(&text, "  %s: {kind: %s, pins: %d}\n", board.ID, board.Direction, board.Pins)
		}
		relay.Plan = append(relay.Plan, rows[i]...)
	}
	return []File{
		{RelayFile, relayText(in, instrument, relay, text.String())},
		{WiringFile, wiringText(in, relay, sections, rows)},
		{SwitchingFile, table(func(w io.Writer) error { return wiring.WriteSwitching(w, relay, wiring.Derive(relay, in)) })},
	}
}

// boardMost is how many pins a board has at most, boardStep what its pins are a
// multiple of. Both are a starter's guess: the boards one has decide.
const (
	boardMost = 96
	boardStep = 16
)

func boardSize(pins int) int { return (pins + boardStep - 1) / boardStep * boardStep }

// chunks are as many items as fit on one board each.
func chunks(items []wiring.Item) func(yield func([]wiring.Item) bool) {
	return func(yield func([]wiring.Item) bool) {
		for len(items) > 0 {
			n := min(len(items), boardMost)
			if !yield(items[:n]) {
				return
			}
			items = items[n:]
		}
	}
}

// hang hangs items on the pins of a board from 1 up, a row for every run of
// one thing, and lists the pins that are left as spare.
func hang(in *console.Instrument, on int, board wiring.Board, items []wiring.Item) []wiring.Row {
	var rows []wiring.Row
	for i, item := range items {
		terminal := wiring.Terminal{On: on, Pin: i + 1}
		before := item
		before.Note--
		if i > 0 && items[i-1] == before {
			last := &rows[len(rows)-1]
			last.Pins, last.Items, last.Wires = append(last.Pins, terminal), append(last.Items, item), append(last.Wires, i+1)
			continue
		}
		kind, name, _ := item.Words(in)
		rows = append(rows, wiring.Row{Pins: []wiring.Terminal{terminal}, Kind: kind, Item: name,
			Items: []wiring.Item{item}, Cable: "C" + board.ID, Wires: []int{i + 1}})
	}
	if len(items) < board.Pins {
		spare := wiring.Row{Kind: wiring.SpareKind}
		for pin := len(items) + 1; pin <= board.Pins; pin++ {
			spare.Pins = append(spare.Pins, wiring.Terminal{On: on, Pin: pin})
		}
		rows = append(rows, spare)
	}
	return rows
}

func relayText(in *console.Instrument, instrument string, relay *wiring.Relay, boards string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `# A relay for %s. It plays the instrument as it stands; change boards, pins
# and cables into those you have, and ask after every step:
#   trundle check %s --relay %s
#   trundle explain relay                            every field there is
format: 1
instrument: %q

boards:
%s
cables:
`, comment(in.Name), comment(instrument), RelayFile, instrument, boards)
	for _, board := range relay.Boards {
		fmt.Fprintf(&b, "  C%s: {wires: %d}\n", board.ID, board.Pins)
	}
	fmt.Fprintf(&b, `
wiring: [%s]          # what hangs on which pin, as planned
switching: [%s]    # what the relay does; without this line it follows from the wiring
# wired: [wired.csv]          # what was soldered, where that is not the plan
`, WiringFile, SwitchingFile)
	return b.Bytes()
}

// comment is a name as it may stand in a comment.
func comment(name string) string {
	if name == "" {
		return "the instrument"
	}
	return strings.Join(strings.Fields(name), " ")
}

func wiringText(in *console.Instrument, relay *wiring.Relay, sections []section, rows [][]wiring.Row) []byte {
	var b bytes.Buffer
	for i, s := range sections {
		part := table(func(w io.Writer) error { return wiring.WriteWiring(w, relay, in, rows[i]) })
		header, body, _ := bytes.Cut(part, []byte("\n"))
		if i == 0 {
			fmt.Fprintf(&b, "%s\n", header)
		}
		fmt.Fprintf(&b, "# %s\n%s", s.about, body)
	}
	return b.Bytes()
}

// table is what a function writes.
func table(write func(io.Writer) error) []byte {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}
