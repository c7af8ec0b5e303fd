package model

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// ends parses "1.5-2" or "225" as a range; "" gives otherwise.
func ends(t *testing.T, s string, otherwise float64) (lo, hi float64) {
	t.Helper()
	if s == "" {
		return otherwise, otherwise
	}
	a, b, both := strings.Cut(s, "-")
	if !both {
		b = a
	}
	lo, errA := strconv.ParseFloat(a, 64)
	hi, errB := strconv.ParseFloat(b, 64)
	if errA != nil || errB != nil {
		t.Fatalf("%q is not a range", s)
	}
	return lo, hi
}

// Hours that people and printed tables give for one cut at different pit temperatures, against
// the simulation; sources are in each row of the file. Without a printed weight or core,
// 7.7 lb and 200 °F are used. Rules and logs for pits are one kind, tables for ovens
// another; each kind has its own level, because their air and their ends differ.
func TestHeatSlope(t *testing.T) {
	f, err := os.Open("testdata/pork_shoulder_by_pit.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	type point struct {
		kind    string
		x, y, h float64 // pit in tens of kelvin; ln(stated/simulated hours); ln(stated hours)
	}
	var all []point
	for _, r := range rows[1:] {
		middle := func(s string, otherwise float64) float64 {
			lo, hi := ends(t, s, otherwise)
			return (lo + hi) / 2
		}
		kg := measure.Kilograms(middle(r[2], 7.7) * .45359237)
		pit, core := (middle(r[3], 0)-32)/1.8, (middle(r[4], 200)-32)/1.8
		lo, hi := ends(t, r[5], 0)
		w := Context{Pits: map[string]journal.Pit{"oven": {Kind: journal.Cabinet}}}
		c := journal.Cook{Cut: "pork shoulder", Pit: r[0], Pieces: []journal.Piece{{Trimmed: kg}}}
		c.Aim.Pit, c.Aim.Core = celsius(pit), celsius(core)
		e := New(w.Read(&c, time.Time{}))
		h, ok := e.Point(e.Fit())
		if !ok {
			t.Fatalf("%s: never done", r[1])
		}
		told := math.Sqrt(lo*hi) * kg.Base / .45359237
		all = append(all, point{r[0], pit / 10, math.Log(told / h), math.Log(told)})
		t.Logf("%-66s %3.0f °C: told %4.1f h, simulated %4.1f h, %+.0f %%", r[1], pit, told, h, 100*(told/h-1))
	}
	// slope returns the slope within kinds and its standard error, without row without (−1: none).
	slope := func(value func(point) float64, without int) (b, se float64) {
		means := map[string][3]float64{}
		for i, p := range all {
			if i != without {
				m := means[p.kind]
				means[p.kind] = [3]float64{m[0] + 1, m[1] + p.x, m[2] + value(p)}
			}
		}
		var xx, xy, yy, n float64
		for i, p := range all {
			if i != without {
				m := means[p.kind]
				dx, dy := p.x-m[1]/m[0], value(p)-m[2]/m[0]
				xx, xy, yy, n = xx+dx*dx, xy+dx*dy, yy+dy*dy, n+1
			}
		}
		b = xy / xx
		return b, math.Sqrt((yy - b*xy) / (n - float64(len(means)) - 1) / xx)
	}
	ratio := func(p point) float64 { return p.y }
	b, se := slope(ratio, -1)
	raw, _ := slope(func(p point) float64 { return p.h }, -1)
	least, most := b, b
	for i := range all {
		one, _ := slope(ratio, i)
		least, most = min(least, one), max(most, one)
	}
	t.Logf("%d rows: ln(told/simulated) %+.3f ± %.3f per 10 K, %+.3f to %+.3f without one of them; told %+.1f %% a kelvin", len(all), b, se, least, most, 10*raw)
	if math.Abs(b-.116) > .02 || se > .06 || least < .06 {
		t.Errorf("hours told fall less with heat than simulated ones, by %.3f ± %.3f, from %.3f on without one row; want .116", b, se, least)
	}
}
