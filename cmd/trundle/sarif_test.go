package main

import (
	"bytes"
	"encoding/json"
	"net/url"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"trundle/console/finding"
)

// object is a JSON object.
type object = map[string]any

// sarifClauses are what SARIF 2.1.0 asks of the objects that we write, clause
// by clause of the OASIS standard (the numbers from memory). Each looks at a
// whole log.
var sarifClauses = []struct {
	clause, asks string
	check        func(t *testing.T, log object)
}{
	{"3.13.2", "a log has the version 2.1.0", func(t *testing.T, log object) { require.Equal(t, "2.1.0", log["version"]) }},
	{"3.13.3", "$schema is an absolute URI", func(t *testing.T, log object) {
		u, err := url.Parse(log["$schema"].(string))
		require.NoError(t, err)
		require.True(t, u.IsAbs())
	}},
	{"3.13.4", "a log has runs", func(t *testing.T, log object) { require.Len(t, log["runs"], 1) }},
	{"3.14.6", "a run has a tool", func(t *testing.T, log object) { require.IsType(t, object{}, sarifRunOf(log)["tool"]) }},
	{"3.14.23", "a run that looked for results has them, if only an empty list", func(t *testing.T, log object) {
		require.IsType(t, []any{}, sarifRunOf(log)["results"])
	}},
	{"3.14.27", "columnKind is one of two words", func(t *testing.T, log object) {
		require.Contains(t, []any{"utf16CodeUnits", "unicodeCodePoints"}, sarifRunOf(log)["columnKind"])
	}},
	{"3.18.2", "a tool has a driver", func(t *testing.T, log object) { require.IsType(t, object{}, driverOf(log)) }},
	{"3.19.8", "a tool component has a name", func(t *testing.T, log object) { require.NotEmpty(t, driverOf(log)["name"]) }},
	{"3.19.23", "no two rules are the same", func(t *testing.T, log object) {
		ids := ruleIDs(log)
		require.Len(t, slices.Compact(slices.Sorted(slices.Values(ids))), len(ids))
	}},
	{"3.49.3", "a rule has an id", func(t *testing.T, log object) { require.NotContains(t, ruleIDs(log), "") }},
	{"3.27.5", "a result has the id of its rule", func(t *testing.T, log object) {
		for _, r := range resultsOf(log) {
			require.Contains(t, ruleIDs(log), r["ruleId"])
		}
	}},
	{"3.27.6", "ruleIndex is the place of that rule", func(t *testing.T, log object) {
		for _, r := range resultsOf(log) {
			require.Equal(t, r["ruleId"], ruleIDs(log)[int(r["ruleIndex"].(float64))])
		}
	}},
	{"3.27.10", "level is a word of four", func(t *testing.T, log object) {
		for _, r := range resultsOf(log) {
			require.Contains(t, []any{"none", "note", "warning", "error"}, r["level"])
		}
	}},
	{"3.27.11 and 3.11.8", "a result has a message, and that has a text", func(t *testing.T, log object) {
		for _, r := range resultsOf(log) {
			require.NotEmpty(t, r["message"].(object)["text"])
		}
	}},
	{"3.27.12", "locations are a list", func(t *testing.T, log object) {
		for _, r := range resultsOf(log) {
			require.IsType(t, []any{}, r["locations"])
		}
	}},
	{"3.28.5 and 3.11.8", "a location's message has a text", func(t *testing.T, log object) {
		for _, l := range locationsOf(log) {
			if m, has := l["message"]; has {
				require.NotEmpty(t, m.(object)["text"])
			}
		}
	}},
	{"3.29.3", "a physical location has an artifact location or an address", func(t *testing.T, log object) {
		for _, l := range locationsOf(log) {
			require.IsType(t, object{}, l["physicalLocation"].(object)["artifactLocation"])
		}
	}},
	{"3.4.3", "a uri is one, by RFC 3986, with slashes", func(t *testing.T, log object) {
		for _, l := range locationsOf(log) {
			uri := l["physicalLocation"].(object)["artifactLocation"].(object)["uri"].(string)
			_, err := url.Parse(uri)
			require.NoError(t, err)
			require.Regexp(t, regexp.MustCompile(`^([A-Za-z0-9._~:/?#\[\]@!$&'()*+,;=-]|%[0-9A-F]{2})+$`), uri)
		}
	}},
	{"3.30.5", "a region begins on a line from 1", func(t *testing.T, log object) {
		for _, l := range locationsOf(log) {
			if region, has := l["physicalLocation"].(object)["region"]; has {
				require.GreaterOrEqual(t, region.(object)["startLine"], 1.0)
			}
		}
	}},
	{"3.30.6", "a column, where there is one, counts from 1", func(t *testing.T, log object) {
		for _, l := range locationsOf(log) {
			if region, has := l["physicalLocation"].(object)["region"]; has {
				if column, has := region.(object)["startColumn"]; has {
					require.GreaterOrEqual(t, column, 1.0)
				}
			}
		}
	}},
}

