package main

import (
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"trundle/console/finding"
)

// The form SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format), as
// much of it as findings need. Columns count characters.

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool       sarifTool     `json:"tool"`
	ColumnKind string        `json:"columnKind"`
	Results    []sarifResult `json:"results"`
	Properties *sarifBag     `json:"properties,omitempty"`
}

// sarifBag is what the form has no place for.
type sarifBag struct {
	Caution string `json:"caution"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name    string      `json:"name"`
	Version string      `json:"version"`
	Rules   []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID string `json:"id"`
}

type sarifResult struct {
	RuleID    string          `json:"ruleId"`
	RuleIndex int             `json:"ruleIndex"`
	Level     string          `json:"level"`
	Message   sarifMessage    `json:"message"`
	Locations []sarifLocation `json:"locations"`
	Related   []sarifLocation `json:"relatedLocations,omitempty"`
}

type sarifMessage struct {
	Text string `json:"text"`
}

type sarifLocation struct {
	Physical sarifPhysical `json:"physicalLocation"`
	Message  *sarifMessage `json:"message,omitempty"`
}

type sarifPhysical struct {
	Artifact sarifArtifact `json:"artifactLocation"`
	Region   *sarifRegion  `json:"region,omitempty"` // nil for a whole file
}

type sarifArtifact struct {
	URI string `json:"uri"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn,omitempty"` // 0 for a whole line
}

// sarifOf is findings in that form: what to do follows in the message, since a
// fix of that form is an edit of a file. A caution, where there is one, stands
// on the whole.
func sarifOf(list []finding.Finding, caution string) sarifLog {
	var rules []string
	for _, f := range list {
		rules = append(rules, f.Rule)
	}
	slices.Sort(rules)
	rules = slices.Compact(rules)
	run := sarifRun{
		Tool:       sarifTool{sarifDriver{Name: "trundle", Version: version(), Rules: []sarifRule{}}},
		ColumnKind: "unicodeCodePoints",
		Results:    []sarifResult{},
	}
	if caution != "" {
		run.Properties = &sarifBag{caution}
	}
	for _, rule := range rules {
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{rule})
	}
	for _, f := range list {
		index, _ := slices.BinarySearch(rules, f.Rule)
		result := sarifResult{f.Rule, index, string(f.Severity), sarifMessage{complaint{f.Message, f.Fix}.Error()}, []sarifLocation{sarifAt(f.Place)}, nil}
		for _, r := range f.Related {
			at := sarifAt(r.Place)
			at.Message = &sarifMessage{r.Message}
			result.Related = append(result.Related, at)
		}
		run.Results = append(run.Results, result)
	}
	return sarifLog{"https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json", "2.1.0", []sarifRun{run}}
}

// sarifAt is a place; a sheet of a workbook is a fragment of its file.
func sarifAt(p finding.Place) sarifLocation {
	file, sheet, _ := strings.Cut(p.File, "#")
	uri := url.URL{Path: filepath.ToSlash(file), Fragment: sheet}
	if filepath.IsAbs(file) {
		uri.Scheme = "file"
	}
	at := sarifPhysical{Artifact: sarifArtifact{uri.String()}}
	if p.Line > 0 {
		at.Region = &sarifRegion{p.Line, p.Column}
	}
	return sarifLocation{Physical: at}
}
