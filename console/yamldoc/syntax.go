package yamldoc

import (
	"bytes"
	"errors"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"

	"trundle/console/finding"
)

// syntax notes an error of the library where it stands.
func (t *tree) syntax(err error) {
	var load *yaml.LoadError
	var several *yaml.LoadErrors
	if errors.As(err, &several) && len(several.Errors) > 0 {
		load = several.Errors[0]
	} else if !errors.As(err, &load) {
		t.Wrong(nil, "", "cannot be read as YAML: %s", oneLine(err.Error()))
		return
	}
	message, fix := oneLine(load.Message), ""
	for _, known := range mends {
		if strings.Contains(message, known.message) {
			fix = known.fix
			break
		}
	}
	n := t.at(load.Mark.Line, load.Mark.Column)
	if at, comment := t.hidden(load.ContextMark.Line, load.Mark.Line); comment != "" {
		n, message = at, comment+" is taken as a comment, so what it hides is missing"
		fix = "put the value in quotes; a comment has a blank behind its #"
	}
	t.Wrong(n, fix, "%s", message)
	if load.ContextMsg != "" && load.ContextMark.Line > 0 {
		f := &t.Findings[len(t.Findings)-1]
		f.Related = []finding.Related{{Place: t.Place(t.at(load.ContextMark.Line, load.ContextMark.Column)), Message: load.ContextMsg}}
	}
}

// mends says what to do about messages of the library.
var mends = []struct{ message, fix string }{
	{"unknown anchor", "write the value out: an alias has no meaning here"},
	{"mapping values are not allowed", "indent it like its neighbours; put a text with a colon in quotes"},
	{"cannot start any token", "indent with blanks, not tabs; put a text that begins with @, ` or % in quotes"},
	{"tab", "indent with blanks, not tabs"},
	{"did not find expected ','", "put a comma between the entries and close every bracket"},
	{"did not find expected key", "indent it like its neighbours"},
	{"could not find expected ':'", "put a colon and a blank behind the name"},
	{"end of stream", "close the quotes"},
	{"max depth", "write it flatter"},
}

// hidden finds a comment in a range of lines that looks as if it had been
// meant as text: a { with such a comment in it is never closed.
func (t *tree) hidden(first, last int) (*Node, string) {
	for line := max(first, 1); first > 0 && line <= min(last, len(t.lines)); line++ {
		text := string(t.lines[line-1])
		for i := range len(text) {
			if text[i] != '#' || i == 0 {
				continue
			}
			if comment := swallowed(text[i-1:]); comment != "" && !strings.ContainsAny(text[:i], `#"'`) {
				return t.at(line, utf8.RuneCountInString(text[:i])+1), comment
			}
		}
	}
	return nil, ""
}

var surrogates = regexp.MustCompile(`\\\\|\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}`)

// joinSurrogates writes pairs such as \ud83d\ude00, which JSON has and YAML
// has not, as the character they mean.
func (t *tree) joinSurrogates(data []byte) []byte {
	var out []byte
	from, line, begin := 0, 1, 0 // begin of the line in out
	for _, m := range surrogates.FindAllIndex(data, -1) {
		if m[1]-m[0] != 12 {
			continue
		}
		between := data[from:m[0]]
		out = append(out, between...)
		if breaks := bytes.Count(between, []byte("\n")); breaks > 0 {
			line += breaks
			begin = bytes.LastIndexByte(out, '\n') + 1
		}
		high, _ := strconv.ParseUint(string(data[m[0]+2:m[0]+6]), 16, 16)
		low, _ := strconv.ParseUint(string(data[m[0]+8:m[0]+12]), 16, 16)
		out = utf8.AppendRune(out, utf16.DecodeRune(rune(high), rune(low)))
		t.shifted = append(t.shifted, shift{line, utf8.RuneCount(out[begin:]) + sumOn(t.shifted, line), 11})
		from = m[1]
	}
	return append(out, data[from:]...)
}

// sumOn is by how much the columns of a line have been shifted so far.
func sumOn(shifted []shift, line int) int {
	sum := 0
	for _, s := range shifted {
		if s.line == line {
			sum += s.by
		}
	}
	return sum
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