func sarifRunOf(log object) object { return log["runs"].([]any)[0].(object) }
func driverOf(log object) object   { return sarifRunOf(log)["tool"].(object)["driver"].(object) }

func ruleIDs(log object) []string {
	var ids []string
	for _, r := range driverOf(log)["rules"].([]any) {
		ids = append(ids, r.(object)["id"].(string))
	}
	return ids
}

func resultsOf(log object) []object {
	var results []object
	for _, r := range sarifRunOf(log)["results"].([]any) {
		results = append(results, r.(object))
	}
	return results
}

// locationsOf is every location of every result, related ones too.
func locationsOf(log object) []object {
	var locations []object
	for _, r := range resultsOf(log) {
		related, _ := r["relatedLocations"].([]any)
		for _, l := range slices.Concat(r["locations"].([]any), related) {
			locations = append(locations, l.(object))
		}
	}
	return locations
}

func requireSARIF(t *testing.T, text []byte) object {
	t.Helper()
	var log object
	require.NoError(t, json.Unmarshal(text, &log))
	for _, c := range sarifClauses {
		t.Run(c.clause+", "+c.asks, func(t *testing.T) { c.check(t, log) })
	}
	return log
}

func TestSARIFKeepsToItsStandard(t *testing.T) {
	for name, list := range map[string][]finding.Finding{
		"nothing found": nil,
		"findings of every sort": {
			{Rule: "pin-used-twice", Severity: finding.Error, Place: finding.Place{File: "a wiring.csv", Line: 3, Column: 4}, Message: "used twice", Fix: "take one off",
				Related: []finding.Related{{Place: finding.Place{File: "a wiring.csv", Line: 2, Column: 1}, Message: "the first"}}},
			{Rule: "short-chest", Severity: finding.Note, Place: finding.Place{File: "/job/organ.yaml", Line: 7}, Message: "short"},
			{Rule: "pin-used-twice", Severity: finding.Warning, Place: finding.Place{File: "pins.xlsx#Sheet 1", Line: 1, Column: 1}, Message: "so is this"},
			{Rule: "no-meaning", Severity: finding.Error, Place: finding.Place{File: "a%b:c.yaml"}, Message: "is empty"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			text, err := json.Marshal(sarifOf(list, "a caution"))
			require.NoError(t, err)
			log := requireSARIF(t, text)
			require.Len(t, resultsOf(log), len(list))
			require.Equal(t, object{"caution": "a caution"}, sarifRunOf(log)["properties"])
			if list == nil {
				return
			}
			at := func(i int) object {
				return resultsOf(log)[i]["locations"].([]any)[0].(object)["physicalLocation"].(object)
			}
			require.Equal(t, object{"artifactLocation": object{"uri": "a%20wiring.csv"}, "region": object{"startLine": 3.0, "startColumn": 4.0}}, at(0))
			require.Equal(t, object{"artifactLocation": object{"uri": "file:///job/organ.yaml"}, "region": object{"startLine": 7.0}}, at(1))
			require.Equal(t, "pins.xlsx#Sheet%201", at(2)["artifactLocation"].(object)["uri"])
			require.Equal(t, object{"artifactLocation": object{"uri": "./a%25b:c.yaml"}}, at(3))
			require.Equal(t, "used twice; take one off", resultsOf(log)[0]["message"].(object)["text"])
		})
	}
}

func TestCheckAndDiffWriteSARIF(t *testing.T) {
	for name, args := range map[string][]string{
		"a relay with mistakes": {"check", "examples/saltmarsh/organ.yaml", "--relay", "examples/saltmarsh-bad/relay.yaml"},
		"another instrument":    {"diff", "examples/saltmarsh/organ.yaml", "examples/smallest/organ.yaml"},
	} {
		t.Run(name, func(t *testing.T) {
			var stdout, stderr bytes.Buffer
			require.Equal(t, exitBad, run(append(args, "--format", "sarif"), nil, &stdout, &stderr), stderr.String())
			require.NotEmpty(t, resultsOf(requireSARIF(t, stdout.Bytes())))
		})
	}
}
