package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
	"trundle/midiio/mapping"
	"trundle/sim/circuit"
	"trundle/sim/contact"
	"trundle/sim/gen"
	"trundle/sim/proof"
	"trundle/sim/rule"
	"trundle/sim/wiring"
)

// A finding written anywhere in the sources has a rule with a page. What a diff
// says are no findings of a check.
func TestEveryRuleInTheSourcesHasItsPage(t *testing.T) {
	written := regexp.MustCompile(`\bRule: +"([a-z0-9-]+)"`)
	seen := 0
	require.NoError(t, filepath.WalkDir("../..", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || filepath.Base(path) == "diff.go" {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range written.FindAllStringSubmatch(string(text), -1) {
			_, _, found := rule.Find(m[1])
			require.True(t, found, "%s: the rule %s has no page", path, m[1])
			seen++
		}
		return err
	}))
	require.NotZero(t, seen)
}

const fixtures = "testdata/rules"

// everyRule is every rule that a finding of a check may have.
func everyRule() []string {
	ids := []string{
		finding.NoMeaning, finding.UnknownID, finding.DuplicateID, finding.OtherFormat,
		contact.PhantomKey, contact.MaskedKey, contact.BackFeed,
		"logic-differs", "proof-not-decided", "pins-mixed", "literal-extra", "row-extra",
		"waiver-unused", "waiver-refused", "waiver-without-reason", proof.MagnetDiffers,
	}
	ids = append(ids, circuit.Rules...)
	ids = append(ids, mapping.Rules...)
	for _, r := range console.Rules {
		ids = append(ids, r.ID)
	}
	for _, r := range wiring.Rules {
		ids = append(ids, r.ID)
	}
	return append(ids, gen.Classes...)
}

func TestEveryRuleHasItsPageAndItsFixture(t *testing.T) {
	ids := everyRule()
	slices.Sort(ids)
	pages := rule.IDs()
	slices.Sort(pages)
	require.Equal(t, slices.Compact(ids), pages)
	for _, family := range rule.Families {
		for _, p := range family.Pages {
			require.LessOrEqual(t, utf8.RuneCountInString(p.Title), 60, p.ID)
			for what, text := range map[string]string{"title": p.Title, "text": p.Text, "faulty": p.Faulty, "repaired": p.Repaired, "ignored": p.Ignored, "source": p.Source} {
				require.NotEmpty(t, text, "%s of %s", what, p.ID)
			}
			require.FileExists(t, filepath.Join(fixtures, p.ID+".txtar"))
		}
	}
}

// files are those of a fixture laid over those of the relay that is right; a
// fixture of an instrument alone has no relay.
func files(t *testing.T, id, family string) map[string]string {
	t.Helper()
	all := map[string]string{}
	lay := func(name string) {
		archive, err := txtar.ParseFile(filepath.Join(fixtures, name+".txtar"))
		require.NoError(t, err)
		for _, f := range archive.Files {
			all[f.Name] = string(f.Data)
		}
	}
	if family != "instrument" {
		lay("base")
	}
	lay(id)
	return all
}

// checkFiles checks files as the command does, and gives the findings with
// their files' names.
func checkFiles(t *testing.T, files map[string]string) []finding.Finding {
	t.Helper()
	folder := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	relay := filepath.Join(folder, "relay.yaml")
	if _, has := files["relay.yaml"]; !has {
		relay = ""
	}
	c, err := check(filepath.Join(folder, "organ.yaml"), relay)
	var found []finding.Finding
	if other, is := err.(broken); is {
		found = other.findings
	} else {
		require.NoError(t, err)
		found = c.findings
	}
	for i := range found {
		found[i].File = filepath.Base(found[i].File)
	}
	return found
}

// wanted is where a file says that a finding must stand: `# want: RULE` at the
// end of a line, or alone on the line before; with `of the whole file` behind
// it, at no line.
func wanted(text, id string) (line int, clean string, ok bool) {
	mark := "# want: " + id
	var lines []string
	for _, l := range strings.SplitAfter(text, "\n") {
		switch before, after, marked := strings.Cut(l, mark); {
		case !marked:
			lines = append(lines, l)
		case strings.HasPrefix(after, " of the whole file"):
			line, ok = 0, true
			lines = append(lines, "#\n")
		case before == "":
			line, ok = len(lines)+2, true // the mark stays as a comment
			lines = append(lines, "#\n")
		default:
			line, ok = len(lines)+1, true
			lines = append(lines, strings.TrimRight(before, " ")+after)
		}
	}
	return line, strings.Join(lines, ""), ok
}

// Each page's faulty example stands in its fixture and raises the rule at the
// marked line; with the repaired example in its place the rule is silent.
func TestExamplesOfPagesAreFaultyAndRepaired(t *testing.T) {
	for _, family := range rule.Families {
		for _, page := range family.Pages {
			t.Run(page.ID, func(t *testing.T) {
				all := files(t, page.ID, family.Name)
				var at finding.Place
				marked := 0
				for name, text := range all {
					line, clean, ok := wanted(text, page.ID)
					if ok {
						at, marked = finding.Place{File: name, Line: line}, marked+1
					}
					all[name] = clean
				}
				require.Equal(t, 1, marked, "one line of the fixture carries # want: %s", page.ID)
				found := checkFiles(t, all)
				require.True(t, slices.ContainsFunc(found, func(f finding.Finding) bool {
					return f.Rule == page.ID && f.File == at.File && f.Line == at.Line
				}), "no %s at %s in %v", page.ID, at, found)

				text := strings.ReplaceAll(all[page.File], "\n#\n", "\n")
				require.Equal(t, 1, strings.Count(text, page.Faulty+"\n"), "the faulty example stands in %s", page.File)
				all[page.File] = strings.Replace(text, page.Faulty+"\n", page.Repaired+"\n", 1)
				for _, f := range checkFiles(t, all) {
					require.NotEqual(t, page.ID, f.Rule, "the repaired example raises it too: %s: %s", f.Place, f.Message)
				}
			})
		}
	}
}

func TestTheRelayThatFixturesChangeIsRight(t *testing.T) {
	require.Empty(t, checkFiles(t, files(t, "base", "wiring")))
}

// What can be said of electricity is listed where something is missing.
func TestThePageOfMissingDataNamesTheFields(t *testing.T) {
	page, _, found := rule.Find(circuit.Unchecked)
	require.True(t, found)
	words := strings.FieldsFunc(page.Text, func(r rune) bool { return strings.ContainsRune(" ,;()", r) })
	for _, field := range slices.Concat(wiring.BoardFields, wiring.CableFields) {
		if field != "kind" && field != "pins" {
			require.Contains(t, words, field)
		}
	}
}

func TestRulesAreExplainedAsTheirSchemaSays(t *testing.T) {
	for _, args := range [][]string{{"explain"}, {"explain", "pins-swapped"}} {
		var stdout, stderr strings.Builder
		require.Equal(t, exitGood, run(append(args, "--format", "json"), strings.NewReader(""), &stdout, &stderr), stderr.String())
		requireValid(t, "explain", stdout.String())
	}
}
