package main

import (
	"fmt"
	"io"

	"trundle/sim/certificate"
)

// certificateAnswer says where formulas were written that ask the question of
// the proof.
type certificateAnswer struct {
	Directory string `json:"directory"`
	Formulas  int    `json:"formulas"`
}

// certify writes the certificate of what was compared into a new directory. A
// relay without meaning has none, as the proof has said.
func (c *checked) certify(dir string) error {
	if c.relay == nil {
		return nil
	}
	made, err := certificate.New(c.in, c.relay)
	if err != nil {
		return fmt.Errorf("no certificate: %w", err)
	}
	claim := certificate.Claim{Verdict: string(c.proof.Verdict), Files: c.digests()}
	if c.proof.Counterexample != nil {
		claim.Counterexample = &c.proof.Counterexample.State
	}
	index, err := made.Write(dir, claim)
	if err != nil {
		return fmt.Errorf("no certificate: %w", err)
	}
	c.certificate = &certificateAnswer{dir, len(index.Formulas)}
	return nil
}

func (a *certificateAnswer) text(w io.Writer) {
	fmt.Fprintf(w, "certificate: %s in %s, which any SAT solver can answer; its README says how\n", count(a.Formulas, "formula"), a.Directory)
}
