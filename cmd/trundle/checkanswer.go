package main

import (
	"trundle/console/finding"
	"trundle/sim/cause"
)

// checkAnswer is what a check says, in the shape of schema trundle.check/1.
type checkAnswer struct {
	Schema      string             `json:"schema"`
	Caution     string             `json:"caution,omitempty"` // where the relay says something of electricity
	Findings    []foundAnswer      `json:"findings"`
	Proof       *proofAnswer       `json:"proof,omitempty"` // nil without a relay
	Causes      []causeAnswer      `json:"causes"`          // of what the proof found to differ
	Counts      countsAnswer       `json:"counts"`
	Waived      []waivedAnswer     `json:"waived"`                // findings that do not count
	Mended      *mendAnswer        `json:"mended,omitempty"`      // nil without --mend
	Certificate *certificateAnswer `json:"certificate,omitempty"` // nil without --certificate
}

type foundAnswer struct {
	Rule     string           `json:"rule"`
	Severity finding.Severity `json:"severity"`
	placeAnswer
	Message string          `json:"message"`
	Fix     string          `json:"fix"`
	Related []relatedAnswer `json:"related"`
}

// waivedAnswer is a finding that was set aside, why, and where that stands.
type waivedAnswer struct {
	foundAnswer
	Reason string      `json:"reason"`
	By     placeAnswer `json:"by"`
}

type placeAnswer struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

type relatedAnswer struct {
	placeAnswer
	Message string `json:"message"`
}

// causeAnswer is one thing to mend, and the rows that mend it.
type causeAnswer struct {
	Rule string `json:"rule"`
	placeAnswer
	Message string       `json:"message"`
	Fix     string       `json:"fix"`
	Certain bool         `json:"certain"` // true: no cause is told whose cure is not proven
	Pins    []string     `json:"pins"`
	Valves  []string     `json:"valves"` // wrong because of it, by runs
	Cure    []editAnswer `json:"cure"`
	Or      []orAnswer   `json:"or"`
}

// orAnswer is what accounts for the same as well.
type orAnswer struct {
	placeAnswer
	Message string       `json:"message"`
	Fix     string       `json:"fix"`
	Cure    []editAnswer `json:"cure"`
}

// editAnswer replaces a row by others; line 0 adds them to the file.
type editAnswer struct {
	placeAnswer
	Old string   `json:"old"`
	New []string `json:"new"`
}

type countsAnswer struct {
	Error   int `json:"error"`
	Warning int `json:"warning"`
	Note    int `json:"note"`
}

// proofAnswer is the verdict on a relay: equal, different, not-decided or
// not-run.
type proofAnswer struct {
	Verdict        string            `json:"verdict"`
	Equal          bool              `json:"equal"`
	Reason         string            `json:"reason"`
	Outputs        int               `json:"outputs"`
	Differing      int               `json:"differing"`
	Outside        map[string]int    `json:"outside"` // pins the proof says nothing about, by kind
	Files          map[string]string `json:"files"`   // digests by name
	Counterexample *counterexample   `json:"counterexample"`
	Unshown        int               `json:"unshown,omitempty"` // errors and warnings on other boards than those
	Boards         []string          `json:"boards"`            // that count; empty for all
	LeftOut        int               `json:"leftOut"`           // valves not compared, for nothing of theirs hangs on those
}

// counterexample is the smallest state in which a valve differs; Play and
// Draw are what the flags of those names take.
type counterexample struct {
	Play    []string `json:"play"`
	Draw    []string `json:"draw"`
	Missing []string `json:"missing"` // valves that should open and do not
	Extra   []string `json:"extra"`   // valves that open and should not
	Pins    []string `json:"pins"`    // that show it
	Command string   `json:"command"` // shows it

	FaultPins []string      `json:"faultPins"` // on which the mistakes lie that make it
	FaultRows []placeAnswer `json:"faultRows"` // to be mended
}

// foundAnswers is findings in the shape of the answer.
func foundAnswers(list []finding.Finding) []foundAnswer {
	answers := make([]foundAnswer, 0, len(list))
	for _, f := range list {
		related := make([]relatedAnswer, 0, len(f.Related))
		for _, r := range f.Related {
			related = append(related, relatedAnswer{placeAnswer(r.Place), r.Message})
		}
		answers = append(answers, foundAnswer{f.Rule, f.Severity, placeAnswer(f.Place), f.Message, f.Fix, related})
	}
	return answers
}

func countFindings(list []finding.Finding) countsAnswer {
	return countsAnswer{
		Error:   finding.Count(list, finding.Error),
		Warning: finding.Count(list, finding.Warning),
		Note:    finding.Count(list, finding.Note),
	}
}

// causeAnswers is the causes of a difference in the shape of the answer.
func (c *checked) causeAnswers() []causeAnswer {
	answers := make([]causeAnswer, 0, len(c.causes.Causes))
	for _, cause := range c.causes.Causes {
		a := causeAnswer{
			Rule: cause.Rule, placeAnswer: placeAnswer(cause.At), Message: cause.Message, Fix: cause.Fix, Certain: true,
			Pins: []string{}, Valves: valveRuns(c.in, cause.Valves), Cure: editAnswers(cause.Cure), Or: []orAnswer{},
		}
		for _, t := range cause.Pins {
			a.Pins = append(a.Pins, c.relay.Name(t))
		}
		for _, or := range cause.Or {
			a.Or = append(a.Or, orAnswer{placeAnswer(or.At), or.Message, or.Fix, editAnswers(or.Cure)})
		}
		answers = append(answers, a)
	}
	return answers
}

func editAnswers(cure []cause.Edit) []editAnswer {
	answers := []editAnswer{}
	for _, e := range cure {
		answers = append(answers, editAnswer{placeAnswer(e.At), e.Old, append([]string{}, e.New...)})
	}
	return answers
}
