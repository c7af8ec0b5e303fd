package drivers

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/report/forecast"
	"ashbook/report/numeric/regress"
	"ashbook/samples/planted"
)

// plantedCause is one cause of the law, with its column, the change that a line of the report
// is about, and its true effect.
type plantedCause struct {
	name, column string
	of           func(planted.Cook) float64              // value of the cause, for plain regression
	effect       func(l planted.Law, kg float64) float64 // true effect of the printed change, ln
}

var plantedCauses = []plantedCause{
	{"weight", "heaviest piece", func(c planted.Cook) float64 { return math.Log(c.Kg) }, func(l planted.Law, kg float64) float64 { return l.Weight * math.Log((kg+1)/kg) }},
	{"pit temperature", "pit, mean", func(c planted.Cook) float64 { return c.PitC / 10 }, func(l planted.Law, _ float64) float64 { return l.Pit }},
	{"foil", "wrap", func(c planted.Cook) float64 { return is(c.WrapKind, "foil") }, func(l planted.Law, _ float64) float64 { return l.Wrap["foil"] }},
	{"paper", "wrap", func(c planted.Cook) float64 { return is(c.WrapKind, "paper") }, func(l planted.Law, _ float64) float64 { return l.Wrap["paper"] }},
	{"lids", "lid opened", func(c planted.Cook) float64 { return float64(c.Lids) }, func(l planted.Law, _ float64) float64 { return l.Lid }},
	{"pan", "water pan", func(c planted.Cook) float64 { return is(c.PanKind, "hot") }, func(l planted.Law, _ float64) float64 { return l.Pan }},
	{"which pit", "pit", func(c planted.Cook) float64 { return is(c.PitName, "stone") }, func(l planted.Law, _ float64) float64 { return l.Which }},
	{"off core", "core when it came off", func(c planted.Cook) float64 { return c.OffC }, func(l planted.Law, _ float64) float64 { return 5 * l.Off }},
	{"start core", "core when it went on", func(c planted.Cook) float64 { return c.StartC }, func(l planted.Law, _ float64) float64 { return 5 * l.Start }},
}

var plantedNulls = []string{"wood", "supplier", "rub", "fuel", "salt rate", "outdoor air", "wind"}

func is(a, b string) float64 {
	if a == b {
		return 1
	}
	return 0
}

// told returns the line of a report on a cause, with the sign for more of it.
func told(r Report, pc plantedCause) (l Line, sign float64, ok bool) {
	for _, c := range r.Candidates {
		if c.Column.Name != pc.column {
			continue
		}
		for _, l := range c.Lines {
			this, base, words := strings.Cut(strings.NewReplacer(" instead of ", " rather than ", "bare", "none").Replace(l.Change), " rather than ")
			want, bare := pc.name, "none"
			switch pc.name {
			case "pan":
				want = "hot"
			case "which pit":
				want, bare = "stone", "barrel"
			}
			switch {
			case !words && (c.Column.Kind != 0), words && this == want && base == bare:
				return l, 1, true
			case words && this == bare && base == want:
				return l, -1, true
			}
		}
	}
	return Line{}, 0, false
}

type score struct{ there, told, right, plain, plainRight, asked, held, heldTold, heldAsTold int }

// strong is the least true effect that should be found, ln.
const strong = .06

