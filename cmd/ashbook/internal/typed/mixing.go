package typed

import (
	"fmt"

	"ashbook/journal/measure"
	"ashbook/report/mix"
)

// Mix is how much of a mix is wanted, as typed. "" or 0 means not typed.
type Mix struct {
	Meat    string // a weight
	Heads   float64
	Make    string // a volume
	PerHead string // a volume
}

// Want parses how much is wanted. It fails with Wrong.
func (m *Mix) Want(sys measure.System) (w mix.Want, err error) {
	w.Heads = m.Heads
	if m.Heads < 0 {
		return w, Wrong{Field: fmt.Sprintf("heads %g", m.Heads), Text: "expected more than 0"}
	}
	if m.Meat != "" {
		kg, err := measure.ParseMass(m.Meat, sys)
		if err != nil || kg.Base <= 0 {
			return w, Wrong{Field: "meat", Value: m.Meat, Text: "expected a weight such as 9 kg"}
		}
		w.Meat = kg.Base
	}
	for _, v := range []struct {
		name, text string
		to         *float64
	}{{"make", m.Make, &w.Litres}, {"per-head", m.PerHead, &w.PerHead}} {
		if v.text == "" {
			continue
		}
		q, err := measure.ParseVolume(v.text, sys)
		if err != nil || q.Base <= 0 {
			return w, Wrong{Field: v.name, Value: v.text, Text: "expected a volume such as 2 l or 25 ml"}
		}
		*v.to = q.Base
	}
	return w, nil
}
