package mapping

import (
	"encoding/json"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// A message is read as the schema of instrument files says, and back again.
func TestMessagesAreReadAsTheSchemaSays(t *testing.T) {
	data, err := os.ReadFile("../../console/schema/instrument.schema.json")
	require.NoError(t, err)
	var schema struct {
		Defs map[string]struct{ Pattern string } `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(data, &schema))
	pattern := regexp.MustCompile(schema.Defs["message"].Pattern)
	for text, third := range map[string]string{ // the third of a run, from 0
		"note 36 on channel 10":            "",
		"note C2 on channel 1":             "",
		"notes from C2/2 on channel 16":    "note 40 on channel 16",
		"controller 119 on channel 1":      "",
		"controllers from 20 on channel 1": "controller 22 on channel 1",
		"nrpn 16383 on channel 2":          "",
		"nrpns from 127/128 on channel 2":  "nrpn 383 on channel 2",
		"program 0 on channel 3":           "",
		"programs from 5 on channel 3":     "program 7 on channel 3",
		"bytes F0 7D 01 .. F7":             "",
		"bytes f0 7d nn .. f7 from 3/2":    "bytes F0 7D 07 .. F7",
		"bytes B9 50 nn from 1":            "bytes B9 50 03",
		"bytes B9 nn .. from 9":            "controller 11 on channel 10",
	} {
		require.Regexp(t, pattern, text)
		p, err := parsePhrase(text)
		require.NoError(t, err)
		if third == "" {
			require.False(t, p.run)
			continue
		}
		s, err := p.nth(2)
		require.NoError(t, err)
		require.Equal(t, third, s.String())
	}
	for _, text := range []string{"", "36", "note 36", "note 36 on channel 17", "note 36 on channel 0", "bend 1 on channel 1", "notes from 36 channel 10", "bytes", "bytes F0 XX F7", "bytes F0 7D nn F7 from", "note on channel 1", "note 36 37 on channel 1"} {
		require.NotRegexp(t, pattern, text)
		_, err := parsePhrase(text)
		require.Error(t, err, text)
	}
}
