package property

import (
	"ashbook/samples/published"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tolerance)
	}
}

// Choi & Okos (1986) via ASHRAE Refrigeration; the pork row is a handbook
// composition (from memory; it sums to 1.0034 and the rows hold the shares
// scaled to 1), the beef rows are illustrative compositions.
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
	for _, r := range published.Rows(t, "choi_okos_checks.csv") {
		food, ok := foods[r["material"]]
		if !ok {
			t.Fatalf("no composition for %q", r["material"])
		}
		at := published.Number(t, r["t_C"])
		what := r["material"] + " at " + r["t_C"]
		near(t, what+" k parallel", food.ConductivityParallel(at), published.Number(t, r["k_parallel_W_mK"]), 6e-6)
		near(t, what+" density", food.Density(at), published.Number(t, r["rho_kg_m3"]), 6e-3)
		near(t, what+" cp", food.HeatCapacity(at), 1000*published.Number(t, r["cp_kJ_kgK"]), 6e-3)
		if r["alpha_parallel_m2_s"] != "" {
			near(t, what+" diffusivity", food.ConductivityParallel(at)/food.Density(at)/food.HeatCapacity(at), published.Number(t, r["alpha_parallel_m2_s"]), 6e-12)
		}
	}
}

// ASHRAE Fundamentals 2017 ch. 1 table 3 (within .03 %), steam-table values
// from memory (.02 %), and the same equation computed elsewhere (rounding).
func TestSaturationPressure(t *testing.T) {
	for _, r := range published.Rows(t, "psychro_saturation.csv") {
		at, what := published.Number(t, r["t_C"]), "saturation at "+r["t_C"]
		got := SaturationPressure(at)
		near(t, what, got, published.Number(t, r["pws_Pa_HylandWexler_computed"]), 6e-4)
		for column, share := range map[string]float64{"pws_Pa_ASHRAE_table": 3e-4, "pws_Pa_IAPWS_from_memory": 3e-4} {
			if r[column] != "" {
				want := published.Number(t, r[column])
				near(t, what+" "+column, got, want, share*want)
			}
		}
	}
}

// ASHRAE Fundamentals 2017 ch. 1 tables 1 and 2.
func TestMoistAir(t *testing.T) {
	for at, want := range map[float64][2]float64{25: {0.020173, .005}, 50: {0.086863, .01}, 85: {0.838105, .02}} {
		pv := SaturationPressure(at)
		near(t, "humidity ratio, saturated", .621945*pv/(101325-pv), want[0], want[0]*want[1])
	}
	for z, want := range map[float64]float64{-500: 107478, 0: 101325, 500: 95461, 1000: 89875, 4000: 61640, 10000: 26436} {
		near(t, "pressure", Pressure(z), want, 1e-4*want)
	}
}

// Standard atmosphere with Hyland & Wexler inverted (computed), and a fit to
// 27 points of a pocket reference (read; itself good to .25 K).
func TestBoilingPoint(t *testing.T) {
	for _, r := range published.Rows(t, "boiling_point_altitude.csv") {
		z := published.Number(t, r["altitude_m"])
		got := BoilingPoint(Pressure(z))
		near(t, "boiling at "+r["altitude_m"], got, published.Number(t, r["boiling_point_C_computed"]), .006)
		near(t, "boiling at "+r["altitude_m"]+" (pocket reference)", got, published.Number(t, r["boiling_point_C_quadratic_fit_read"]), .26)
		near(t, "pressure", Pressure(z), published.Number(t, r["isa_pressure_Pa"]), 1)
	}
}
