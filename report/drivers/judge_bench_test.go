package drivers

import (
	"testing"

	"ashbook/journal"
	"ashbook/samples/planted"
)

// BenchmarkJudge1000 judges the eaters of one cook of a thousand, alone and as one of
// many.
func BenchmarkJudge1000(b *testing.B) {
	var cooks []journal.Cook
	for seed := uint64(1); len(cooks) < 1000; seed++ {
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
	b.Run("alone", func(b *testing.B) {
		for b.Loop() {
			Judge(&cooks[500], cooks)
		}
	})
	b.Run("of many", func(b *testing.B) {
		eaters := NewEaters(cooks)
		for b.Loop() {
			eaters.Judge(&cooks[500])
		}
	})
}
