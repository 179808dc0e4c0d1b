package console

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const schemaFile = "schema/instrument.schema.json"

// schema checks values against a JSON Schema (draft 2020-12) as far as the
// instrument's uses it, and keeps which fields it met.
type schema struct {
	root, defs map[string]any
	used       map[string]bool // "stop.feet"
	patterns   map[string]*regexp.Regexp
}

func loadSchema(t *testing.T) *schema {
	t.Helper()
	data, err := os.ReadFile(schemaFile)
	require.NoError(t, err)
	s := &schema{used: map[string]bool{}, patterns: map[string]*regexp.Regexp{}}
	require.NoError(t, json.Unmarshal(data, &s.root))
	s.defs = s.root["$defs"].(map[string]any)
	return s
}

// faults are the places at which a value does not satisfy the schema.
func (s *schema) faults(v any) []string { return s.check(s.root, "", v, "$") }

// check holds a value against one schema, which is the definition of a kind
// when it stands under $defs.
func (s *schema) check(schema any, kind string, v any, where string) []string {
	rules, ok := schema.(map[string]any)
	if !ok {
		if schema == false {
			return []string{where + " is not allowed"}
		}
		return nil
	}
	var faults []string
	fault := func(keyword string) { faults = append(faults, fmt.Sprintf("%s: %s", where, keyword)) }
	entries, isMap := v.(map[string]any)
	list, isList := v.([]any)
	number, isNumber := v.(float64)
	text, isText := v.(string)
	for keyword, rule := range rules {
		holds := true
		switch keyword {
		case "$schema", "$id", "$defs", "title", "description", "default":
		case "$ref":
			name := strings.TrimPrefix(rule.(string), "#/$defs/")
			faults = append(faults, s.check(s.defs[name], name, v, where)...)
		case "type":
			holds = slices.ContainsFunc(anyList(rule), func(t any) bool { return isOf(t.(string), v) })
		case "const":
			holds = reflect.DeepEqual(rule, v)
		case "enum":
			holds = slices.ContainsFunc(rule.([]any), func(one any) bool { return reflect.DeepEqual(one, v) })
		case "pattern":
			holds = !isText || s.pattern(rule.(string)).MatchString(text)
		case "minimum":
			holds = !isNumber || number >= rule.(float64)
		case "maximum":
			holds = !isNumber || number <= rule.(float64)
		case "minItems":
			holds = !isList || len(list) >= int(rule.(float64))
		case "maxItems":
			holds = !isList || len(list) <= int(rule.(float64))
		case "minProperties":
			holds = !isMap || len(entries) >= int(rule.(float64))
		case "required":
			holds = !isMap || !slices.ContainsFunc(rule.([]any), func(name any) bool { return entries[name.(string)] == nil })
		case "items":
			for i, item := range list {
				faults = append(faults, s.check(rule, "", item, fmt.Sprintf("%s[%d]", where, i))...)
			}
		case "propertyNames":
			for name := range entries {
				faults = append(faults, s.check(rule, "", name, where+"."+name)...)
			}
		case "properties":
			for name, property := range rule.(map[string]any) {
				if entry, given := entries[name]; given {
					s.used[kind+"."+name] = true
					faults = append(faults, s.check(property, "", entry, where+"."+name)...)
				}
			}
		case "additionalProperties":
			known, _ := rules["properties"].(map[string]any)
			for name, entry := range entries {
				if known[name] == nil {
					faults = append(faults, s.check(rule, "", entry, where+"."+name)...)
				}
			}
		case "oneOf":
			holds = s.countOf(rule.([]any), v, where) == 1
		default:
			panic("the schema uses a keyword that is not checked: " + keyword)
		}
		if !holds {
			fault(keyword)
		}
	}
	return faults
}

// countOf is how many of some schemas a value satisfies. Fields count as met
// only in those.
func (s *schema) countOf(schemas []any, v any, where string) int {
	n := 0
	for _, one := range schemas {
		before := maps.Clone(s.used)
		if len(s.check(one, "", v, where)) == 0 {
			n++
		} else {
			s.used = before
		}
	}
	return n
}

func (s *schema) pattern(text string) *regexp.Regexp {
	if s.patterns[text] == nil {
		s.patterns[text] = regexp.MustCompile(text)
	}
	return s.patterns[text]
}

func anyList(v any) []any {
	if list, ok := v.([]any); ok {
		return list
	}
	return []any{v}
}

func isOf(name string, v any) bool {
	switch v := v.(type) {
	case map[string]any:
		return name == "object"
	case []any:
		return name == "array"
	case string:
		return name == "string"
	case bool:
		return name == "boolean"
	case float64:
		return name == "number" || name == "integer" && v == float64(int(v))
	}
	return false
}
