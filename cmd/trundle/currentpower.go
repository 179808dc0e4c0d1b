package main

import (
	"fmt"
	"strings"

	"trundle/sim/circuit"
	"trundle/sim/wiring"
)

// currentPowerUp is what to expect when an organ has power for the first time:
// the supplies without load, then each fuse.
type currentPowerUp struct {
	Supplies []currentSupply `json:"supplies"`
	Fuses    []currentPower  `json:"fuses"`
}

type currentSupply struct {
	ID    string  `json:"id"`
	Volts rounded `json:"volts"` // without load
	From  string  `json:"from"`  // the supply that feeds it, "" for the mains
}

// currentPower is what to expect behind one fuse.
type currentPower struct {
	Fuse   string             `json:"fuse"` // "" for the boards without one
	Boards []string           `json:"boards"`
	Supply string             `json:"supply"`
	Steps  []currentPowerStep `json:"steps"`
}

// currentPowerStep is what the fuse shows while one of the pins is on.
type currentPowerStep struct {
	Pins  []string `json:"pins"` // ranges of pins, a board each
	Item  string   `json:"item"` // on the first of them
	Cold  rounded  `json:"cold"` // amps
	Hot   rounded  `json:"hot"`
	Volts rounded  `json:"volts"`    // at its coil, cold
	Pulse rounded  `json:"pulse_ms"` // it is not made to be on for longer; 0 for as long as one likes
}

func answerPower(c *circuit.Circuit, r *wiring.Relay, s *circuit.Reporter) *currentPowerUp {
	a := &currentPowerUp{[]currentSupply{}, []currentPower{}}
	for _, supply := range c.Supplies {
		from := ""
		if supply.From != circuit.None {
			from = c.Supplies[supply.From].ID
		}
		a.Supplies = append(a.Supplies, currentSupply{supply.ID, rounded(supply.Idle), from})
	}
	for _, up := range c.PowerUps() {
		p := currentPower{Supply: c.Supplies[up.Supply].ID, Steps: []currentPowerStep{}}
		if up.Fuse != circuit.None {
			p.Fuse = c.Fuses[up.Fuse].ID
		}
		for _, board := range up.Boards {
			p.Boards = append(p.Boards, r.Boards[board].ID)
		}
		for _, step := range up.Steps {
			p.Steps = append(p.Steps, currentPowerStep{pinRanges(r, step.Pins), s.Name(step.Load), rounded(step.Cold), rounded(step.Hot), rounded(step.Volts), rounded(step.Pulse)})
		}
		a.Fuses = append(a.Fuses, p)
	}
	return a
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

func powerRows(a *currentPowerUp) [][]string {
	rows := [][]string{{"fuse", "supply", "pins", "item", "cold", "hot", "volts", "pulse-ms"}}
	for _, p := range a.Fuses {
		for _, step := range p.Steps {
			rows = append(rows, []string{p.Fuse, p.Supply, strings.Join(step.Pins, " "), step.Item, amps(step.Cold), amps(step.Hot), amps(step.Volts), amps(step.Pulse)})
		}
	}
	return rows
}

// powerText is what to expect at the first power-up, as text.
func (a *currentAnswer) powerText(b *strings.Builder, ink ink) {
	fmt.Fprintf(b, "%s\n\nall fuses out: each supply alone, without load\n", ink.bold(a.name+": the first power-up"))
	for _, supply := range a.PowerUp.Supplies {
		from := ""
		if supply.From != "" {
			from = "  from " + supply.From
		}
		fmt.Fprintf(b, "  supply %-16s %8.3f V%s\n", supply.ID, float64(supply.Volts), from)
	}
	b.WriteString(`
then one fuse at a time. With nothing on it shows what the electronics take, and
no amps of magnets. With one pin on it shows, where pins alike are one row that
names what hangs on the first (the volts are those at its coil, cold):
`)
	for _, p := range a.PowerUp.Fuses {
		name := "fuse " + p.Fuse
		if p.Fuse == "" {
			name = "without a fuse"
		}
		fmt.Fprintf(b, "\n%s: %s\n  %-24s %8s %8s %8s\n", name, strings.Join(p.Boards, ", "), "", "cold A", "hot A", "coil V")
		for _, step := range p.Steps {
			item := step.Item
			if step.Pulse > 0 {
				item += fmt.Sprintf(", for %.0f ms at most", float64(step.Pulse))
			}
			fmt.Fprintf(b, "  %-24s %8s %8s %8s  %s\n", strings.Join(step.Pins, " "), amps(step.Cold), amps(step.Hot), amps(step.Volts), item)
		}
	}
}
