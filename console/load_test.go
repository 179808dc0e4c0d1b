package console_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console"
	"trundle/console/finding"
)

// said is a finding as a fixture expects it.
func said(f finding.Finding) string {
	text := string(f.Severity) + ": " + f.Message
	if f.Fix != "" {
		text += "; " + f.Fix
	}
	return text
}

var wanted = regexp.MustCompile(`([a-z-]+) ("(?:[^"\\]|\\.)*")`)

// requireWanted holds the findings of a file against what its lines expect:
// `# want: RULE "regexp"`, as often as a line has findings, and no others.
func requireWanted(t *testing.T, path string, findings []finding.Finding) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	left := findings
	for i, line := range strings.Split(string(data), "\n") {
		_, wants, _ := strings.Cut(line, "# want: ")
		for _, want := range wanted.FindAllStringSubmatch(wants, -1) {
			pattern := regexp.MustCompile(strings.ReplaceAll(want[2][1:len(want[2])-1], `\"`, `"`))
			found := false
			for j, f := range left {
				if f.Line == i+1 && f.Rule == want[1] && pattern.MatchString(said(f)) {
					left, found = append(append([]finding.Finding{}, left[:j]...), left[j+1:]...), true
					break
				}
			}
			require.True(t, found, "%s:%d: no %s %s in %v", path, i+1, want[1], want[2], findings)
		}
	}
	for _, f := range left {
		t.Errorf("%s: unexpected %s: %s", f.Place, f.Rule, said(f))
	}
}

func fixtures(t *testing.T, pattern string) []string {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	return paths
}

func TestEveryErrorOfABrokenFileIsFoundAtOnce(t *testing.T) {
	for _, path := range fixtures(t, "testdata/broken/*.yaml") {
		in, findings := console.Load(path)
		require.Nil(t, in, path)
		require.True(t, finding.Broken(findings), path)
		requireWanted(t, path, findings)
	}
}

func TestRulesFindWhatTheirFixturesHold(t *testing.T) {
	for _, path := range fixtures(t, "testdata/rules/*.yaml") {
		in, findings := console.Load(path)
		require.NotNil(t, in, path)
		require.False(t, finding.Broken(findings), path)
		requireWanted(t, path, findings)
	}
}

func TestEveryRuleHasAFixtureAndADoc(t *testing.T) {
	for _, rule := range console.Rules {
		data, err := os.ReadFile("testdata/rules/" + rule.ID + ".yaml")
		require.NoError(t, err, rule.ID)
		require.Contains(t, string(data), "# want: "+rule.ID, rule.ID)
		require.NotEmpty(t, rule.Doc)
	}
}

func TestFindingsAreInTheOrderOfTheFile(t *testing.T) {
	for _, path := range fixtures(t, "testdata/*/*.yaml") {
		_, findings := console.Load(path)
		for i := 1; i < len(findings); i++ {
			require.LessOrEqual(t, findings[i-1].Place.Compare(findings[i].Place), 0, path)
		}
	}
}

func TestColumnsPointAtWhatIsWrong(t *testing.T) {
	const head = "format: 1\nkeyboards: {m: {kind: manual, keys: C2..C7}}\n"
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"an unknown name, at the name":   {"transfers:\n  t: {name: é, exchanges: [m, n]}\n", []string{"f:4:31"}},
		"an unknown field, at the field": {"boxes: {a: {stages: 8, stage: 1}}\n", []string{"f:3:24"}},
		"a bad value, at the value":      {"boxes: {a: {stages: 800}}\n", []string{"f:3:21"}},
		"a missing field, at the map":    {"boxes: {a: {name: é}}\n", []string{"f:3:12"}},
		"names in a list, at the names":  {"ventils: {a: {admits: [b, c]}}\n", []string{"f:3:24", "f:3:27"}},
		"a name twice, at the second":    {"boxes: {a: {stages: 1}, a: {stages: 2}}\n", []string{"f:3:25"}},
	} {
		in, findings := console.Parse("f", []byte(head+c.text))
		require.Nil(t, in, name)
		places := []string{}
		for _, f := range findings {
			places = append(places, f.Place.String())
		}
		require.Equal(t, c.want, places, name)
	}
}
