package main

import (
	"fmt"
	"strings"

	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// currentPower is what to expect behind one fuse when an organ has power for
// the first time.
type currentPower struct {
	Fuse   string             `json:"fuse"` // "" for the boards without one
	Boards []string           `json:"boards"`
	Supply string             `json:"supply"`
	Volts  rounded            `json:"volts"` // without load
	Steps  []currentPowerStep `json:"steps"`
}

// currentPowerStep is what the fuse shows while one of the pins is on.
type currentPowerStep struct {
	Pins  []string `json:"pins"` // ranges of pins, a board each
	Item  string   `json:"item"` // on the first of them
	Cold  rounded  `json:"cold"` // amps
	Hot   rounded  `json:"hot"`
	Volts rounded  `json:"volts"` // at its coil, cold
}

func answerPower(c *circuit.Circuit, r *wiring.Relay, s *circuit.Reporter) []currentPower {
	list := []currentPower{}
	for _, up := range c.PowerUps() {
		p := currentPower{Supply: c.Supplies[up.Supply].ID, Volts: rounded(up.Volts), Steps: []currentPowerStep{}}
		if up.Fuse != circuit.None {
			p.Fuse = c.Fuses[up.Fuse].ID
		}
		for _, board := range up.Boards {
			p.Boards = append(p.Boards, r.Boards[board].ID)
		}
		for _, step := range up.Steps {
			p.Steps = append(p.Steps, currentPowerStep{pinRanges(r, step.Pins), s.Name(step.Load), rounded(step.Cold), rounded(step.Hot), rounded(step.Volts)})
		}
		list = append(list, p)
	}
	return list
}

// pinRanges names pins like X3.1..61, in the order of their boards.
func pinRanges(r *wiring.Relay, pins []wiring.Terminal) []string {
	var ranges []string
	for first := 0; first < len(pins); {
		last := first + 1
		numbers := []int{pins[first].Pin}
		for last < len(pins) && pins[last].On == pins[first].On {
			numbers = append(numbers, pins[last].Pin)
			last++
		}
		ranges = append(ranges, r.Boards[pins[first].On].ID+"."+wiring.FormatNumbers(numbers))
		first = last
	}
	return ranges
}

func powerRows(power []currentPower) [][]string {
	rows := [][]string{{"fuse", "supply", "pins", "item", "cold", "hot", "volts"}}
	for _, p := range power {
		for _, step := range p.Steps {
			rows = append(rows, []string{p.Fuse, p.Supply, strings.Join(step.Pins, " "), step.Item, amps(step.Cold), amps(step.Hot), amps(step.Volts)})
		}
	}
	return rows
}

// powerText is what to expect at the first power-up, as text.
func (a *currentAnswer) powerText(b *strings.Builder, ink ink) {
	fmt.Fprintf(b, "%s\n\nall fuses out: each supply alone, without load\n", ink.bold(a.name+": the first power-up"))
	said := map[string]bool{}
	for _, p := range a.PowerUp {
		if !said[p.Supply] {
			said[p.Supply] = true
			fmt.Fprintf(b, "  supply %-16s %8.3f V\n", p.Supply, float64(p.Volts))
		}
	}
	b.WriteString("\nthen one fuse at a time. With nothing on it shows what the electronics take, and\nno amps of magnets; with one pin on:\n")
	for _, p := range a.PowerUp {
		name := "fuse " + p.Fuse
		if p.Fuse == "" {
			name = "without a fuse"
		}
		fmt.Fprintf(b, "\n%s: %s\n  %-24s %8s %8s %8s\n", name, strings.Join(p.Boards, ", "), "", "cold A", "hot A", "coil V")
		for _, step := range p.Steps {
			fmt.Fprintf(b, "  %-24s %8s %8s %8s  %s\n", strings.Join(step.Pins, " "), amps(step.Cold), amps(step.Hot), amps(step.Volts), step.Item)
		}
	}
}
