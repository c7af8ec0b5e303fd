package invent

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
)

func TestGenerateRepeats(t *testing.T) {
	o := Options{Probes: .3, Without: true}
	a, b := Generate(5, 12, o), Generate(5, 12, o)
	other := Generate(6, 12, o)
	same := 0
	for i := range a {
		if a[i].ID != b[i].ID || !bytes.Equal(a[i].File, b[i].File) || !bytes.Equal(a[i].Series, b[i].Series) || a[i].Truth.Ready != b[i].Truth.Ready {
			t.Errorf("%s: the same seed gave another cook", a[i].ID)
		}
		if bytes.Equal(a[i].File, other[i].File) {
			same++
		}
	}
	if same > 0 {
		t.Errorf("%d cooks are the same for two seeds", same)
	}
}

// Every invented cook is read without a warning and is finished, and its noted hours
// are within rounding of the truth.
func TestGeneratedCooksRead(t *testing.T) {
	hours := map[string][]float64{}
	for _, c := range Generate(7, 80, Options{Probes: .2, Without: true}) {
		f, err := cookfile.Parse(c.Path()+".md", c.File, cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range f.Problems {
			t.Errorf("%v", p)
		}
		took, ok := f.Cook.Took()
		if d := took.Minutes() - c.Truth.Off; !ok || d < -5 || d > 5 {
			t.Errorf("%s: took %v, in truth %.0f min", c.ID, took, c.Truth.Off)
		}
		if len(f.Cook.Tasting) == 0 || !f.Cook.Yield.Off.Known {
			t.Errorf("%s: no tasting or yield", c.ID)
		}
		on, _ := f.Cook.OnWeight()
		if share := f.Cook.Yield.Off.Base / on; share < .5 || share > .96 {
			t.Errorf("%s: %.0f %% came off", c.ID, 100*share)
		}
		hours[f.Cook.Cut] = append(hours[f.Cook.Cut], c.Truth.Ready/60)
	}
	// Common practice, no source.
	for cut, span := range map[string][2]float64{
		"pork shoulder": {7.5, 20}, "brisket": {8, 20}, "lamb shoulder": {5, 13}, "beef plate ribs": {4.5, 12}, "turkey breast": {2.5, 7},
	} {
		if len(hours[cut]) == 0 || slices.Min(hours[cut]) < span[0] || slices.Max(hours[cut]) > span[1] {
			t.Errorf("%s: hours %.1f", cut, hours[cut])
		}
	}
}

// Each counterfactual changes the time in the direction of its cause.
func TestCounterfactualsHaveTheRightDirection(t *testing.T) {
	hot, piece, pan := 0, 0, 0.
	for _, c := range Generate(11, 25, Options{}) {
		ready, e := c.Truth.Ready, c.Truth.Else
		if len(e) != len(Otherwise) || ready == 0 {
			t.Fatalf("%s: %v", c.ID, c.Truth)
		}
		if e["pit +10"] >= ready || e["weight +20 %"] <= ready || e["thick +10 %"] <= ready || e["start +10"] >= ready || e["off −5"] >= ready || e["lids shut"] > ready || e["foil"] > e["bare"] && e["bare"] > 0 {
			t.Errorf("%s: ready %.0f, otherwise %v", c.ID, ready, e)
		}
		file := string(c.File)
		if strings.Contains(file, "pan: hot") {
			hot++
			pan += math.Log(ready / e["pan dry"])
			if e["pan dry"] >= ready {
				t.Errorf("%s: a dry pan gains nothing", c.ID)
			}
		} else if e["pan dry"] != ready {
			t.Errorf("%s: no hot pan, but a dry one makes %.0f of %.0f", c.ID, e["pan dry"], ready)
		}
		if strings.Count(file, "trimmed:") > 1 {
			piece++
			if e["one piece"] >= ready {
				t.Errorf("%s: room gains nothing", c.ID)
			}
		}
	}
	if hot < 5 || piece < 5 {
		t.Errorf("%d cooks with a hot pan, %d with several pieces", hot, piece)
	}
	// A wrap or a hotter pit at a fixed time cancels a part of it.
	if pan /= float64(hot); pan < .6*PanHotTime || pan > 1.05*PanHotTime {
		t.Errorf("the hot pan lengthens by %.3f in ln, want a little under %.3f", pan, PanHotTime)
	}
}

// Cherry instead of oak takes the same time to the minute, and the smoke score falls by
// exactly its constant.
func TestCherryChangesNoTime(t *testing.T) {
	p := plan{Date: "2024-05-04", Title: "Trial", Cut: "pork shoulder", Pieces: []piece{{Raw: 4.2}}, Pit: "drum", Aim: 114, On: "20:00", Serve: "37:00", Hand: "RT"}
	made := func(wood string) Cook {
		p := p
		p.Wood, p.Pieces = wood, slices.Clone(p.Pieces)
		return p.cook(3, newPhrases(stream(3, "phrases")), false)
	}
	oak, cherry := made("oak"), made("cherry")
	if oak.Truth.Ready != cherry.Truth.Ready || oak.Truth.Off != cherry.Truth.Off {
		t.Errorf("oak ready %.0f off %.0f, cherry ready %.0f off %.0f", oak.Truth.Ready, oak.Truth.Off, cherry.Truth.Ready, cherry.Truth.Off)
	}
	if d := cherry.Truth.Quality["smoke"] - oak.Truth.Quality["smoke"]; d < CherrySmoke-1e-9 || d > CherrySmoke+1e-9 {
		t.Errorf("cherry moves smoke by %.2f, want %.2f", d, CherrySmoke)
	}
}

// The clock of the hall agrees with the IANA zone Europe/London if the machine has that
// zone.
func TestClock(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Skip(err)
	}
	for at := time.Date(2024, 1, 1, 0, 30, 0, 0, time.UTC); at.Year() < 2027; at = at.Add(time.Hour) {
		if got, want := atZone(at).Format(journal.TimeLayout), at.In(london).Format(journal.TimeLayout); got != want && want[len(want)-1] != 'Z' {
			t.Fatalf("%s, want %s", got, want)
		}
	}
	for _, want := range []string{"2024-10-27T13:00+00:00", "2025-03-30T13:00+01:00", "2026-09-19T13:00+01:00"} {
		day, _ := time.Parse(time.DateOnly, want[:10])
		if got := localTime(day, 13, 0).Format(journal.TimeLayout); got != want {
			t.Errorf("%s, want %s", got, want)
		}
		if got := localTime(day.AddDate(0, 0, -1), 37, 0).Format(journal.TimeLayout); got != want {
			t.Errorf("37:00 the day before: %s, want %s", got, want)
		}
	}
}

func BenchmarkGenerate(b *testing.B) {
	b.ReportAllocs()
	for i := range b.N {
		Generate(uint64(i), 50, Options{Without: true})
	}
}
