package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The papers in a browser: headless Chromium, and the accessibility rules of
// axe-core 4.10.3 from the npm registry, which follow WCAG 2.1 (contrast of 4.5
// to 1, header cells, headings in order, language, names of drawings).
func TestABrowserShowsThePapers(t *testing.T) {
	chromium := browser(t)
	rules := axe(t)
	record := testedDay(t)
	for _, example := range []struct {
		relay string
		exit  int
		flags []string
		inks  []string
	}{
		{"saltmarsh-bad", exitBad, nil, []string{"rgb(255, 255, 255)", "rgb(31, 79, 208)"}}, // white and blue, the first pair of the 25-pair code
		{"currents", exitBad, []string{"--day", record}, nil},
	} {
		t.Run(example.relay, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "papers")
			args := append([]string{"report", "examples/saltmarsh/organ.yaml", "--relay", "examples/" + example.relay + "/relay.yaml", "--to", dir}, example.flags...)
			require.Equal(t, example.exit, run(args, strings.NewReader(""), new(bytes.Buffer), new(bytes.Buffer)))
			page := filepath.Join(dir, "report.html")
			for _, width := range []int{1280, 390} {
				seen := examined(t, chromium, rules, page, width)
				require.Empty(t, seen.Console, "at %d", width)
				require.Equal(t, width, seen.Width, "the width that was asked for")
				require.LessOrEqual(t, seen.Needs, seen.Width, "the width that the page needs")
				require.Empty(t, seen.Scroll, "at %d", width)
				require.Subset(t, seen.Inks, example.inks)
				require.NotContains(t, seen.Inks, "none")
				require.Greater(t, seen.Passes, 15, "rules of axe-core that it passes")
				for _, v := range seen.Violations {
					require.NotContains(t, []string{"serious", "critical"}, v.Impact, "at %d: %s: %s", width, v.ID, v.Help)
					require.NotContains(t, []string{"heading-order", "svg-img-alt", "region"}, v.ID, "at %d: %s", width, v.Help)
				}
			}
			boards := bytes.Count(readFile(t, page), []byte(`<section id="pins-`))
			for size, box := range map[string]string{"A4": "594.95996 841.91998", "letter": "612 792"} {
				pdf := printed(t, chromium, page, size)
				require.Contains(t, string(pdf), "/MediaBox [0 0 "+box+"]")
				// A board or strip never shares a page with another, and each fits on one.
				pages := len(regexp.MustCompile(`/Type /Page\b`).FindAll(pdf, -1))
				require.Greater(t, pages, boards)
				require.Less(t, pages, boards+20)
			}
		})
	}
}

// testedDay is a record with something that is not good.
func testedDay(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "day.jsonl")
	out := new(bytes.Buffer)
	args := []string{"walk", "examples/saltmarsh/organ.yaml", "--relay", "examples/currents/relay.yaml", "--to", path, "--who", "Ann"}
	require.Equal(t, exitBad, run(args, strings.NewReader("good\nopen at the strip\ngood\n"), out, out), out.String())
	return path
}

// printed is a page as a PDF on paper of a size.
func printed(t *testing.T, chromium, page, size string) []byte {
	dir := t.TempDir()
	sized, pdf := filepath.Join(dir, "sized.html"), filepath.Join(dir, "sized.pdf")
	text := strings.Replace(string(readFile(t, page)), "</style>", "@page { size: "+size+"; }</style>", 1)
	require.NoError(t, os.WriteFile(sized, []byte(text), 0o644))
	browse(t, chromium, "--no-pdf-header-footer", "--print-to-pdf="+pdf, address(sized))
	data := readFile(t, pdf)
	require.True(t, bytes.HasPrefix(data, []byte("%PDF-")))
	return data
}

// seen is what a page says of itself.
type seen struct {
	Console      []string
	Width, Needs int
	Scroll       []string // tables that are wider than the page
	Inks         []string // the colours that the marks of wires are shown in
	Passes       int
	Violations   []struct{ ID, Impact, Help string }
}

