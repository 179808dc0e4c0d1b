package wiring

import (
	"trundle/console/finding"
	"trundle/console/yamldoc"
)

// InstrumentOf is the path of the instrument that a relay file names, "" when
// it names none; findings only where the file has no meaning at all.
func InstrumentOf(path string) (string, []finding.Finding) {
	root, source := yamldoc.Load(path)
	if root == nil {
		return "", source.Findings
	}
	rd := &reader{Source: source}
	if root.Kind != yamldoc.Map {
		source.Map(root)
		return "", source.Findings
	}
	if rd.ofInstrument(root) {
		return "", source.Findings
	}
	if node := root.Get("instrument"); node != nil && node.Kind == yamldoc.Scalar && node.Text != "" {
		return rd.beside(node.Text), nil
	}
	return "", nil
}
