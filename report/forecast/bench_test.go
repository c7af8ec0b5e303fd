package forecast

import (
	"fmt"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
)

func runningCook(pieces int) (journal.Cook, time.Time) {
	curve := truth(6, 107, heat.Usual)
	c := probed(shoulder(6, 107), curve, 60, 12, 107)
	for i := range pieces - 1 {
		name := fmt.Sprint("p", i)
		c.Pieces = append(c.Pieces, journal.Piece{Name: name, Raw: kilos(5)})
		c.Series.Cores = append(c.Series.Cores, journal.CoreSeries{Piece: name, C: c.Series.Cores[0].C})
	}
	return c, after(12)
}

func BenchmarkMisses(b *testing.B) {
	c, now := runningCook(1)
	j := (&model.Context{}).Read(&c, now)
	b.ReportAllocs()
	for b.Loop() {
		e := model.New(j)
		e.Misses(e.Fit(), draws)
	}
}

func BenchmarkForecast(b *testing.B) {
	c, now := runningCook(1)
	f := &Forecaster{}
	b.ReportAllocs()
	for b.Loop() {
		f.At(&c, now)
	}
}

func BenchmarkForecastThreePieces(b *testing.B) {
	c, now := runningCook(3)
	f := &Forecaster{}
	b.ReportAllocs()
	for b.Loop() {
		f.At(&c, now)
	}
}

func BenchmarkForecastThirtyPieces(b *testing.B) {
	c, now := runningCook(30)
	f := &Forecaster{}
	b.ReportAllocs()
	for b.Loop() {
		f.At(&c, now)
	}
}

func BenchmarkForecast100kReadings(b *testing.B) {
	curve := truth(6, 107, heat.Usual)
	c := probed(shoulder(6, 107), curve, .4, 12, 107)
	f := &Forecaster{}
	b.ReportAllocs()
	for b.Loop() {
		f.At(&c, after(12))
	}
}

// The work of the Watch screen after a note, with sixty past cooks.
func BenchmarkWatch(b *testing.B) {
	x := learned(b, pastShoulders(60)...)
	c, now := runningCook(1)
	b.ReportAllocs()
	for b.Loop() {
		f := all(b, x)
		told := f.At(&c, now)
		f.WhatIf(&c, now, told)
		f.Moved(&c, now, told)
	}
}

func BenchmarkLearnSixty(b *testing.B) {
	past := pastShoulders(60)
	b.ReportAllocs()
	for b.Loop() {
		all(b, learned(b, past...))
	}
}
