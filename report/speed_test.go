package report

import (
	"testing"

	"ashbook/journal"
	"ashbook/report/attribution"
	"ashbook/report/baseline"
	"ashbook/report/drivers"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/report/page/html"
	"ashbook/report/page/text"
	"ashbook/samples/planted"
)

// BenchmarkPage500 builds the pages of one cook in a journal of five hundred.
func BenchmarkPage500(b *testing.B) {
	cooks, err := planted.Many(500)
	if err != nil {
		b.Fatal(err)
	}
	read := frame.Cooks(cooks)
	c, eaters := &cooks[250], drivers.NewEaters(read)
	opt := attribution.Options{Usual: true}
	told := Told{Eaters: eaters}
	account := func() attribution.Account {
		a, err := attribution.Explain(b.Context(), c, read, model.Context{}, opt)
		if err != nil {
			b.Fatal(err)
		}
		return a
	}
	b.Run("why", func(b *testing.B) {
		for b.Loop() {
			text.Render(Why(baseline.Compare(c, read), account(), drivers.Report{}, journal.Settings{}), 80)
		}
	})
	b.Run("cook drawn for a browser", func(b *testing.B) {
		told.Account = account()
		p := CookPage(c, read, journal.Settings{}, c.Entries[0].Time, nil, told)
		for b.Loop() {
			html.Render(p, html.Options{})
		}
	})
	b.Run("cook", func(b *testing.B) {
		for b.Loop() {
			told.Account = account()
			text.Render(CookPage(c, read, journal.Settings{}, c.Entries[0].Time, nil, told), 80)
		}
	})
}
