package main

import (
	"os"
	"strings"
	"unicode"
	"unicode/utf8"

	"trundle/console/finding"
)

// excerptWidth is how many characters of a long line are shown.
const excerptWidth = 100

// excerpts shows lines of files, each file read once.
type excerpts map[string][]string

// at is the text of the line at a place and a line with a caret under its
// column; ok is false where there is no such line of plain text.
func (e excerpts) at(p finding.Place) (text, caret string, ok bool) {
	lines, read := e[p.File]
	if !read {
		lines = textLines(p.File)
		e[p.File] = lines
	}
	if p.Line < 1 || p.Line > len(lines) {
		return "", "", false
	}
	line := []rune(lines[p.Line-1])
	if len(line) == 0 || p.Column > len(line)+1 {
		return "", "", false
	}
	at := max(p.Column-1, 0)
	from := 0
	if at >= excerptWidth {
		from = at - excerptWidth/2
	}
	to := min(len(line), from+excerptWidth)
	return string(line[from:to]), strings.Repeat(" ", at-from) + "^", true
}

// textLines is the lines of a file, one character a column; none when it
// cannot be read or is no UTF-8 text.
func textLines(path string) []string {
	data, err := os.ReadFile(path)
	if err != nil || !utf8.Valid(data) {
		return nil
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	visible := func(r rune) rune {
		if r != '\n' && !unicode.IsGraphic(r) {
			return ' '
		}
		return r
	}
	return strings.Split(strings.Map(visible, text), "\n")
}
