package main

import (
	"encoding/json"
	"io"
)

// writeJSON writes an answer as one line of JSON.
func writeJSON(w io.Writer, answer any) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	return encoder.Encode(answer)
}
