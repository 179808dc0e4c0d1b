package certificate

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"trundle/console"
)

// Names of the files beside the formulas.
const (
	IndexFile      = "index.json"
	ReadmeFile     = "README"
	AssignmentFile = "counterexample.txt"
)

//go:embed readme.txt
var readme string

// Claim is what the certificate is to confirm.
type Claim struct {
	Verdict        string            // of the proof
	Files          map[string]string // digests of what was compared, by name
	Counterexample *console.State    // nil unless the verdict is that they differ
}

// Index ties the variables of the formulas to the organ. Names are those of
// the project's other answers: great:C4 is a key, great:C4:2 its second
// contact, bourdon:26 a valve, X3.14 a pin. A negative number is a variable
// turned over.
type Index struct {
	Schema         string            `json:"schema"`
	Instrument     string            `json:"instrument"`
	Verdict        string            `json:"verdict"`
	Files          map[string]string `json:"files"`
	True           lit               `json:"true"`
	Inputs         []Input           `json:"inputs"` // of every formula
	Pins           []Pin             `json:"pins"`   // that are an input
	Formulas       []Formula         `json:"formulas"`
	Counterexample *Counterexample   `json:"counterexample"`
}

// Input is a variable that is free: a control that is on, or a key whose
// contact is made.
type Input struct {
	Variable lit    `json:"variable"`
	Control  string `json:"control,omitempty"`
	Key      string `json:"key,omitempty"`
}

// Formula is one file and the outputs that it compares.
type Formula struct {
	File      string   `json:"file"`
	Digest    string   `json:"digest"`
	Variables int      `json:"variables"`
	Clauses   int      `json:"clauses"`
	Outputs   []Output `json:"outputs"`
	Pins      []Pin    `json:"pins"`
}

// Output is a valve: what should open it, what does, and whether these differ.
type Output struct {
	Valve   string `json:"valve"`
	Wanted  lit    `json:"wanted"`
	Opened  lit    `json:"opened"`
	Differs lit    `json:"differs"`
}

// Pin is a pin of a board: on while its literal is.
type Pin struct {
	Pin string `json:"pin"`
	On  lit    `json:"on"`
}

// Counterexample names the formula that an assignment satisfies.
type Counterexample struct {
	File       string `json:"file"`
	Assignment string `json:"assignment"`
}

// Write writes the certificate into a directory, which must be new or empty.
func (c *Certificate) Write(dir string, claim Claim) (*Index, error) {
	if err := emptyDir(dir); err != nil {
		return nil, err
	}
	index := &Index{
		Schema: "trundle.certificate/1", Instrument: c.in.Name, Verdict: claim.Verdict, Files: claim.Files,
		True: yes, Inputs: c.inputs.named(c.in), Pins: c.pinsOf(nil), Formulas: []Formula{},
	}
	differs := map[int]bool{}
	if claim.Counterexample != nil {
		for _, v := range c.Differing(*claim.Counterexample) {
			differs[v] = true
		}
		if len(differs) == 0 {
			return nil, errors.New("the certificate does not confirm the counterexample of the proof; please report this")
		}
	}
	names := c.valveNames()
	for i, valves := range c.groups() {
		d := c.formula(valves)
		f := Formula{File: fmt.Sprintf("%03d.cnf", i+1), Variables: d.variables, Clauses: d.clauses, Pins: c.pinsOf(d)}
		satisfied := false
		for i, v := range valves {
			f.Outputs = append(f.Outputs, Output{names[v], d.wanted[i], d.opened[i], d.differs[i]})
			satisfied = satisfied || differs[v]
		}
		text := fmt.Appendf(nil, "c %s: do %d outputs of the relay differ from the instrument's? see %s\np cnf %d %d\n", f.File, len(valves), IndexFile, d.variables, d.clauses)
		text = append(text, d.text.Bytes()...)
		sum := sha256.Sum256(text)
		f.Digest = "sha256:" + hex.EncodeToString(sum[:])
		if err := os.WriteFile(filepath.Join(dir, f.File), text, 0o644); err != nil {
			return nil, err
		}
		if satisfied && index.Counterexample == nil {
			index.Counterexample = &Counterexample{f.File, AssignmentFile}
			if err := os.WriteFile(filepath.Join(dir, AssignmentFile), solution(d.assignment(c, *claim.Counterexample)), 0o644); err != nil {
				return nil, err
			}
		}
		index.Formulas = append(index.Formulas, f)
	}
	text, err := json.MarshalIndent(index, "", " ")
	if err != nil {
		return nil, err
	}
	return index, errors.Join(
		os.WriteFile(filepath.Join(dir, IndexFile), append(text, '\n'), 0o644),
		os.WriteFile(filepath.Join(dir, ReadmeFile), []byte(readme), 0o644))
}

func emptyDir(dir string) error {
	list, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return os.MkdirAll(dir, 0o755)
	case err == nil && len(list) > 0:
		return fmt.Errorf("%s: is not empty; name a new directory for the certificate", dir)
	}
	return err
}

// solution is an assignment as solvers print one.
func solution(assignment []lit) []byte {
	text := []byte("s SATISFIABLE\n")
	for some := range slices.Chunk(assignment, 16) {
		text = append(text, 'v')
		for _, l := range some {
			text = append(text, ' ')
			text = strconv.AppendInt(text, int64(l), 10)
		}
		text = append(text, '\n')
	}
	return append(text, "v 0\n"...)
}

// pinsOf are the pins whose gates stand in a formula; without one, those that
// are an input.
func (c *Certificate) pinsOf(d *dimacs) []Pin {
	pins := []Pin{}
	for _, p := range c.pins {
		gate := max(p.on, -p.on)
		if free := c.circuit.gate(gate) == nil; free && d == nil {
			pins = append(pins, Pin{p.name, p.on})
		} else if d != nil && d.number[gate] != 0 {
			pins = append(pins, Pin{p.name, d.number[gate] * (p.on / gate)})
		}
	}
	return pins
}

func (c *Certificate) valveNames() []string {
	names := make([]string, c.in.Valves)
	for _, rank := range c.in.Ranks {
		for v := 1; v <= rank.Pipes; v++ {
			names[rank.Valve(v)] = fmt.Sprintf("%s:%d", rank.ID, v)
		}
	}
	return names
}

// named lists the inputs in the order of their variables.
func (i inputs) named(in *console.Instrument) []Input {
	var list []Input
	for c, l := range i.controls {
		list = append(list, Input{Variable: l, Control: in.Controls[c].ID})
	}
	for k, keyboard := range in.Keyboards {
		for _, n := range i.first[k].each() {
			list = append(list, Input{Variable: i.first[k][n], Key: keyboard.ID + ":" + n.String()})
		}
		for _, n := range i.second[k].each() {
			list = append(list, Input{Variable: i.second[k][n], Key: keyboard.ID + ":" + n.String() + ":2"})
		}
	}
	return list
}
