package attribution

import (
	"testing"

	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// BenchmarkExplain500 is the account of one cook of five hundred, alone and as one of
// many.
func BenchmarkExplain500(b *testing.B) {
	cooks, err := planted.Many(500)
	if err != nil {
		b.Fatal(err)
	}
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
