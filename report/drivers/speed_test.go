package drivers

import (
	"testing"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/samples/planted"
)

// BenchmarkWeigh500 is matters over as many cooks as a keen person makes in
// twenty years; the cooks are read already.
func BenchmarkWeigh500(b *testing.B) {
	var cooks []journal.Cook
	for seed := uint64(1); len(cooks) < 500; seed++ {
		j := planted.Generate(seed)
		more, err := j.Read()
		if err != nil {
			b.Fatal(err)
		}
		cooks = append(cooks, more...)
	}
	opt := Options{Engine: Engine(forecast.Untaught(nil, journal.Settings{}))}
	for b.Loop() {
		weigh(b, cooks[:500], Time, opt)
	}
}
