package wiring

import (
	"fmt"

	"trundle/console"
	"trundle/console/finding"
)

// Rule is a check of a relay that has a meaning: it says what in its files
// does not fit together. No rule changes what the relay does.
type Rule struct {
	ID  string
	Doc string // one line
	Run func(*Relay, *console.Instrument) []finding.Finding
}

// Rules are all the wiring rules.
var Rules = []Rule{
	{"other-instrument", "the relay was made for another instrument file", otherInstrument},
	{"pin-used-twice", "two things are wired to one pin", pinUsedTwice},
	{"pin-off-board", "a pin, terminal or wire that is not there", pinOffBoard},
	{"pin-unlisted", "no row says what a pin is for, not even spare", pinUnlisted},
	{"net-open", "a strip's terminal leads to no board, or nothing hangs on it", netOpen},
	{"item-wired-twice", "one thing is wired to two pins that are not one group", itemWiredTwice},
	{"item-not-wired", "something that the instrument needs is on no pin", itemNotWired},
	{"soldered-otherwise", "what decides no valve was soldered otherwise than planned", solderedOtherwise},
	{"item-not-there", "what a row hangs on its pins does not exist, or not on this side of the relay", itemNotThere},
	{"control-kind", "a row calls a control something else than it is", controlKind},
	{"ranges-differ", "ranges of one row have unequal lengths", rangesDiffer},
	{"wire-used-twice", "two rows use one wire of a cable", wireUsedTwice},
	{"colour-disagrees", "a wire's colour is not the one its cable's code gives it", colourDisagrees},
	{"code-ends", "a cable has more wires than its colour code has colours", codeEnds},
	{"label-not-read", "a switching row waits for a control or a line that nothing sets", labelNotRead},
	{"row-twice", "a switching row stands there twice", rowTwice},
	{"reads-output", "a switching row reads pins of an output board", readsOutput},
	{"drives-input", "a switching row drives pins of an input board", drivesInput},
	{"picks-own-outcome", "a row that picks a note depends on the note it picks", picksOwnOutcome},
}

// Check runs every rule on the relay.
func Check(r *Relay, in *console.Instrument) []finding.Finding {
	var findings []finding.Finding
	for _, rule := range Rules {
		for _, f := range rule.Run(r, in) {
			f.Rule = rule.ID
			findings = append(findings, f)
		}
	}
	return findings
}

func fault(p finding.Place, fix, format string, args ...any) finding.Finding {
	return finding.Finding{Severity: finding.Error, Place: p, Message: fmt.Sprintf(format, args...), Fix: fix}
}

func warning(p finding.Place, fix, format string, args ...any) finding.Finding {
	return finding.Finding{Severity: finding.Warning, Place: p, Message: fmt.Sprintf(format, args...), Fix: fix}
}

// lists are the lists of wiring rows: the plan, and what was soldered.
func (r *Relay) lists() [][]Row {
	if r.Wired == nil {
		return [][]Row{r.Plan}
	}
	return [][]Row{r.Plan, r.Wired}
}

// eachList runs a check on every list of wiring rows.
func (r *Relay) eachList(check func(rows []Row) []finding.Finding) []finding.Finding {
	var found []finding.Finding
	for _, rows := range r.lists() {
		found = append(found, check(rows)...)
	}
	return found
}

// run names terminals of one board or strip: X3.14, X3.20..31.
func (r *Relay) run(terminals []Terminal) string {
	return fmt.Sprintf("%s.%s", r.Board(terminals[0].On), FormatNumbers(pinsOf(terminals)))
}

func pinsOf(terminals []Terminal) []int {
	pins := make([]int, len(terminals))
	for i, t := range terminals {
		pins[i] = t.Pin
	}
	return pins
}

// itThem stands for so many things.
func itThem(count int) string {
	if count == 1 {
		return "it"
	}
	return "them"
}

// areIs puts a verb into the number of what it speaks of.
func areIs(count int) string {
	if count == 1 {
		return "is"
	}
	return "are"
}
