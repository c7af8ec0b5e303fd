package attribution

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/report/drivers"
	"ashbook/report/forecast/model"
	"ashbook/report/frame"
	"ashbook/samples/invent"
)

// tally collects estimated minutes, true minutes and doubts, one of each per cook.
type tally struct{ got, want, doubt []float64 }

func (m *tally) note(got, want, doubt float64) {
	m.got, m.want, m.doubt = append(m.got, got), append(m.want, want), append(m.doubt, doubt)
}

func (m *tally) judge() (explained, held float64, row string) {
	n, truth, size, off, bias, doubt := math.Max(1, float64(len(m.got))), 0.0, 0.0, 0.0, 0.0, 0.0
	for i := range m.got {
		d := m.got[i] - m.want[i]
		truth, size, off, bias, doubt = truth+m.want[i]/n, size+math.Abs(m.want[i])/n, off+math.Abs(d)/n, bias+d/n, doubt+m.doubt[i]/n
		if math.Abs(d) <= m.doubt[i] {
			held += 1 / n
		}
	}
	explained = 1 - off/size
	return explained, held, fmt.Sprintf("| %5d | %+5.0f | %4.0f | %+4.0f | %4.0f %% | %4.0f | %3.0f %% |", len(m.got), truth, off, bias, 100*explained, doubt, 100*held)
}

// contrast changes one cause; the generator knows the true time after the change.
type contrast struct {
	says, key string // key in Truth.Else
	change    func(name string, v frame.Value) frame.Value
	asks      func(c *journal.Cook) bool
}

func always(*journal.Cook) bool { return true }

func wrapped(kind journal.Wrap) func(*journal.Cook) bool {
	return func(c *journal.Cook) bool {
		w := c.Wrappings()
		return len(w) > 0 && w[0].Kind == kind && !w[0].Loose
	}
}

// other changes one column and leaves the rest.
func other(column string, by func(frame.Value) frame.Value) func(string, frame.Value) frame.Value {
	return func(name string, v frame.Value) frame.Value {
		if name == column {
			return by(v)
		}
		return v
	}
}

func plus(by float64) func(frame.Value) frame.Value {
	return func(v frame.Value) frame.Value { v.Number += by; return v }
}

func wrap(to string) func(string, frame.Value) frame.Value {
	return other("wrap", func(v frame.Value) frame.Value { v.Word = to; return v })
}

var contrasts = []contrast{
	{"pit 10 K hotter", "pit +10", other("pit, mean", plus(10)), always},
	{"bare rather than foil", "bare", wrap("none"), wrapped(journal.Foil)},
	{"bare rather than paper", "bare", wrap("none"), wrapped(journal.Paper)},
	{"bare rather than boat", "bare", wrap("none"), wrapped(journal.Boat)},
	{"foil rather than paper", "foil", wrap("foil"), wrapped(journal.Paper)},
	{"a fifth heavier", "weight +20 %", func(name string, v frame.Value) frame.Value {
		switch name {
		case "heaviest piece":
			v.Number *= 1.2
		case "thickest piece":
			v.Number *= math.Cbrt(1.2)
		}
		return v
	}, always},
	{"a tenth thicker", "thick +10 %", other("thickest piece", func(v frame.Value) frame.Value { v.Number *= 1.1; return v }), always},
	{"10 K warmer when it went on", "start +10", other("core when it went on", plus(10)), always},
	{"off at a core 5 K cooler", "off −5", other("core when it came off", plus(-5)), always},
	{"lids and spray left alone", "lids shut", func(name string, v frame.Value) frame.Value {
		if name == "lid opened" || name == "spritzed" {
			v.Number = 0
		}
		return v
	}, func(c *journal.Cook) bool {
		return rowOf(c)(frame.Named("lid opened")).Known || rowOf(c)(frame.Named("spritzed")).Known
	}},
}

// TestCounterfactualsHaveTheRightDirection compares the estimated effect of one change with the true effect, in
// every other cook. ASHBOOK_LONG=1 takes 24 journals of 45 cooks, because all cooks of
// one journal share one error in the effect of a wrap.
func TestCounterfactualsHaveTheRightDirection(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long")
	}
	journals, n := []uint64{77}, 60
	if os.Getenv("ASHBOOK_LONG") == "1" {
		journals, n = nil, 45
		for seed := range uint64(24) {
			journals = append(journals, 3010+seed)
		}
	}
	each := make([]tally, len(contrasts))
	var all tally
	for _, seed := range journals {
		otherwise(t, seed, n, each, &all)
	}
	rows := []string{"| the same cook, but | cooks | truth, min | error | bias | explained | ± | holds |"}
	for k, contrast := range contrasts {
		_, _, row := each[k].judge()
		rows = append(rows, fmt.Sprintf("| %-30s %s", contrast.says, row))
	}
	explained, held, row := all.judge()
	t.Log("\n" + strings.Join(append(rows, fmt.Sprintf("| %-30s %s", "all of these", row)), "\n"))
	if explained < .2 || held < .65 {
		t.Errorf("the account explains %.0f %% of what was changed, its ranges hold %.0f %%", 100*explained, 100*held)
	}
}

// otherwise compares the estimates for the cooks of one invented journal with the
// truth. It adds them to the tally of each contrast and to that of all.
func otherwise(t *testing.T, seed uint64, n int, each []tally, all *tally) {
	t.Helper()
	made := invent.Generate(seed, n, invent.Options{Probes: .4})
	var cooks []journal.Cook
	for _, m := range made {
		c, err := m.Read(cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		cooks = append(cooks, c)
	}
	read := frame.Cooks(cooks)
	for i := 0; i < len(cooks); i += 2 {
		c, truth := &cooks[i], made[i].Truth
		if _, ok := c.Took(); !ok || truth.Ready == 0 {
			continue
		}
		this := rowOf(c)
		rows := []drivers.Row{this}
		for _, k := range contrasts {
			rows = append(rows, func(col frame.Column) frame.Value { return k.change(col.Name, this(col)) })
		}
		learned, err := drivers.LearnTimes(t.Context(), slices.Delete(slices.Clone(read), i, i+1), model.Context{}, rows...)
		if err != nil {
			t.Fatal(err)
		}
		for k, contrast := range contrasts {
			if truth.Else[contrast.key] == 0 || !contrast.asks(c) {
				continue
			}
			shares, whole := learned.Between(0, k+1)
			got := truth.Ready * -math.Expm1(-whole.Mean())
			sure := 0.0
			for _, s := range shares {
				sure = math.Hypot(sure, truth.Ready*doubt(s))
			}
			want := truth.Ready - truth.Else[contrast.key]
			each[k].note(got, want, sure)
			all.note(got, want, sure)
		}
	}
}
