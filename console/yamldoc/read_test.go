package yamldoc_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// messages are the findings as a user reads them.
func messages(s *yamldoc.Source) []string {
	list := []string{}
	for _, f := range s.Findings {
		list = append(list, f.Place.String()+": "+f.Message)
	}
	return list
}

// show writes a tree on one line.
func show(n *yamldoc.Node) string {
	if n == nil {
		return "nothing"
	}
	var parts []string
	for _, item := range n.Items {
		parts = append(parts, show(item))
	}
	for _, p := range n.Pairs {
		parts = append(parts, p.Key.Text+"="+show(p.Value))
	}
	switch n.Kind {
	case yamldoc.List:
		return "[" + strings.Join(parts, " ") + "]"
	case yamldoc.Map:
		return "{" + strings.Join(parts, " ") + "}"
	}
	return n.Text
}

func TestWhatIsReadAsItIsWritten(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"numbers keep their text":        {"a: 012\nb: 0x1F\nc: 1_000\nd: 1e3\n", "{a=012 b=0x1F c=1_000 d=1e3}"},
		"words that YAML 1.1 changes":    {"a: yes\nb: off\nc: 12:30:00\nd: 2001-01-01\n", "{a=yes b=off c=12:30:00 d=2001-01-01}"},
		"a sharp within a word":          {"a: C#4\nb: [F#3, G4]\n", "{a=C#4 b=[F#3 G4]}"},
		"a comment behind a blank":       {"a: 8   # eight foot\nb: 4 ## four\n# c: 2\n", "{a=8 b=4}"},
		"a comment behind a quote":       {"a: \"8\" #8\nb: [1] #2\n", "{a=8 b=[1]}"},
		"quoted null":                    {"\"null\": '~'\n", "{null=~}"},
		"folded text is one line":        {"a: >\n  one\n  two\n", "{a=one two}"},
		"JSON":                           {"{\"a\": [1, \"C#4\", true],\n\t\"b\": {}}", "{a=[1 C#4 true] b={}}"},
		"surrogate pairs of JSON":        {`{"a": "\ud834\udd2a", "b": "\\ud834\\udd2a"}`, `{a=𝄪 b=\ud834\udd2a}`},
		"a byte-order mark":              {"\ufeffa: 1\n", "{a=1}"},
		"line ends of other systems":     {"a: 1\r\nb: 2\rc: 3", "{a=1 b=2 c=3}"},
		"a document that says it is one": {"%YAML 1.1\n---\na: 1\n...\n", "{a=1}"},
	} {
		root, source := yamldoc.Parse("f", []byte(c.text))
		require.Empty(t, messages(source), name)
		require.Equal(t, c.want, show(root), name)
	}
}

// In braces a comma ends a value, and a colon needs a blank behind it.
func TestANameWithoutAValueSaysWhatWasMeant(t *testing.T) {
	for text, want := range map[string]string{
		"{a4: 440,5}":      "write a decimal with a point, like 440.5, and feet with a fraction, like 2 2/3",
		"{keyboard:great}": "put a blank behind the colon: keyboard: great",
		"{keyboard}":       "give it a value, or take it away",
	} {
		_, source := yamldoc.Parse("f", []byte("a: "+text+"\n"))
		require.Len(t, source.Findings, 1, text)
		require.Equal(t, want, source.Findings[0].Fix, text)
	}
}

// A comment that is taken into service without its sign, and a table.
func TestWhatIsNoYAMLSaysWhatToDo(t *testing.T) {
	for text, want := range map[string]string{
		"a: [b] and so on\n":         "put a # before a comment",
		"board,pins\n# keys\nK1,1\n": "this is no YAML",
	} {
		_, source := yamldoc.Parse("f", []byte(text))
		require.NotEmpty(t, source.Findings, text)
		require.Contains(t, source.Findings[0].Fix, want, text)
	}
}

// Each would vanish, or change, without a word from the YAML library.
func TestWhatYAMLWouldLoseIsSaid(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"a sharp after a blank": {"a: C #4\nb: 8 #foot\n",
			[]string{"f:1:4: the value is only \"C\": #4 is taken as a comment", "f:2:4: the value is only \"8\": #foot is taken as a comment"}},
		"a sharp after a blank that breaks a list": {"a: [C #4, D4]\nb: 1\n", []string{"f:1:7: #4, D4] is taken as a comment, so what it hides is missing"}},
		"tags": {"a: !x foo\nb: !!int 3\nc: ! d\nd: !x {e: 1}\n",
			[]string{"f:1:4: a tag (!x) has no meaning here", "f:2:4: a tag (!!int) has no meaning here", "f:3:4: a tag (!) has no meaning here", "f:4:4: a tag (!x) has no meaning here"}},
		"null names":           {"null: 1\n~: 2\nb: {Null: 3}\n", []string{`f:1:1: "null" means nothing at all, so it cannot be a name`, `f:2:1: "~" means nothing at all, so it cannot be a name`, `f:3:5: "Null" means nothing at all, so it cannot be a name`}},
		"null values":          {"a:\nb: null\nc: [~]\nd: {e}\n", []string{"f:1:1: a has no value", "f:2:1: b has no value", "f:3:5: an item has no value", "f:4:5: e has no value"}},
		"a name twice":         {"a: 1\nb: 2\na: 3\n", []string{"f:3:1: a stands here a second time"}},
		"a second document":    {"a: 1\n---\nb: 2\n", []string{"f:2:1: a second document begins here"}},
		"anchors and aliases":  {"a: &x 1\nb: *x\n", []string{"f:1:4: an anchor (&x) has no meaning here", "f:2:4: an alias (*x) has no meaning here"}},
		"a list as a name":     {"? [a, b]\n: 1\n", []string{"f:1:3: a name before a colon is one word, not a list"}},
		"a line break in text": {`a: "x\ny"`, []string{"f:1:4: a line break or control character stands in a text of one line"}},
	} {
		_, source := yamldoc.Parse("f", []byte(c.text))
		require.Equal(t, c.want, messages(source), name)
		require.True(t, finding.Broken(source.Findings), name)
	}
}

