package yamldoc

import (
	"bytes"
	"regexp"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

var surrogates = regexp.MustCompile(`\\\\|\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}`)

// joinSurrogates writes pairs such as \ud83d\ude00, which JSON has and YAML
// has not, as the character they mean. Twelve characters become one.
func (t *tree) joinSurrogates(data []byte) []byte {
	var out []byte
	from, last := 0, shift{line: 1}
	for _, m := range surrogates.FindAllIndex(data, -1) {
		if m[1]-m[0] != 12 {
			continue
		}
		between := data[from:m[0]]
		if breaks := bytes.Count(between, []byte("\n")); breaks > 0 {
			last = shift{line: last.line + breaks}
		}
		last.column += utf8.RuneCount(between[bytes.LastIndexByte(between, '\n')+1:]) + 1
		last.by += 11
		t.shifted = append(t.shifted, last)
		high, _ := strconv.ParseUint(string(data[m[0]+2:m[0]+6]), 16, 16)
		low, _ := strconv.ParseUint(string(data[m[0]+8:m[0]+12]), 16, 16)
		out = append(out, between...)
		out = utf8.AppendRune(out, utf16.DecodeRune(rune(high), rune(low)))
		from = m[1]
	}
	return append(out, data[from:]...)
}
