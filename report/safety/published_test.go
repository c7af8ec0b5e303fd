package safety

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/thermo"
	"ashbook/samples/published"
)

// USDA-FSIS Appendix A prints whole minutes, from 146 °F on whole seconds. No time is
// shorter than either column, and at most one unit longer, except at 134 and 136 °F,
// where one column is a minute longer than the other allows.
func TestAppendixA(t *testing.T) {
	seven := Meat
	seven.Required = 7
	for _, r := range published.Rows(t, "fsis_appendix_a_meat.csv") {
		f := published.Number(t, r["temp_F"])
		for column, k := range map[string]Kill{"t_6p5log_s": Meat, "t_7log_s": seven} {
			want := published.Number(t, r[column]) // s
			minutes, ok := k.Dwell(fahrenheit(f))
			most := 61.0
			switch {
			case !ok:
				t.Errorf("%v °F: below the table", f)
				continue
			case f >= 158: // printed as 0 s: reached at once
				most = 13
				if Meat.Instant > fahrenheit(158) {
					t.Errorf("at once from %v °C", Meat.Instant)
				}
			case f >= 146:
				most = 1.6
			case f == 134, f == 136:
				most = 121
			}
			if got := minutes * 60; got < want-1e-9 || got > want+most {
				t.Errorf("%v °F, %s: %.1f s, printed %v", f, column, got, want)
			}
		}
	}
	if _, ok := Meat.Dwell(fahrenheit(129.9)); ok {
		t.Error("counted below the first row of the table")
	}
}

// USDA-FSIS poultry tables, chicken of 12 % fat, to the printed tenth of a minute. The
// row of 145 °F is from memory and is not used.
func TestPoultryTable(t *testing.T) {
	for _, r := range published.Rows(t, "fsis_poultry_7log.csv") {
		f, want := published.Number(t, r["temp_F"]), published.Number(t, r["t_7log_min"])
		if got, ok := Bird.Dwell(fahrenheit(f)); !ok || math.Abs(got-want) > .05 {
			t.Errorf("%v °F: %.2f min, printed %v", f, got, want)
		}
	}
	if _, ok := Bird.Dwell(fahrenheit(135)); ok {
		t.Error("counted below the first row of the table")
	}
	for f := 136.0; f < 170; f += .5 {
		bird, _ := Bird.Dwell(fahrenheit(f))
		meat, _ := Meat.Dwell(fahrenheit(f))
		if bird <= meat {
			t.Errorf("%v °F: a bird asks for %.2f min, meat for %.2f", f, bird, meat)
		}
	}
}

// A published process-lethality worksheet: reference 150 °F, z 10 °F. Its F
// column is printed to .001 min.
func TestLethalityWorksheet(t *testing.T) {
	var minutes, celsius, want []float64
	for _, r := range published.Rows(t, "lethality_worked_example.csv") {
		minutes = append(minutes, published.Number(t, r["time_min"]))
		celsius = append(celsius, fahrenheit(published.Number(t, r["core_F"])))
		want = append(want, published.Number(t, r["cumulative_F_min_published"]))
	}
	v := make(curve, len(minutes))
	for i := range v {
		v[i] = point{at: time.Unix(0, 0).Add(time.Duration(minutes[i] * float64(time.Minute))), c: celsius[i]}
	}
	// The sheet counts at every temperature: the same D and z from 0 °F on.
	sheet := Kill{z: Meat.z, rows: []row{{fahrenheit(0), .172 * math.Pow(10, 150./10)}}}
	for i := range v {
		if f := v[:i+1].logs(sheet).High * .172; math.Abs(f-want[i]) > .001 {
			t.Errorf("%v min: F %.4f, printed %.3f", minutes[i], f, want[i])
		}
	}
	// Our table counts from 130 °F on only, and uses the longer column, which takes .04
	// min off the sheet's result.
	if f, last := v.logs(Meat).High*.172, want[len(want)-1]; f > last || f < last-.045 {
		t.Errorf("from 130 °F up F %.3f, printed %.3f", f, last)
	}
}