// examined opens a page in a frame of a width (a window is never as narrow as a
// telephone) and asks it, by a script that a copy of it has besides.
func examined(t *testing.T, chromium, rules, page string, width int) (s seen) {
	const listens = `<head><script>const said = [];
for (const name of ["error", "warn"]) console[name] = (...words) => said.push(words.join(" "));
addEventListener("error", e => said.push(e.message || "not loaded: " + (e.target.src || e.target.href)), true);
addEventListener("securitypolicyviolation", e => said.push(e.violatedDirective));</script>`
	const asks = `<script src="%s"></script><script>
const needs = document.documentElement.scrollWidth;
const scroll = [...document.querySelectorAll(".wide")].filter(e => e.scrollWidth > e.clientWidth).map(e => e.getAttribute("aria-label"));
const inks = [...new Set([...document.querySelectorAll("svg.mark rect")].map(e => getComputedStyle(e).fill))];
document.querySelectorAll("tbody tr:nth-child(n+13)").forEach(row => row.remove()); // more of the same, for minutes
axe.run().then(found => {
parent.postMessage(JSON.stringify({console: said, width: innerWidth, needs, scroll, inks, passes: found.passes.length,
	violations: found.violations.map(v => ({id: v.id, impact: v.impact, help: v.help}))}), "*");
});</script></body>`
	text := string(readFile(t, page))
	require.Equal(t, 1, strings.Count(text, "<head>"))
	require.Equal(t, 1, strings.Count(text, "</body>"))
	text = strings.Replace(text, "<head>", listens, 1)
	text = strings.Replace(text, "</body>", fmt.Sprintf(asks, address(rules)), 1)
	dir := t.TempDir()
	inside, outside := filepath.Join(dir, "inside.html"), filepath.Join(dir, "outside.html")
	require.NoError(t, os.WriteFile(inside, []byte(text), 0o644))
	require.NoError(t, os.WriteFile(outside, fmt.Appendf(nil, `<!DOCTYPE html><title>outside</title><iframe src="inside.html" style="border: 0; width: %dpx; height: 800px"></iframe>
<script>onmessage = e => document.body.dataset.seen = e.data</script>`, width), 0o644))
	dom := browse(t, chromium, "--virtual-time-budget=60000", "--dump-dom", address(outside))
	said := regexp.MustCompile(`data-seen="([^"]*)"`).FindStringSubmatch(dom)
	require.NotNil(t, said, "the page has not answered:\n%.2000s", dom)
	require.NoError(t, json.Unmarshal([]byte(html.UnescapeString(said[1])), &s))
	return s
}

// browse runs Chromium with a profile of its own, and returns what it prints.
func browse(t *testing.T, chromium string, args ...string) string {
	t.Helper()
	args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--window-size=1400,900", "--user-data-dir=" + t.TempDir()}, args...)
	cmd := exec.Command(chromium, args...)
	var errors bytes.Buffer
	cmd.Stderr = &errors
	out, err := cmd.Output()
	require.NoError(t, err, errors.String())
	return string(out)
}

func browser(t *testing.T) string {
	path, err := exec.LookPath("chromium")
	if err != nil {
		require.NotEqual(t, "1", os.Getenv("TRUNDLE_PEERS"), "chromium is required with TRUNDLE_PEERS=1")
		t.Skip("chromium is not installed")
	}
	return path
}

// axe is the file of axe-core, fetched from the npm registry.
func axe(t *testing.T) string {
	if os.Getenv("TRUNDLE_PEERS") != "1" {
		t.Skip("without TRUNDLE_PEERS=1 nothing is fetched from the npm registry")
	}
	dir := t.TempDir()
	out, err := exec.Command("npm", "install", "--prefix", dir, "--no-audit", "--no-fund", "--prefer-offline", "axe-core@4.10.3").CombinedOutput()
	require.NoError(t, err, string(out))
	return filepath.Join(dir, "node_modules", "axe-core", "axe.min.js")
}

func address(path string) string {
	return (&url.URL{Scheme: "file", Path: path}).String()
}

func readFile(t *testing.T, path string) []byte {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}
