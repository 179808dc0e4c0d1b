package console

// knobs writes every control but the stops.
func (y yamlWriter) knobs() {
	in := y.in
	var couplers []Control // and unison offs, as the file has them
	for _, c := range in.Controls {
		if c.Kind == CouplerControl || c.Kind == UnisonOffControl {
			couplers = append(couplers, c)
		}
	}
	section(y, "couplers", couplers, func(c Control) (string, []yamlField) {
		if c.Kind == UnisonOffControl {
			return y.unisonOff(in.UnisonOffs[c.Index])
		}
		return y.coupler(in.Couplers[c.Index])
	})
	section(y, "ventils", in.Ventils, func(v Ventil) (string, []yamlField) {
		return v.ID, []yamlField{
			nameField(v.Name, v.ID),
			{name: "admits", value: list(v.Admits, y.rankID)},
			{name: "cuts", value: list(v.Cuts, y.rankID)},
			y.style(v.Control),
		}
	})
	section(y, "tremulants", in.Tremulants, func(t Tremulant) (string, []yamlField) {
		return t.ID, []yamlField{nameField(t.Name, t.ID), {name: "divisions", value: list(t.Divisions, y.divisionID)},
			{name: "speeds", value: list(t.Speeds, decimal)}, y.style(t.Control)}
	})
	section(y, "transfers", in.Transfers, func(t Transfer) (string, []yamlField) {
		return t.ID, []yamlField{nameField(t.Name, t.ID), {name: "exchanges", value: list(t.Keyboards[:], y.keyboardID)}, y.style(t.Control)}
	})
	section(y, "divides", in.Divides, func(d Divide) (string, []yamlField) {
		return d.ID, []yamlField{
			nameField(d.Name, d.ID),
			{name: "keyboard", value: y.keyboardID(d.Keyboard)},
			{name: "split", value: d.Split.String()},
			y.style(d.Control),
		}
	})
	y.modifiers()
}

func (y yamlWriter) coupler(c Coupler) (string, []yamlField) {
	f := []yamlField{nameField(c.Name, c.ID), {name: "division", value: y.divisionID(c.Division)}}
	if c.Keyboard != None {
		f = append(f, yamlField{name: "keyboard", value: y.keyboardID(c.Keyboard)})
	}
	return c.ID, append(f,
		yamlField{name: "shift", value: unless(0, c.Shift)},
		yamlField{name: "carries", value: unless(string(CarriesNone), string(c.Carries))},
		yamlField{name: "picks", value: string(c.Picks)},
		spanField("keys", c.Keys),
		yamlField{name: "touch", value: unless(1, c.Touch)},
		yamlField{name: "pizzicato", value: unless(0, c.Pulse)},
		y.style(c.Control))
}

func (y yamlWriter) unisonOff(u UnisonOff) (string, []yamlField) {
	return u.ID, []yamlField{
		nameField(u.Name, u.ID),
		{name: "silences", value: y.divisionID(u.Division)},
		{name: "cuts", value: unless(string(CutsKeys), string(u.Cuts))},
		y.style(u.Control),
	}
}

func (y yamlWriter) style(control int) yamlField {
	return yamlField{name: "style", value: unless(string(Moving), string(y.in.Controls[control].Style))}
}
