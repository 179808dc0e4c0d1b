package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
)

// A POSIX shell must give the word back as it was.
func TestAShellReadsBackWhatIsQuoted(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("there is no POSIX shell here")
	}
	for _, word := range []string{"organ.yaml", "great:C#4", "my organ.yaml", "it's", "$HOME", "", "a;b", "*", "~", "-x", `back\slash`, "ü"} {
		out, err := exec.Command(shell, "-c", "printf %s "+shellQuote(word)).Output()
		require.NoError(t, err)
		require.Equal(t, word, string(out))
	}
	require.Equal(t, "organ.yaml", shellQuote("organ.yaml"))
}

func TestAnExcerptPutsTheCaretUnderTheColumn(t *testing.T) {
	long := strings.Repeat("x", 300)
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, []byte("\ufefffirst\r\nzweite Zeile: ü, ♭\n\tname: x\n\n"+long+"\n"), 0o600))
	binary := filepath.Join(t.TempDir(), "binary")
	require.NoError(t, os.WriteFile(binary, []byte{0xff, 0x00, 0xfe}, 0o600))
	e := excerpts{}
	for name, c := range map[string]struct {
		at          finding.Place
		text, caret string
	}{
		"the first line, without its mark":     {finding.Place{File: file, Line: 1, Column: 1}, "first", "^"},
		"columns count characters, not bytes":  {finding.Place{File: file, Line: 2, Column: 18}, "zweite Zeile: ü, ♭", strings.Repeat(" ", 17) + "^"},
		"just behind the end of the line":      {finding.Place{File: file, Line: 1, Column: 6}, "first", "     ^"},
		"a tab is one column":                  {finding.Place{File: file, Line: 3, Column: 2}, " name: x", " ^"},
		"a long line is cut around the column": {finding.Place{File: file, Line: 5, Column: 200}, long[:100], strings.Repeat(" ", 50) + "^"},
		"an empty line":                        {finding.Place{File: file, Line: 4, Column: 1}, "", ""},
		"a line that is not there":             {finding.Place{File: file, Line: 50, Column: 1}, "", ""},
		"a column that is not there":           {finding.Place{File: file, Line: 1, Column: 70}, "", ""},
		"the whole file":                       {finding.Place{File: file}, "", ""},
		"a file that is no text":               {finding.Place{File: binary, Line: 1, Column: 1}, "", ""},
		"a file that is not there":             {finding.Place{File: file + "x", Line: 1, Column: 1}, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			text, caret, ok := e.at(c.at)
			require.Equal(t, c.text, text)
			require.Equal(t, c.caret, caret)
			require.Equal(t, c.text != "", ok)
		})
	}
}

func TestTheForemansLine(t *testing.T) {
	for _, c := range []struct {
		counts countsAnswer
		proof  *proofAnswer
		want   string
	}{
		{countsAnswer{}, nil, "Hall: the instrument is in order"},
		{countsAnswer{Note: 2}, nil, "Hall: the instrument is in order (2 notes)"},
		{countsAnswer{Error: 1, Warning: 1}, nil, "Hall: 1 error to put right in the instrument (1 warning)"},
		{countsAnswer{}, &proofAnswer{Verdict: "equal"}, "Hall: go ahead, this relay plays it"},
		{countsAnswer{Error: 2}, &proofAnswer{Verdict: "equal"}, "Hall: do not solder yet, the relay plays it but 2 errors are to be put right"},
		{countsAnswer{Error: 2, Note: 1}, &proofAnswer{Verdict: "different", Differing: 1}, "Hall: do not solder, 2 errors to put right, 1 valve wrong (1 note)"},
		{countsAnswer{Error: 1}, &proofAnswer{Verdict: "not-decided"}, "Hall: do not solder, 1 error to put right and the relay is not proven"},
		{countsAnswer{Error: 1}, &proofAnswer{Verdict: "not-run"}, "Hall: do not solder, 1 error to put right before the relay can be compared"},
	} {
		require.Equal(t, c.want, foreman("Hall", c.counts, c.proof))
	}
}

// One slip in a heading may leave hundreds of names unknown: what is told says how
// many more there are.
func TestOfVeryManyErrorsTheNumberIsTold(t *testing.T) {
	found := make([]finding.Finding, mostTold+2)
	for i := range found {
		found[i] = finding.Finding{Severity: finding.Error, Message: "no rank flote"}
	}
	var out strings.Builder
	complain(&out, broken{findings: found, check: "trundle check organ.yaml"}, "trundle sheet")
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, mostTold+2)
	require.Equal(t, []string{"trundle: 2 more errors", "hint: trundle check organ.yaml"}, lines[mostTold:])
}
