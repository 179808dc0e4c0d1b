package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/cmd/trundle/examples"
	"trundle/console"
	"trundle/console/finding"
	"trundle/sim/cause"
	"trundle/sim/proof"
	"trundle/sim/starter"
)

// rightRelay is an instrument and a relay that is right, in a folder.
type rightRelay struct {
	organ, relay, wiring string // files; slips are made in the last
}

func rightRelays(t testing.TB) map[string]rightRelay {
	in := func(folder string) rightRelay {
		return rightRelay{filepath.Join(folder, "organ.yaml"), filepath.Join(folder, "relay.yaml"), filepath.Join(folder, "wiring.csv")}
	}
	fresh, demo := in(t.TempDir()), in(t.TempDir())
	require.NoError(t, os.WriteFile(fresh.organ, starter.Instrument, 0o600))
	organ, _ := console.Load(fresh.organ)
	for _, f := range starter.Relay(organ, "organ.yaml") {
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(fresh.organ), f.Name), f.Data, 0o600))
	}
	files, err := fs.Sub(examples.FS, "saltmarsh")
	require.NoError(t, err)
	require.NoError(t, os.CopyFS(filepath.Dir(demo.organ), files))
	return map[string]rightRelay{"new": fresh, "demo": demo}
}

func (r rightRelay) read(t testing.TB) []string {
	text, err := os.ReadFile(r.wiring)
	require.NoError(t, err)
	return strings.Split(strings.TrimRight(string(text), "\n"), "\n")
}

func (r rightRelay) check(t testing.TB, lines []string) *checked {
	require.NoError(t, os.WriteFile(r.wiring, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
	c, err := check(r.organ, r.relay)
	require.NoError(t, err)
	return c
}

// errorsOf are the findings that make an answer bad, or might.
func errorsOf(c *checked) []finding.Finding {
	return slices.DeleteFunc(slices.Clone(c.findings), func(f finding.Finding) bool { return f.Severity == finding.Note })
}

// misses says what a check of a slip lacks: "" when it names the row, says one
// thing, and what it says to write makes the relay right and leaves nothing to say.
func (r rightRelay) misses(t testing.TB, s slip) string {
	c := r.check(t, s.lines)
	list := errorsOf(c)
	if len(list) != 1 {
		return fmt.Sprintf("%d findings: %v", len(list), list)
	}
	f := list[0]
	here := func(at finding.Place) bool { return at.File == r.wiring && slices.Contains(s.rows, at.Line) }
	if finding.Broken(list) { // the file means nothing, so nothing can be proven of it
		if !here(f.Place) {
			return "another row is named: " + f.Place.String()
		}
		return ""
	}
	named, cure := here(f.Place), []cause.Edit(nil)
	if len(c.causes.Causes) == 0 { // the proof does not hear it
		if !named || f.Fix != "take the row out" {
			return fmt.Sprintf("not taken out: %+v", f)
		}
		cure = []cause.Edit{{At: f.Place, Old: s.lines[f.Line-1]}}
	} else if one := c.causes.Causes[0]; named {
		cure = one.Cure
	} else if i := slices.IndexFunc(one.Or, func(or cause.Reading) bool { return here(or.At) }); i >= 0 {
		cure = one.Or[i].Cure
	} else {
		return "another row is named: " + f.Place.String() + " " + f.Message
	}
	mended := slices.Clone(s.lines)
	for _, e := range cure {
		if e.At.File != r.wiring {
			return "another file is to be mended: " + e.At.File
		}
		if e.Old != "" {
			if mended[e.At.Line-1] != e.Old {
				return "the row to mend is not there: " + e.Old
			}
			mended[e.At.Line-1] = "#"
		}
		mended = append(mended, e.New...)
	}
	after := r.check(t, mended)
	if left := errorsOf(after); after.proof.Verdict != proof.Equal || len(left) > 0 {
		return fmt.Sprintf("mended as told (%s) it is %s: %v", f.Fix, after.proof.Verdict, left)
	}
	if is, was := rowsOf(mended), rowsOf(s.was); !slices.Equal(is, was) {
		return fmt.Sprintf("it is right and not what it was: %q", slices.DeleteFunc(is, func(row string) bool { return slices.Contains(was, row) }))
	}
	return ""
}

// rowsOf are the rows of a file in some order, without comments.
func rowsOf(lines []string) []string {
	rows := slices.DeleteFunc(slices.Clone(lines), func(line string) bool { return line == "" || line[0] == '#' })
	slices.Sort(rows)
	return rows
}

// A slip in one row of the wiring, or two rows taken for one another, is one
// finding; it names the row, and what it says to write makes the relay right, and
// the list what it was before, cables and spare pins too.
// This takes every ninth slip; BenchmarkSlips takes them all.
func TestASlipInARowIsNamedThereAndMended(t *testing.T) {
	const every = 9
	for name, r := range rightRelays(t) {
		t.Run(name, func(t *testing.T) {
			for i, s := range slipsOf(r.read(t)) {
				if i%every == 0 {
					require.Empty(t, r.misses(t, s), "%v", s)
				}
			}
		})
	}
}

// BenchmarkSlips prints how all slips are named and mended, by what slipped:
//
//	go test ./cmd/trundle -run '^$' -bench Slips -benchtime 1x
func BenchmarkSlips(b *testing.B) {
	benchSlips(b, rightRelays(b), slipsOf, rightRelay.misses)
}

func benchSlips(b *testing.B, relays map[string]rightRelay, slipsOf func(lines []string) []slip, misses func(rightRelay, testing.TB, slip) string) {
	for range b.N {
		tried, right := map[string]int{}, map[string]int{}
		sum, good := 0, 0
		for _, r := range relays {
			for _, s := range slipsOf(r.read(b)) {
				sum++
				tried[s.kind]++
				if miss := misses(r, b, s); miss == "" {
					right[s.kind]++
					good++
				} else {
					fmt.Println("  not so:", s, miss)
				}
			}
		}
		for kind, n := range tried {
			fmt.Printf("%-40s %4d of %4d\n", kind, right[kind], n)
		}
		b.ReportMetric(100*float64(good)/float64(sum), "%right")
	}
}
