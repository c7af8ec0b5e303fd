package attribution

import (
	"testing"

	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// BenchmarkExplain500 times the account of one cook among five hundred, alone and as
// one of many.
func BenchmarkExplain500(b *testing.B) {
	cooks, err := planted.Many(500)
	if err != nil {
		b.Fatal(err)
	}
	read := frame.Cooks(cooks)
	for name, others := range map[string]func() []*frame.Cook{
		"alone":   func() []*frame.Cook { return frame.Cooks(cooks) },
		"of many": func() []*frame.Cook { return read },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Explain(b.Context(), &cooks[250], others(), model.Context{}, Options{Usual: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
