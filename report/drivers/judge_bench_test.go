package drivers

import (
	"testing"

	"ashbook/report/frame"
	"ashbook/samples/planted"
)

// BenchmarkJudge1000 times the judgement of one cook among a thousand, alone and as one of
// many.
func BenchmarkJudge1000(b *testing.B) {
	cooks, err := planted.Many(1000)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("alone", func(b *testing.B) {
		for b.Loop() {
			Judge(&cooks[500], frame.Cooks(cooks))
		}
	})
	b.Run("of many", func(b *testing.B) {
		eaters := NewEaters(frame.Cooks(cooks))
		for b.Loop() {
			eaters.Judge(&cooks[500])
		}
	})
}
