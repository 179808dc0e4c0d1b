package console

import _ "embed"

// Schema is the JSON Schema (2020-12) of an instrument file.
//
//go:embed schema/instrument.schema.json
var Schema []byte
