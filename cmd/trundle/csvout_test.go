package main

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The characters that make a spreadsheet take a cell for a formula, as the
// OWASP page on CSV injection lists them (from memory).
func TestNoCellBecomesAFormula(t *testing.T) {
	cells := []string{"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "1=1", "a-b", "", "great, \"C4\""}
	var out strings.Builder
	require.NoError(t, writeCSV(&out, [][]string{cells}))
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	require.NoError(t, err)
	require.Equal(t, [][]string{{"'=1+1", "'+1", "'-1", "'@SUM(A1)", "'\t=1", "'\r=1", "1=1", "a-b", "", "great, \"C4\""}}, rows)
}
