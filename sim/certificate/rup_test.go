package certificate_test

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// A proof in the DRUP form is a list of clauses. Each must follow by reverse
// unit propagation (Goldberg and Novikov 2003): suppose all its literals false,
// then what single literals force ends in a contradiction. `d` takes a clause
// away. The last step is the empty clause.

// checker holds the clauses that stand, each under the two literals it watches.
type checker struct {
	watched map[int][]*clause
	byText  map[string][]*clause
	units   []int
}

type clause struct {
	of      []int
	deleted bool
}

// checkProof reads a formula and a proof that it is unsatisfiable, and says
// how many steps it checked, or which of them does not follow.
func checkProof(formula, proof io.Reader) (steps int, err error) {
	c := &checker{watched: map[int][]*clause{}, byText: map[string][]*clause{}}
	for of := range clausesIn(formula) {
		c.add(of.literals)
	}
	for step := range clausesIn(proof) {
		if step.deletes {
			c.remove(step.literals)
			continue
		}
		steps++
		if !c.follows(step.literals) {
			return steps, fmt.Errorf("step %d does not follow: %v", steps, step.literals)
		}
		if len(step.literals) == 0 {
			return steps, nil
		}
		c.add(step.literals)
	}
	return steps, fmt.Errorf("the proof ends after %d steps without a contradiction", steps)
}

type line struct {
	literals []int
	deletes  bool
}

// clausesIn yields the clauses of a text, a line each.
func clausesIn(text io.Reader) func(yield func(line) bool) {
	return func(yield func(line) bool) {
		scanner := bufio.NewScanner(text)
		scanner.Buffer(nil, 1<<24)
		for scanner.Scan() {
			words := strings.Fields(scanner.Text())
			if len(words) == 0 || words[0] == "c" || words[0] == "p" {
				continue
			}
			var l line
			if l.deletes = words[0] == "d"; l.deletes {
				words = words[1:]
			}
			for _, word := range words[:len(words)-1] {
				n, err := strconv.Atoi(word)
				if err != nil {
					panic(err)
				}
				l.literals = append(l.literals, n)
			}
			if !yield(l) {
				return
			}
		}
	}
}

func text(of []int) string {
	sorted := slices.Sorted(slices.Values(of))
	return fmt.Sprint(slices.Compact(sorted))
}

func (c *checker) add(of []int) {
	set := slices.Compact(slices.Sorted(slices.Values(of)))
	added := &clause{of: set}
	c.byText[text(of)] = append(c.byText[text(of)], added)
	switch len(set) {
	case 0:
	case 1:
		c.units = append(c.units, set[0]) // kept for ever: a unit taken away would only make fewer steps follow
	default:
		c.watched[set[0]] = append(c.watched[set[0]], added)
		c.watched[set[1]] = append(c.watched[set[1]], added)
	}
}

func (c *checker) remove(of []int) {
	key := text(of)
	if same := c.byText[key]; len(same) > 0 {
		same[len(same)-1].deleted = true
		c.byText[key] = same[:len(same)-1]
	}
}

// follows reports whether a clause follows by unit propagation.
func (c *checker) follows(of []int) bool {
	if len(c.byText[text(nil)]) > 0 {
		return true
	}
	is := map[int]bool{} // literals that are true
	var queue []int
	force := func(l int) (contradiction bool) {
		if is[-l] {
			return true
		}
		if !is[l] {
			is[l] = true
			queue = append(queue, l)
		}
		return false
	}
	for _, l := range of {
		if force(-l) {
			return true
		}
	}
	for _, l := range c.units {
		if force(l) {
			return true
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		if c.propagate(-queue[0], is, force) {
			return true
		}
	}
	return false
}

// propagate visits the clauses that watch a literal which became false.
func (c *checker) propagate(gone int, is map[int]bool, force func(int) bool) (contradiction bool) {
	list := c.watched[gone]
	kept := list[:0]
	defer func() { c.watched[gone] = kept }()
	for i, cl := range list {
		if cl.deleted {
			continue
		}
		if cl.of[0] == gone {
			cl.of[0], cl.of[1] = cl.of[1], cl.of[0]
		}
		free := 1 + slices.IndexFunc(cl.of[2:], func(l int) bool { return !is[-l] })
		if !is[cl.of[0]] && free > 0 {
			cl.of[1], cl.of[1+free] = cl.of[1+free], cl.of[1]
			c.watched[cl.of[1]] = append(c.watched[cl.of[1]], cl)
			continue
		}
		kept = append(kept, cl)
		if force(cl.of[0]) {
			kept = append(kept, list[i+1:]...)
			return true
		}
	}
	return false
}
