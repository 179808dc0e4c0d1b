package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Only the lines of the section change; what is not indented behind it belongs
// to what comes next.
func TestTheSectionGoesWhereItStood(t *testing.T) {
	const section = "midi:\n  keys:\n    great: channel 1\n"
	for name, c := range map[string]struct{ before, after string }{
		"at the end":                {"format: 1\n", "format: 1\n\n" + section},
		"without a last line end":   {"format: 1", "format: 1\n\n" + section},
		"with the other line end":   {"format: 1\r\nmidi: {a: b}\r\nz: 1\r\n", "format: 1\r\nmidi:\r\n  keys:\r\n    great: channel 1\r\nz: 1\r\n"},
		"in one line":               {"a: 1\nmidi: {a: b} # comment\nz: 1\n", "a: 1\n" + section + "z: 1\n"},
		"over several lines":        {"a: 1\nmidi:\n  a:\n    b: c\n\n  # c\n  d: e\n\n# z\nz: 1\n", "a: 1\n" + section + "\n# z\nz: 1\n"},
		"a flow map over two lines": {"a: 1\nmidi: {a: b,\n  c: d}\nz: 1\n", "a: 1\n" + section + "z: 1\n"},
		"at the end, replaced":      {"a: 1\nmidi:\n  a: b\n# the end\n", "a: 1\n" + section + "# the end\n"},
		"with the name in quotes":   {"a: 1\n\"midi\": {a: b}\n", "a: 1\n" + section},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := withSection("organ.yaml", []byte(c.before), section)
			require.NoError(t, err)
			require.Equal(t, c.after, string(got))
		})
	}
	for name, text := range map[string]string{
		"JSON":                            `{"format": 1, "midi": {}}`,
		"a flow map":                      "{format: 1,\n midi: {}}\n",
		"a flow map that ends unindented": "midi: {a: b\n}\nz: 1\n",
	} {
		t.Run(name, func(t *testing.T) {
			_, err := withSection("organ.yaml", []byte(text), section)
			require.ErrorContains(t, err, "by hand")
		})
	}
}