// Published D values. The worksheet's own is exact. The mixed strains die at least as
// fast as the table assumes; the two resistant ones of the turkey study do not, so no
// figure here is called enough.
func TestPublishedD(t *testing.T) {
	for _, r := range published.Rows(t, "salmonella_d_values.csv") {
		c, want := published.Number(t, r["T_C"]), published.Number(t, r["D_min"])
		k := Meat
		if strings.Contains(r["medium"], "turkey") {
			k = Bird
		}
		got, ok := k.D(c)
		switch medium := r["medium"]; {
		case !ok:
			if c >= k.rows[0].c {
				t.Errorf("%s at %v °C: not in the table", medium, c)
			}
		case strings.Contains(medium, "worked example"):
			if math.Abs(got-want) > .0005 {
				t.Errorf("%s: D %.4f, printed %v", medium, got, want)
			}
		case strings.Contains(medium, "cocktail"):
			if got < want {
				t.Errorf("%s at %v °C: D %.2f is below the published %.2f", medium, c, got, want)
			}
		default:
			t.Logf("%s at %v °C: published D %.2f, table %.2f", medium, c, want, got)
		}
	}
}

func growthOf(t *testing.T, product string) Growth {
	t.Helper()
	switch product {
	case "uncured beef":
		return beefGrowth
	case "uncured chicken":
		return chickenGrowth
	case "uncured pork":
		return porkGrowth
	}
	t.Fatal("no growth known of", product)
	return Growth{}
}

// The constants are as published, and so are the documents about carbon monoxide that a
// finding cites.
func TestPublishedConstants(t *testing.T) {
	used := 0
	for _, r := range published.Rows(t, "cperf_growth_models.csv") {
		if !strings.HasPrefix(r["product"], "uncured") {
			continue
		}
		used++
		g := growthOf(t, r["product"])
		if g.p != published.Number(t, r["p"]) || g.least != published.Number(t, r["Tmin_C"]) || g.c != published.Number(t, r["c_per_C"]) || g.most != published.Number(t, r["Tmax_C"]) {
			t.Errorf("%s: %+v, published %v", r["product"], g, r)
		}
	}
	if used != 3 {
		t.Errorf("%d meats", used)
	}
	cited := ""
	for _, r := range published.Rows(t, "co_cautions.csv") {
		cited += r["source"] + "\n"
	}
	for _, doc := range []string{"5012", "99-051"} {
		if !strings.Contains(sourceMonoxide, doc) || !strings.Contains(cited, doc) {
			t.Errorf("document %s is not cited, or not in the table", doc)
		}
	}
}

// Water boils at a lower temperature at altitude (ISA and Hyland–Wexler: 93.3 °C at
// 2000 m), and no core gets hotter.
func TestBoilsLowerUpHigh(t *testing.T) {
	c := cook(t, nil, "18 20:00 lit, on, pit 110 °C", "19 06:00 core 97 °C")
	for metres, doubted := range map[float64]bool{0: false, 2000: true} {
		s := journal.Settings{Altitude: measure.Length{Base: metres, Known: true}}
		got := slices.ContainsFunc(Look(c, s, day(t, "19 06:10")).Findings, func(f Finding) bool { return f.Kind == Doubtful })
		if got != doubted {
			t.Errorf("97 °C at %v m: doubted %v", metres, got)
		}
	}
}