// TestPlanted weighs journals made by a known law: ASHBOOK_PLANTED=FROM:TO, or wide:FROM:TO,
// takes other seeds than the few of every run.
func TestPlanted(t *testing.T) {
	journals, which, err := planted.Asked(os.Getenv("ASHBOOK_PLANTED"), 12)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]*score{}
	all := &score{}
	nulls, alarms, zeros, zeroAlarms, likelyWrong, likely := 0, 0, 0, 0, 0, 0
	for _, j := range journals {
		cooks, err := j.Read()
		if err != nil {
			t.Fatal(err)
		}
		r := weigh(t, cooks, Time, Options{Engine: Engine(forecast.Untaught(nil, journal.Settings{}))})
		sound(t, r)
		var hours, kgs, y []float64
		for _, c := range j.Cooks {
			hours, kgs, y = append(hours, 60*c.Hours), append(kgs, c.Kg), append(y, math.Log(c.Hours))
		}
		slices.Sort(hours)
		slices.Sort(kgs)
		typical, kg := hours[len(hours)/2], kgs[len(kgs)/2]
		var columns [][]float64
		var of []int
		for k, pc := range plantedCauses {
			x := make([]float64, len(j.Cooks))
			lo, hi := math.Inf(1), math.Inf(-1)
			for i, c := range j.Cooks {
				x[i] = pc.of(c)
				lo, hi = math.Min(lo, x[i]), math.Max(hi, x[i])
			}
			if hi > lo {
				columns, of = append(columns, x), append(of, k)
			}
		}
		plain, plainErr := regress.Least(columns, y, true)
		for k, pc := range plantedCauses {
			ln := pc.effect(j.Law, kg)
			truth := typical * math.Expm1(ln)
			s := by[pc.name]
			if s == nil {
				s = &score{}
				by[pc.name] = s
			}
			isStrong := math.Abs(ln) >= strong || pc.name == "lids" && math.Abs(5*ln) >= strong
			l, sign, ok := told(r, pc)
			for _, s := range []*score{s, all} {
				if isStrong {
					s.there++
				}
				if i := slices.Index(of, k); i >= 0 && plainErr == nil {
					b, se := plain.Coefficients[1+i], plain.StandardErrors[1+i]
					unit := ln / map[bool]float64{true: 1, false: 5}[!strings.Contains(pc.name, "core")]
					if pc.name == "weight" {
						unit = j.Law.Weight
					}
					if isStrong && math.Abs(b) > 2*se {
						s.plain++
						if b*unit > 0 {
							s.plainRight++
						}
					}
				}
				if !ok {
					continue
				}
				s.asked++
				held := sign*l.Lo <= truth && truth <= sign*l.Hi || sign*l.Hi <= truth && truth <= sign*l.Lo
				if held {
					s.held++
				}
				if l.Reads.Told() {
					s.heldAsTold++
					if held {
						s.heldTold++
					}
				}
				if l.Reads.Told() && isStrong {
					s.told++
					if sign*l.Effect*truth > 0 {
						s.right++
					}
				}
			}
			if ok && l.Reads == Likely && ln != 0 {
				likely++
				if sign*l.Effect*truth <= 0 {
					likelyWrong++
				}
			}
			if ok && ln == 0 {
				zeros++
				if l.Reads.Told() {
					zeroAlarms++
				}
			}
		}
		for _, c := range r.Candidates {
			if slices.Contains(plantedNulls, c.Column.Name) {
				nulls++
				if c.Reads.Told() {
					alarms++
				}
			}
		}
	}
	rows := []string{"| cause | strong | told | right sign | plain regression: told, right | lines | range held | of told |"}
	row := func(name string, s *score) {
		rows = append(rows, fmt.Sprintf("| %-16s | %3d | %3d | %3d | %3d, %3d | %3d | %3.0f %% | %3.0f %% of %d |", name, s.there, s.told, s.right, s.plain, s.plainRight, s.asked,
			100*float64(s.held)/math.Max(1, float64(s.asked)), 100*float64(s.heldTold)/math.Max(1, float64(s.heldAsTold)), s.heldAsTold))
	}
	for _, pc := range plantedCauses {
		row(pc.name, by[pc.name])
	}
	row("all", all)
	t.Logf("%s\n%s\nlikely %d, wrong sign %d; of %d things that do nothing %d told; of %d causes of no effect %d told", which, strings.Join(rows, "\n"), likely, likelyWrong, nulls, alarms, zeros, zeroAlarms)
	share := float64(all.held) / math.Max(1, float64(all.asked))
	if likelyWrong*20 > likely || all.right*20 < all.told*19 || all.told < all.plain || share < .75 || share > .95 || (alarms+zeroAlarms)*20 > nulls+zeros {
		t.Errorf("of %d likely lines %d have the wrong sign, matters finds %d strong effects, %d of them rightly; plain regression finds %d; ranges hold %.0f %%; %d of %d things that do nothing are shown as likely",
			likely, likelyWrong, all.told, all.right, all.plain, 100*share, alarms+zeroAlarms, nulls+zeros)
	}
}
