package main

import (
	"fmt"
	"strings"

	"trundle/console/finding"
	"trundle/sim/circuit"
)

// currentSizes are the sizes that carry what a player can do.
type currentSizes struct {
	Parts   []currentSized `json:"parts"`
	Copper  rounded        `json:"copper_kg"`
	AtLeast rounded        `json:"at_least_kg"` // no sizes that pass have less
	From    string         `json:"from"`        // where the sizes come from, and how sure that is
	Left    []foundAnswer  `json:"left"`        // what no size mends
}

type currentSized struct {
	Kind   string  `json:"kind"` // fuse, supply, feed, cable, return
	ID     string  `json:"id"`
	Now    string  `json:"now"`  // "" when the file does not say
	Size   string  `json:"size"` // "" when no size is large enough
	Amps   rounded `json:"amps"` // the most through it; of a cable, through one wire
	Copper rounded `json:"copper_kg"`
	Rule   string  `json:"rule"` // that one size smaller breaks; "" for the smallest there is
	Binds  string  `json:"binds"`
}

func answerSizes(sizes circuit.Sizes) *currentSizes {
	a := &currentSizes{Parts: []currentSized{}, Copper: rounded(sizes.Copper), AtLeast: rounded(sizes.Bound),
		From: circuit.SizesFrom(sizes.Circuit.Settings.Code), Left: currentFindings(sizes.Left)}
	for _, p := range sizes.Parts {
		a.Parts = append(a.Parts, currentSized{p.Kind, p.ID, p.Now, p.Size, rounded(p.Amps), rounded(p.Copper), p.Rule, p.Binds})
	}
	return a
}

// bad reports whether no size mends an error.
func (s *currentSizes) bad() bool { return anyError(s.Left) }

func sizeRows(s *currentSizes) [][]string {
	rows := [][]string{{"kind", "id", "now", "size", "amps", "copper-kg", "rule", "binds"}}
	for _, p := range s.Parts {
		rows = append(rows, []string{p.Kind, p.ID, p.Now, p.Size, amps(p.Amps), amps(p.Copper), p.Rule, p.Binds})
	}
	return rows
}

// sizeText is the sizes as text.
func (a *currentAnswer) sizeText(b *strings.Builder, ink ink) {
	s := a.Sizes
	fmt.Fprintf(b, "%s\n\n%-7s %-16s %-9s %-9s %8s %8s  %s\n", ink.bold(a.name+": sizes that pass"), "", "", "now", "takes", "A", "kg", "one size smaller")
	for _, p := range s.Parts {
		kilos, size, binds := "", p.Size, "there is none"
		if p.Copper > 0 {
			kilos = amps(p.Copper)
		}
		if size == "" {
			size = "none"
		}
		if p.Rule != "" {
			binds = p.Rule + ": " + p.Binds
		} else if p.Binds != "" {
			binds = p.Binds
		}
		fmt.Fprintf(b, "%-7s %-16s %-9s %-9s %8s %8s  %s\n", p.Kind, p.ID, dashed(p.Now), size, amps(p.Amps), kilos, binds)
	}
	fmt.Fprintf(b, "\ncopper: %.2f kg", float64(s.Copper))
	switch {
	case s.Copper == 0:
		b.WriteString("; wires are sized when they have a length")
	case s.AtLeast < s.Copper*(1-1e-6):
		fmt.Fprintf(b, "; no sizes that pass have less than %.2f kg", float64(s.AtLeast))
	default:
		b.WriteString("; no sizes that pass have less")
	}
	fmt.Fprintf(b, "\n%s\n", s.From)
	if len(s.Left) > 0 {
		b.WriteString("\nwhat no size mends:\n")
	}
	findingLines(b, s.Left)
}

func dashed(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// currentFindings are findings in the shape of the answer, sorted.
func currentFindings(found []finding.Finding) []foundAnswer {
	finding.Sort(found)
	return foundAnswers(found)
}

func anyError(found []foundAnswer) bool {
	for _, f := range found {
		if f.Severity == finding.Error {
			return true
		}
	}
	return false
}

func findingLines(b *strings.Builder, found []foundAnswer) {
	for _, f := range found {
		fmt.Fprintf(b, "%s: %s: %s [%s]\n", finding.Place(f.placeAnswer), f.Severity, complaint{f.Message, f.Fix}, f.Rule)
		for _, also := range f.Related {
			fmt.Fprintf(b, "    see %s: %s\n", finding.Place(also.placeAnswer), also.Message)
		}
	}
}