// An aim counts as too hot from a kelvin below the boiling point on (ISA and
// Hyland–Wexler: 94.6 °C at 1,609 m, 92.9 °C at 2,134 m).
func TestAimUnderTheBoilingPoint(t *testing.T) {
	for _, tt := range []struct {
		metres, aim float64
		over        bool
	}{{0, 98.9, false}, {0, 99.2, true}, {1609, 93.4, false}, {1609, 93.9, true}, {2134, 91.7, false}, {2134, 92.1, true}} {
		c := cook(t, func(c *journal.Cook) {
			c.Aim.Core, c.Aim.Pit = measure.Degrees(tt.aim, measure.Metric), measure.Degrees(121, measure.Metric)
		})
		s := journal.Settings{Altitude: measure.Length{Base: tt.metres, Known: true}}
		r := Look(c, s, day(t, "18 12:00"))
		if over := slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == FarAim && f.Weight == Note }); over != tt.over {
			t.Errorf("%g °C at %g m: %+v", tt.aim, tt.metres, r.Findings)
		}
	}
}

// straight returns a curve that changes linearly over hours, with a reading every
// minute.
func straight(from, to, hours float64) curve {
	n := int(hours * 60)
	v := make(curve, n+1)
	for i := range v {
		v[i] = point{at: time.Unix(int64(i*60), 0), c: from + (to-from)*float64(i)/float64(n)}
	}
	return v
}

// Growth of C. perfringens: constants of Juneja et al. 2011, figures computed from its
// equation, Baranyi lag with the published q₀. Rows for cured meat and observations of
// other laboratories are not from this model and are skipped.
func TestGrowthRows(t *testing.T) {
	used := 0
	for _, r := range published.Rows(t, "cperf_growth_checks.csv") {
		product, profile, what := r["product"], r["T_C_or_profile"], r["what"]
		want, err := strconv.ParseFloat(r["value_per_h_or_log"], 64)
		if err != nil || !strings.HasPrefix(product, "uncured") {
			continue
		}
		used++
		g := growthOf(t, product)
		var got, within float64
		switch {
		case strings.HasPrefix(what, "rate at"):
			got, within = g.Rate(published.Number(t, profile)), 1e-5
		case strings.HasPrefix(what, "maximum"):
			got, within = g.Rate(published.Number(t, profile)), 1e-4
			if g.fastest(10, 55) > got+1e-2 {
				t.Errorf("%s: faster than the published maximum", product)
			}
		default:
			temps, hours, _ := strings.Cut(profile, " in ")
			from, to, _ := strings.Cut(temps, "->")
			h, _, _ := strings.Cut(hours, " h")
			got, within = straight(published.Number(t, from), published.Number(t, to), published.Number(t, h)).growth(g).High, 1e-3
			if strings.Contains(what, "lag (q0") {
				got, within = g.AfterLag(got), 2e-3
			}
		}
		if math.Abs(got-want) > within {
			t.Errorf("%s, %s: %.5f, published %v", product, profile, got, want)
		}
	}
	if used < 40 {
		t.Errorf("only %d rows used", used)
	}
	for _, g := range []Growth{beefGrowth, chickenGrowth, porkGrowth} {
		if g.Rate(9) != 0 || g.Rate(54) != 0 {
			t.Errorf("%s grows outside its range", g.name)
		}
	}
}

