package main

import "trundle/console/finding"

// checkAnswer is what a check says, in the shape of schema trundle.check/1.
type checkAnswer struct {
	Schema   string        `json:"schema"`
	Findings []foundAnswer `json:"findings"`
	Proof    *proofAnswer  `json:"proof,omitempty"` // nil without a relay
	Counts   countsAnswer  `json:"counts"`
	Mended   *mendAnswer   `json:"mended,omitempty"` // nil without --mend
}

type foundAnswer struct {
	Rule     string           `json:"rule"`
	Severity finding.Severity `json:"severity"`
	placeAnswer
	Message string          `json:"message"`
	Fix     string          `json:"fix"`
	Related []relatedAnswer `json:"related"`
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
}

// counterexample is the smallest state in which a valve differs; Play and
// Draw are what the flags of those names take.
type counterexample struct {
	Play    []string `json:"play"`
	Draw    []string `json:"draw"`
	Missing []string `json:"missing"` // valves that should open and do not
	Extra   []string `json:"extra"`   // valves that open and should not
	Pins    []string `json:"pins"`
	Command string   `json:"command"` // shows it
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
