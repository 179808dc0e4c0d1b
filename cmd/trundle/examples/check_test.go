package examples_test

import (
	"cmp"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/cmd/trundle/examples"
	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/cause"
	"trundle/sim/proof"
	"trundle/sim/wiring"
)

func TestEveryRelayIsCheckedAsItsAnswersSay(t *testing.T) {
	files, err := fs.Glob(examples.FS, "*/answers.yaml")
	require.NoError(t, err)
	require.Len(t, files, 4)
	for _, file := range files {
		t.Run(path.Dir(file), func(t *testing.T) {
			answers, in, relay := readAnswers(t, file)
			_, findings := loadRelay(t, relay.File, in)
			findings = slices.Concat(findings, in.Check(), wiring.Check(relay, in))
			result := proof.Prove(in, relay)
			found := cause.Find(in, relay, result.Differing)
			require.ElementsMatch(t, answers.findings(path.Dir(file)), slices.Concat(said(findings), blamed(found)))
			require.Empty(t, found.Unexplained)
			require.Equal(t, answers.Verdict, string(result.Verdict))
			require.Equal(t, answers.Outputs, result.Outputs)
			require.Len(t, result.Differing, answers.Differing)
			requireSmallest(t, in, answers, result.Counterexample)
		})
	}
}

// findings are what a check says: severity rule file:line.
func (a answerFile) findings(folder string) []string {
	list := []string{}
	add := func(severity, rule, file string, line int) {
		list = append(list, fmt.Sprintf("%s %s %s:%d", severity, rule, path.Join(folder, file), line))
	}
	for _, m := range a.Mistakes {
		add(m.Severity, m.Rule, m.File, m.Line)
		for _, rule := range m.Also {
			add(m.Severity, rule, m.File, m.Line)
		}
	}
	for _, n := range a.Notes {
		add("note", n.Rule, n.File, n.Line)
	}
	return list
}

func said(findings []finding.Finding) []string {
	list := []string{}
	for _, f := range findings {
		list = append(list, fmt.Sprintf("%s %s %s:%d", f.Severity, f.Rule, f.File, f.Line))
	}
	return list
}

func blamed(found cause.Found) []string {
	list := []string{}
	for _, c := range found.Causes {
		list = append(list, fmt.Sprintf("%s %s %s:%d", finding.Error, c.Rule, c.At.File, c.At.Line))
	}
	return list
}

// requireSmallest holds that the proof's counterexample is that of the
// mistake whose smallest state has fewest keys and controls, then fewest
// controls, then comes first in the instrument.
func requireSmallest(t *testing.T, in *console.Instrument, answers answerFile, found *proof.Counterexample) {
	if answers.Differing == 0 {
		require.Nil(t, found)
		return
	}
	shown := slices.DeleteFunc(slices.Clone(answers.Mistakes), func(m mistake) bool { return len(m.Outputs) == 0 })
	smallest := slices.MinFunc(shown, func(a, b mistake) int {
		return cmp.Or(
			cmp.Compare(len(a.Play)+len(a.Draw), len(b.Play)+len(b.Draw)),
			cmp.Compare(len(a.Draw), len(b.Draw)),
			slices.Compare(controls(t, in, a), controls(t, in, b)))
	})
	require.Equal(t, stateOf(t, in, smallest.Play, smallest.Draw), found.State)
}

// controls are what a mistake's smallest state draws, in the instrument's order.
func controls(t *testing.T, in *console.Instrument, m mistake) []int {
	var list []int
	for c, drawn := range stateOf(t, in, m.Play, m.Draw).Drawn {
		if drawn {
			list = append(list, c)
		}
	}
	return list
}