// Appendix B and the Food Code: the limits are as printed, and curves just inside and
// outside each limit are told apart.
func TestCoolingLimits(t *testing.T) {
	steps := map[string]Step{}
	for _, k := range Stabilising {
		for _, s := range k.Steps {
			steps[strings.Fields(k.Name)[3]+" "+strconv.Itoa(int(math.Round(s.From*1.8+32)))+" "+strconv.Itoa(int(math.Round(s.To*1.8+32)))] = s
		}
	}
	used := 0
	for _, r := range published.Rows(t, "fsis_appendix_b_cooling.csv") {
		if r["unit"] == "log10" && published.Number(t, r["limit"]) != growthLimit {
			t.Errorf("growth limit %v, published %s", growthLimit, r["limit"])
		}
		if r["unit"] != "h" {
			continue
		}
		f := strings.Fields(r["step"]) // 130 F -> 80 F
		key := strings.Fields(r["option"])[1] + " " + f[0] + " " + f[3]
		s, ok := steps[key]
		if !ok || s.Within != published.Number(t, r["limit"]) {
			t.Errorf("%s: %v, published %s h", key, s, r["limit"])
		}
		used++
	}
	if used != len(steps) {
		t.Errorf("%d rows for %d steps", used, len(steps))
	}
	for _, k := range append([]Cooling{FoodCode}, Stabilising...) {
		s := k.Steps[0]
		for hours, late := range map[float64]bool{s.Within - .05: false, s.Within + .05: true} {
			var readings []journal.Reading
			for _, p := range straight(s.From+1e-9, s.To-1e-9, hours) {
				readings = append(readings, journal.Reading{Time: p.at, C: p.c})
			}
			got := k.Overran(readings)
			if (len(got) > 0 && got[0].Step == s) != late {
				t.Errorf("%s, %v h: overran %v", k.Name, hours, got)
			}
		}
	}
}

// The limits are as printed in the public documents.
func TestLimits(t *testing.T) {
	want := map[string]float64{
		"beef/pork/veal/lamb whole cuts (steaks, chops, roasts)": WholeCut,
		"ground beef/pork/veal/lamb":                             MincedCut,
		"all poultry incl. ground and stuffing":                  BirdCore,
		"Food Code 3-501.16(A)(1)":                               journal.SafeHold,
		"Food Code 3-501.16(A)(2)":                               ColdHold,
		"USDA consumer advice":                                   journal.UsualHold,
		"Food Code 3-403.11":                                     ReheatTo,
	}
	hours := map[string]float64{
		"out of refrigeration, air <= 90 F":                     outInAir,
		"out of refrigeration, air > 90 F (32 C)":               outInHotAir,
		"Food Code 3-501.14(A)(1): 135 F -> 70 F":               FirstCooling,
		"Food Code 3-501.14(A)(2): 135 F -> 41 F total":         WholeCooling,
		"Food Code 3-501.19(B) hot or cold food, discard after": FourHours,
	}
	for _, r := range published.Rows(t, "safety_limits.csv") {
		if c, ok := want[r["what"]]; ok && r["value_C"] != "" {
			delete(want, r["what"])
			if math.Abs(published.Number(t, r["value_C"])-c) > .05 {
				t.Errorf("%s: %v °C, published %s", r["what"], c, r["value_C"])
			}
		}
		if h, ok := hours[r["what"]]; ok {
			delete(hours, r["what"])
			if published.Number(t, r["value"]) != h {
				t.Errorf("%s: %v h, published %s", r["what"], h, r["value"])
			}
		}
	}
	if len(want)+len(hours) > 0 {
		t.Errorf("no row for %v %v", want, hours)
	}
}

// After a quarter of an hour the estimate of the surface is below the heat model's
// surface, for every size and pit.
func TestSurfaceIsUnderTheHeatModel(t *testing.T) {
	m := heat.NewModel(heat.Default, thermo.SaturationPressure)
	for _, pit := range []float64{95, 110, 130, 150} {
		for _, kg := range []float64{1, 2.5, 5, 8} {
			var s heat.Sim
			m.Start(&s, heat.Meat{Mass: kg, Width: 1.8, Length: 2.6, Fill: .75, Supply: 1, Start: 5, Water: .65, Fat: .16, Density: 1050, HeatCapacity: 3400, Conductivity: .45},
				heat.Usual, heat.Air{Pressure: 101325, Vapour: 1000}, 20, 60)
			for minute := 1; minute <= 480; minute++ {
				s.Step(pit)
				if got := surfaceAt(s.Core(), pit); minute >= 15 && got > s.Skin()+.5 {
					t.Errorf("%v kg at %v °C after %d min: taken as %.1f, model %.1f", kg, pit, minute, got, s.Skin())
					break
				}
			}
		}
	}
}
