package main

import (
	"fmt"
	"io"

	"trundle/sim/certificate"
)

// certificateAnswer says where formulas were written that ask the question of
// the proof, or why there are none.
type certificateAnswer struct {
	Directory string `json:"directory"`
	Formulas  int    `json:"formulas"`
	Reason    string `json:"reason"`
}

// certify writes the certificate of what was compared into a new directory.
func (c *checked) certify(dir string) error {
	if c.relay == nil {
		c.certificate = &certificateAnswer{Reason: "nothing was compared"}
		return nil
	}
	made, err := certificate.New(c.in, c.relay)
	if err != nil {
		c.certificate = &certificateAnswer{Reason: err.Error()}
		return nil
	}
	claim := certificate.Claim{Verdict: string(c.proof.Verdict), Files: c.digests()}
	if c.proof.Counterexample != nil {
		claim.Counterexample = &c.proof.Counterexample.State
	}
	index, err := made.Write(dir, claim)
	if err != nil {
		return fmt.Errorf("no certificate: %w", err)
	}
	c.certificate = &certificateAnswer{Directory: dir, Formulas: len(index.Formulas)}
	return nil
}

func (a *certificateAnswer) text(w io.Writer) {
	if a.Reason != "" {
		fmt.Fprintf(w, "certificate: none, %s\n", a.Reason)
		return
	}
	fmt.Fprintf(w, "certificate: %s in %s, which any SAT solver can answer; its README says how\n", count(a.Formulas, "formula"), a.Directory)
}
