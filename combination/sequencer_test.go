package combination_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTheSequencer(t *testing.T) {
	next := strings.Split("1 press next,1 press next,1 press next,1 press next,1 press next", ",")
	for name, c := range map[string]struct {
		end  string
		log  []string
		want string
	}{
		"begins with the first general":                 {"stop", next[:1], "place 1/general-1"},
		"goes on to the next":                           {"stop", next[:2], "place 1/general-2"},
		"stops at the end":                              {"stop", next, "says the sequence ends here, at 1/full"},
		"or begins the memory again":                    {"wrap", next, "place 1/general-1"},
		"or goes on in the next memory":                 {"next", next, "place 2/general-1"},
		"back from nowhere is the last":                 {"stop", []string{"1 press previous"}, "place 1/full"},
		"goes back":                                     {"stop", append(next[:2:2], "2 press previous"), "place 1/general-1"},
		"back over the beginning into the memory below": {"next", []string{"1 memory 2", "1 press general-1", "1 press previous"}, "place 1/full"},
		"a general pressed by hand is its place":        {"stop", []string{"1 press general-2", "1 press next"}, "place 1/general-3"},
		"cancel leaves its place":                       {"stop", []string{"1 press general-2", "1 press cancel", "1 press next"}, "place 1/general-3"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(small, "  travel: 200", "  end: "+c.end, 1)
			require.Contains(t, after(t, text, append([]string{"0 obey on"}, c.log...)...), c.want)
		})
	}
}
