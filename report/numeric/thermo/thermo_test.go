package thermo

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// rows reads a table of checks; the last column is the source of each row.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tolerance)
	}
}

// Choi & Okos (1986) via ASHRAE Refrigeration. The pork row is a handbook composition
// (from memory; it adds up to 1.0034, and the rows are scaled to 1); the beef rows are
// illustrative compositions.
func TestChoiOkos(t *testing.T) {
	foods := map[string]Composition{
		"pure water":                 {Water: 1},
		"pure protein":               {Protein: 1},
		"pure fat":                   {Fat: 1},
		"pure ash":                   {Ash: 1},
		"pork shoulder lean":         {Water: .7263 / 1.0034, Protein: .1955 / 1.0034, Fat: .0714 / 1.0034, Ash: .0102 / 1.0034},
		"beef brisket raw (example)": {Water: .56, Protein: .17, Fat: .26, Ash: .01},
		"beef round lean (example)":  {Water: .72, Protein: .22, Fat: .05, Ash: .01},
	}
	for _, r := range rows(t, "choi_okos_checks.csv") {
		food, ok := foods[r["material"]]
		if !ok {
			t.Fatalf("no composition for %q", r["material"])
		}
		at := num(t, r["t_C"])
		what := r["material"] + " at " + r["t_C"]
		near(t, what+" k parallel", food.ConductivityParallel(at), num(t, r["k_parallel_W_mK"]), 6e-6)
		near(t, what+" density", food.Density(at), num(t, r["rho_kg_m3"]), 6e-3)
		near(t, what+" cp", food.HeatCapacity(at), 1000*num(t, r["cp_kJ_kgK"]), 6e-3)
		if r["k_perpendicular_W_mK"] != "" {
			near(t, what+" k perpendicular", food.ConductivityPerpendicular(at), num(t, r["k_perpendicular_W_mK"]), 6e-6)
		}
		if r["alpha_parallel_m2_s"] != "" {
			near(t, what+" diffusivity", food.ConductivityParallel(at)/food.Density(at)/food.HeatCapacity(at), num(t, r["alpha_parallel_m2_s"]), 6e-12)
		}
	}
}

// ASHRAE Fundamentals 2017 ch. 1 table 3 (within .03 %), steam-table values from memory
// (.02 %), and the same equation computed elsewhere (rounding).
func TestSaturationPressure(t *testing.T) {
	for _, r := range rows(t, "psychro_saturation.csv") {
		at, what := num(t, r["t_C"]), "saturation at "+r["t_C"]
		got := SaturationPressure(at)
		near(t, what, got, num(t, r["pws_Pa_HylandWexler_computed"]), 6e-4)
		for column, share := range map[string]float64{"pws_Pa_ASHRAE_table": 3e-4, "pws_Pa_IAPWS_from_memory": 3e-4} {
			if r[column] != "" {
				want := num(t, r[column])
				near(t, what+" "+column, got, want, share*want)
			}
		}
	}
}

// ASHRAE Fundamentals 2017 ch. 1 tables 1 and 2 and example 1.
func TestMoistAir(t *testing.T) {
	near(t, "W(30, 25, 95461)", HumidityRatioFromWetBulb(30, 25, 95461), 0.0192281274241096, 3e-4*.0192) // the tolerance of the published test
	near(t, "W(pv 3169.7)", HumidityRatio(3169.7, 95461), 0.0213603998047487, 1e-9)
	near(t, "VapourPressure", VapourPressure(HumidityRatio(3169.7, 95461), 95461), 3169.7, 1e-9)
	near(t, "example 1", HumidityRatioFromWetBulb(40, 20, 101325), 0.0065, 1e-4) // read from a chart to two digits
	for at, want := range map[float64][2]float64{25: {0.020173, .005}, 50: {0.086863, .01}, 85: {0.838105, .02}} {
		near(t, "saturated W", HumidityRatio(SaturationPressure(at), 101325), want[0], want[0]*want[1])
	}
	for z, want := range map[float64]float64{-500: 107478, 0: 101325, 500: 95461, 1000: 89875, 4000: 61640, 10000: 26436} {
		near(t, "pressure", Pressure(z), want, 1e-4*want)
	}
	for z, want := range map[float64]float64{500: 11.8, 1000: 8.5, 4000: -11} {
		near(t, "air temperature", AirTemperature(z), want, .051)
	}
}

// An independent implementation of the same ASHRAE equation, at pit
// temperatures (computed, not a published table).
func TestWetBulbInAPit(t *testing.T) {
	for _, r := range rows(t, "psychro_wetbulb_pit.csv") {
		p := num(t, r["pressure_Pa"])
		pv := VapourPressure(num(t, r["humidity_ratio_kg_kg"]), p)
		near(t, "vapour pressure", pv, num(t, r["vapour_pressure_Pa"]), .06)
		near(t, "wet bulb at "+r["dry_bulb_C"], WetBulb(num(t, r["dry_bulb_C"]), pv, p), num(t, r["wet_bulb_C_psychrolib"]), 2e-3)
	}
}

// Standard atmosphere with Hyland & Wexler inverted (computed), and a fit to 27 points
// of a pocket reference (read; accurate to .25 K).
func TestBoilingPoint(t *testing.T) {
	for _, r := range rows(t, "boiling_point_altitude.csv") {
		z := num(t, r["altitude_m"])
		got := BoilingPoint(Pressure(z))
		near(t, "boiling at "+r["altitude_m"], got, num(t, r["boiling_point_C_computed"]), .006)
		near(t, "boiling at "+r["altitude_m"]+" (pocket reference)", got, num(t, r["boiling_point_C_quadratic_fit_read"]), .26)
		near(t, "pressure", Pressure(z), num(t, r["isa_pressure_Pa"]), 1)
	}
}
