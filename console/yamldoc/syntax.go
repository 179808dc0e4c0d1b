package yamldoc

import (
	"bytes"
	"errors"
	"strings"
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
		t.Wrong(nil, "", "cannot be read as YAML: %v", err)
		return
	}
	message, fix := load.Message, ""
	for _, known := range mends {
		if strings.Contains(message, known.message) {
			fix = known.fix
			break
		}
	}
	n := t.at(load.Mark.Line, load.Mark.Column)
	if last := len(t.lines); n.Line > last { // the library ends every last line
		n = t.at(last, utf8.RuneCount(t.lines[last-1])+1)
	}
	if at, comment := t.hidden(load.ContextMark.Line, load.Mark.Line); comment != "" {
		n, message = at, comment+" is taken as a comment, so what it hides is missing"
		fix = "put the value in quotes; a comment has a blank behind its #"
	}
	t.Wrong(n, fix, "%s", message)
	if load.ContextMsg != "" && load.ContextMark.Line > 0 {
		f := &t.Findings[len(t.Findings)-1]
		if from := t.Place(t.at(load.ContextMark.Line, load.ContextMark.Column)); from != f.Place {
			f.Related = []finding.Related{{Place: from, Message: load.ContextMsg}}
		}
	}
}

// mends says what to do about messages of the library.
var mends = []struct{ message, fix string }{
	{"unknown anchor", "write the value out: an alias has no meaning here"},
	{"mapping values are not allowed", "indent it like its neighbours; put a text with a colon in quotes"},
	{"cannot start any token", "indent with blanks, not tabs; put a text that begins with @, ` or % in quotes"},
	{"tab", "indent with blanks, not tabs"},
	{"did not find expected ','", "put a comma between the entries and close every bracket"},
	{"did not find expected key", "indent it like its neighbours; put a # before a comment, and a text that goes on behind a bracket or quote in quotes"},
	{"<document start>", "begin with a name and a colon: this is no YAML, and may be another file"},
	{"could not find expected ':'", "put a colon and a blank behind the name"},
	{"end of stream", "close the quotes"},
	{"max depth", "write it flatter"},
	{"incompatible YAML document", "take the %YAML line away"},
}

// hidden finds a comment in a range of lines that looks as if it had been
// meant as text: a { with such a comment in it is never closed.
func (t *tree) hidden(first, last int) (*Node, string) {
	for line := max(first, 1); first > 0 && line <= min(last, len(t.lines)); line++ {
		text := t.lines[line-1]
		for i := range len(text) {
			if text[i] != '#' || i == 0 {
				continue
			}
			if comment := swallowed(text[i-1:]); comment != "" && !bytes.ContainsAny(text[:i], `#"'`) {
				return t.at(line, utf8.RuneCount(text[:i])+1), comment
			}
		}
	}
	return nil, ""
}