func TestColumnsCountCharacters(t *testing.T) {
	root, source := yamldoc.Parse("f", []byte("é♭: [é, ~]\n"))
	require.Equal(t, []string{"f:1:9: an item has no value"}, messages(source))
	require.Equal(t, 5, root.Get("é♭").Column)

	// JSON's surrogate pairs are twelve characters of the file each.
	_, source = yamldoc.Parse("f", []byte("{\n\"\\ud834\\udd2a\": \"\\ud834\\udd2a\", \"c\": null,\n \"d\": null}"))
	require.Equal(t, []string{"f:2:33: c has no value", "f:3:2: d has no value"}, messages(source))
}

func TestBadFilesAreRefusedWithAPlace(t *testing.T) {
	bomb := "a: &a [x, x]\n"
	for c := 'b'; c < 'z'; c++ {
		bomb += string(c) + ": &" + string(c) + " [*" + string(c-1) + ", *" + string(c-1) + "]\n"
	}
	for name, c := range map[string]struct{ text, want string }{
		"empty":                      {"", "f: is empty"},
		"blanks and comments":        {" \n# nothing\n", "f: is empty"},
		"binary":                     {"a: 1\nb: \x00\x01", "f:2:4: the control character U+0000, so this is no text file in UTF-8"},
		"not UTF-8":                  {"a: é\nb: \xe9\n", "f:2:4: a byte that begins no character, so this is no text file in UTF-8"},
		"UTF-16":                     {"\xff\xfea\x00", "f:1:1: a byte that begins no character, so this is no text file in UTF-8"},
		"too large":                  {strings.Repeat("#\n", yamldoc.MaxBytes/2+1), "f: is larger than 8 MB, the most that is read"},
		"deep lists":                 {strings.Repeat("[", 100_000), "f:1:65: exceeded max depth of 64"},
		"deep maps":                  {strings.Repeat("{a: ", 100_000), "f:1:257: exceeded max depth of 64"},
		"deep blocks":                {strings.Repeat("- ", 100_000), "f:1:129: exceeded max depth of 64"},
		"an alias bomb":              {bomb, "f:1:4: an anchor (&a) has no meaning here"},
		"an unknown alias":           {"a: *b\n", "f:1:4: unknown anchor 'b' referenced"},
		"a bad indent":               {"a: 1\n b: 2\n", "f:2:3: mapping values are not allowed in this context"},
		"an open list":               {"a: [1, 2\n", "f:2:1: did not find expected ',' or ']'"},
		"an open quote":              {"a: \"x\n", "f:2:1: found unexpected end of stream"},
		"a tab":                      {"a:\n\tb: 1\n", "f:2:1: found character that cannot start any token"},
		"an error behind a document": {"a: 1\n---\n[", "f:3:2: did not find expected node content"},
	} {
		_, source := yamldoc.Parse("f", []byte(c.text))
		require.NotEmpty(t, source.Findings, name)
		require.Equal(t, c.want, messages(source)[0], name)
		require.True(t, finding.Broken(source.Findings), name)
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.yaml")
	require.NoError(t, os.WriteFile(path, []byte("a: 1\n"), 0o600))
	root, source := yamldoc.Load(path)
	require.Empty(t, source.Findings)
	require.Equal(t, "{a=1}", show(root))

	// Permissions do not stop a superuser; a file used as a directory does.
	for bad, want := range map[string]string{
		dir:                            "is a directory, not a file",
		filepath.Join(dir, "none"):     "cannot be opened: ",
		filepath.Join(path, "no-file"): "cannot be opened: ",
	} {
		root, source := yamldoc.Load(bad)
		require.Nil(t, root)
		require.Len(t, source.Findings, 1)
		require.Equal(t, finding.NoMeaning, source.Findings[0].Rule)
		require.True(t, strings.HasPrefix(messages(source)[0], bad+": "+want), messages(source)[0])
	}
}

// Any bytes give a tree or a finding; what is found lies in the file.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"a: C #4", "{\"a\": \"\\ud834\\udd2a\"}", "a: &x [*x]\n", "a: |\n b\n---\n", "- !x\n- ~: \"", "\ufeffa: é\r\n", "a: [1, {b: c"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		root, source := yamldoc.Parse("f", data)
		if root == nil {
			require.NotEmpty(t, source.Findings)
		}
		lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1
		for _, found := range source.Findings {
			require.NotEmpty(t, found.Message)
			require.NotContains(t, found.Message, "\n")
			require.LessOrEqual(t, found.Line, lines)
			require.GreaterOrEqual(t, found.Column, 0)
		}
	})
}
