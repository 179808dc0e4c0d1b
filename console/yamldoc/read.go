package yamldoc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"

	"trundle/console/finding"
)

// Limits of what is read. The largest instrument stays far below them, and a
// file at the limit that is nothing but one-letter values still fits in memory.
const (
	MaxBytes = 8 << 20
	maxDepth = 64
)

// Load reads a file. The node is nil when the file has no tree; what is wrong
// stands in the source either way.
func Load(path string) (*Node, *Source) {
	data, err := readFile(path)
	if err != nil {
		s := &Source{File: path}
		s.Wrong(nil, "", "%s", err)
		return nil, s
	}
	return Parse(path, data)
}

// readFile reads a file that is not too large; its errors do not name it.
func readFile(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		var of *fs.PathError
		if errors.As(err, &of) {
			return nil, fmt.Errorf("cannot be opened: %w", of.Err)
		}
		return nil, err
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, errors.New("is a directory, not a file")
	}
	data, err := io.ReadAll(io.LimitReader(file, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	return data, nil
}

// Parse reads the bytes of a file; file is its name in findings.
func Parse(file string, data []byte) (*Node, *Source) {
	s := &Source{File: file}
	if len(data) > MaxBytes {
		s.Wrong(nil, "", "is larger than %d MB, the most that is read", MaxBytes>>20)
		return nil, s
	}
	if !s.IsText(data) {
		return nil, s
	}
	data = bytes.ReplaceAll(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	t := &tree{Source: s, lines: bytes.Split(data, []byte("\n"))}
	if json.Valid(bytes.TrimPrefix(data, []byte("\ufeff"))) {
		data = t.joinSurrogates(data)
	}
	document := t.parse(data)
	if document == nil {
		if len(s.Findings) == 0 {
			s.Wrong(nil, "", "is empty")
		}
		return nil, s
	}
	root := t.node(document.Content[0])
	finding.Sort(s.Findings)
	return root, s
}

// parse runs the library on the data and wants one document of it.
func (t *tree) parse(data []byte) (document *yaml.Node) {
	defer func() {
		if p := recover(); p != nil {
			document = nil
			t.Wrong(nil, "", "cannot be read as YAML: %v", p)
		}
	}()
	loader, err := yaml.NewLoader(bytes.NewReader(data),
		yaml.WithUniqueKeys(false), yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth))))
	if err != nil {
		t.Wrong(nil, "", "cannot be read as YAML: %v", err)
		return nil
	}
	var first, second yaml.Node
	switch err := loader.Load(&first); {
	case err == io.EOF:
		return nil
	case err != nil:
		t.syntax(err)
		return nil
	}
	switch err := loader.Load(&second); {
	case err == io.EOF:
	case err != nil:
		t.syntax(err)
	default:
		t.Wrong(t.at(second.Line, second.Column), "keep one document in a file", "a second document begins here")
	}
	return &first
}

// IsText reports whether the data is text in UTF-8, and notes the first thing in
// it that is not.
func (s *Source) IsText(data []byte) bool {
	line, column := 1, 0
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		column++
		if what := unreadable(r, size); what != "" {
			s.Wrong(&Node{Line: line, Column: column}, "save the file as UTF-8 text", "%s, so this is no text file in UTF-8", what)
			return false
		}
		if r == '\n' {
			line, column = line+1, 0
		}
		i += size
		if r == '\ufeff' && i == size {
			column = 0
		}
	}
	return true
}

// unreadable says what is wrong with a character in a text file, if anything.
func unreadable(r rune, size int) string {
	switch {
	case r == utf8.RuneError && size == 1:
		return "a byte that begins no character"
	case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0, r == 0xfffe, r == 0xffff:
		return fmt.Sprintf("the control character U+%04X", r)
	case r == '\u2028', r == '\u2029': // YAML counts these as line ends, editors do not
		return fmt.Sprintf("the line separator U+%04X", r)
	}
	return ""
}
