package attribution

import (
	"testing"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// BenchmarkExplain500 is the account of one cook of five hundred, alone and as one of
// many.
func BenchmarkExplain500(b *testing.B) {
	var cooks []journal.Cook
	for seed := uint64(1); len(cooks) < 500; seed++ {
		j := planted.Generate(seed)
		more, err := j.Read()
		if err != nil {
			b.Fatal(err)
		}
		for i := range more {
			more[i].ID += string(rune('a' + seed%26))
		}
		cooks = append(cooks, more...)
	}
	cooks = cooks[:500]
	for name, sheet := range map[string]*frame.Sheet{"alone": nil, "of many": new(frame.Sheet)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Explain(b.Context(), &cooks[250], cooks, model.Context{}, Options{Usual: true, Sheet: sheet}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
