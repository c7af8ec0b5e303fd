package drivers

import (
	"testing"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/samples/planted"
)

// BenchmarkWeigh500 times Weigh over as many cooks as a keen person makes in twenty years;
// the cooks are read before.
func BenchmarkWeigh500(b *testing.B) {
	cooks, err := planted.Many(500)
	if err != nil {
		b.Fatal(err)
	}
	opt := Options{Engine: Engine(forecast.Untaught(nil, journal.Settings{}))}
	for b.Loop() {
		weigh(b, cooks, Time, opt)
	}
}
