package drivers

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/forecast"
	"ashbook/samples/invent"
)

// invented returns the cooks of a generated journal.
func invented(t testing.TB, seed uint64, n int) []journal.Cook {
	t.Helper()
	var cooks []journal.Cook
	for _, c := range invent.Generate(seed, n, invent.Options{Without: true}) {
		cook, err := c.Read(cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		cooks = append(cooks, cook)
	}
	return cooks
}

// People wrap or raise the pit by the clock, which makes up for part of a slower cook: this
// share of an effect on time remains (mean of 135 cooks compared with the same cooks without
// the cause). The simulation itself makes a hot pan 1 % faster.
const shows, enginePan = .7, -.0105

// True effects of the generator by target, column and words (empty for a number), for causes
// whose effect is a constant. They are for one step; for time, in ln hours.
var truths = []struct {
	target Target
	column string
	word   string // this …
	base   string // … rather than this
	effect float64
	mixed  bool // it has other effects too, so the range need not contain effect
}{
	{Time, "water pan", "hot", "dry", shows*invent.PanHotTime - enginePan, false},
	{Time, "water pan", "hot", "none", shows*invent.PanHotTime - enginePan, false},
	{Time, "water pan", "none", "dry", 0, false},
	{Time, "pieces", "", "", shows * invent.CrowdTime, false},
	{Time, "supplier", "hill farm", "market hall", shows * invent.HillFarmTime, false},
	{Time, "wood", "cherry", "oak", invent.CherryTime, false},
	{Time, "salt rate", "", "", 0, false},
	{Tenderness, "supplier", "hill farm", "market hall", invent.HillFarmTend, false},
	{Tenderness, "wood", "cherry", "oak", 0, false},
	{Tenderness, "salt rate", "", "", 0, false},
	{Tenderness, "wood, mass", "", "", 0, false},
	{Moisture, "supplier", "hill farm", "market hall", 0, false},
	{Moisture, "wood", "cherry", "oak", 0, false},
	{Moisture, "salt rate", "", "", 0, false},
	{Moisture, "wood, mass", "", "", 0, false},
	{Bark, "supplier", "hill farm", "market hall", 0, false},
	{Bark, "wood", "cherry", "oak", 0, false},
	{Bark, "salt rate", "", "", 0, false},
	{Bark, "wood, mass", "", "", 0, false},
	{Bark, "wrap", "foil", "none", invent.FoilBark, true},
	{Smoke, "wood", "cherry", "oak", invent.CherrySmoke, false},
	{Smoke, "supplier", "hill farm", "market hall", 0, false},
	{Smoke, "salt rate", "", "", 0, false},
}

// tally counts lines of reports: all, reported effects, those with a constant truth, and
// those of them whose range contains it.
type tally struct{ asked, told, clean, covered float64 }

func (a *tally) row(what string, n int) string {
	s := fmt.Sprintf("| %2d | %-42s | %5.0f | %3.0f %% |", n, what, a.asked, 100*a.told/math.Max(1, a.asked))
	if a.clean > 0 {
		s += fmt.Sprintf(" %3.0f %% |", 100*a.covered/a.clean)
	} else {
		s += "   –   |"
	}
	return s
}

// calibrate weighs generated journals and counts, for every known truth, how often an
// effect is reported and how often its range contains the truth; absent are truths of 0.
func calibrate(t testing.TB, n, journals int) (present, absent tally, by map[string]*tally) {
	engine := Engine(&forecast.Forecaster{})
	by = map[string]*tally{}
	for seed := range journals {
		cooks := invented(t, uint64(1000*n+seed), n)
		reports := map[Target]Report{}
		for _, truth := range truths {
			r, ok := reports[truth.target]
			if !ok {
				r = weigh(t, cooks, truth.target, Options{Engine: engine})
				reports[truth.target] = r
			}
			i := slices.IndexFunc(r.Candidates, func(c Candidate) bool { return c.Column.Name == truth.column })
			if i < 0 {
				continue
			}
			for _, l := range r.Candidates[i].Lines {
				effect := truth.effect
				this, base, words := strings.Cut(l.Change, " instead of ")
				switch {
				case words && this == truth.word && base == truth.base:
				case words && this == truth.base && base == truth.word:
					effect = -effect
				case truth.word == "" && !words:
					effect *= steps[truth.column].by
				default:
					continue
				}
				effect = truth.target.unit(r.Typical)(effect)
				key := fmt.Sprintf("%s, %s %s", truth.target, truth.column, truth.word)
				if by[key] == nil {
					by[key] = &tally{}
				}
				side := &absent
				if truth.effect != 0 {
					side = &present
				}
				for _, a := range []*tally{side, by[key]} {
					a.asked++
					if l.Reads.Told() {
						a.told++
					}
					if !truth.mixed {
						a.clean++
						if l.Lo <= effect && effect <= l.Hi {
							a.covered++
						}
					}
				}
			}
		}
	}
	return present, absent, by
}

func holds(t *testing.T, n int, present, absent tally, slack float64) {
	t.Helper()
	if alarms := absent.told / absent.asked; alarms > .10+slack {
		t.Errorf("n %d: %.1f %% false alarms, at most 10 %% wanted", n, 100*alarms)
	}
	// A range includes the possibility of no effect, so nearly all ranges of absent effects
	// contain 0, and fewer than 8 in 10 of real effects contain the truth.
	if covered := (present.covered + absent.covered) / (present.clean + absent.clean); covered < .75-slack || present.covered/present.clean < .60-slack {
		t.Errorf("n %d: 80 %% intervals hold %.1f %%, of what is there %.1f %%", n, 100*covered, 100*present.covered/present.clean)
	}
}

// Takes five minutes: ASHBOOK_LONG=1 go test -v -timeout 1h -run CalibrationTable
// ./report/drivers
func TestCalibrationTable(t *testing.T) {
	if os.Getenv("ASHBOOK_LONG") != "1" {
		t.Skip("ASHBOOK_LONG=1 prints the table over 200 journals")
	}
	for _, n := range []int{10, 20, 45} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			present, absent, by := calibrate(t, n, 200)
			rows := []string{"|  n | effect                                     | asked |  told | in 80 % range |", present.row("effects that are there", n), absent.row("effects that are not (false alarms)", n)}
			for _, k := range slices.Sorted(maps.Keys(by)) {
				rows = append(rows, by[k].row("  "+k, n))
			}
			t.Log("\n" + strings.Join(rows, "\n"))
			holds(t, n, present, absent, 0)
		})
	}
}

func TestCalibration(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	present, absent, _ := calibrate(t, 20, 4)
	t.Log("\n" + present.row("effects that are there", 20) + "\n" + absent.row("effects that are not", 20))
	holds(t, 20, present, absent, .06)
}
