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
	"ashbook/report/baseline"
	"ashbook/report/forecast/model"
	"ashbook/report/numeric/heat"
	"ashbook/report/numeric/score"
	"ashbook/samples/invent"
)

// tally is how minutes told went against the truth, cook by cook.
type tally struct{ got, want, doubt []float64 }

func (m *tally) note(got, want, doubt float64) {
	m.got, m.want, m.doubt = append(m.got, got), append(m.want, want), append(m.doubt, doubt)
}

// judged are means over the cooks, minutes but for shares.
type judged struct {
	truth, size float64 // of the true effect, and of how large it is
	off, bias   float64 // of the error
	explained   float64 // share of the true size that is told: 1 less the errors over it
	doubt       float64 // of what is told
	held        float64 // share of cooks whose truth lies within the doubt
}

func (m *tally) judge() (j judged) {
	n := float64(len(m.got))
	for i := range m.got {
		d := m.got[i] - m.want[i]
		j.truth, j.size = j.truth+m.want[i]/n, j.size+math.Abs(m.want[i])/n
		j.off, j.bias, j.doubt = j.off+math.Abs(d)/n, j.bias+d/n, j.doubt+m.doubt[i]/n
		if math.Abs(d) <= m.doubt[i] {
			j.held += 1 / n
		}
	}
	j.explained = 1 - j.off/j.size
	return j
}

func (m *tally) String() string {
	j := m.judge()
	return fmt.Sprintf("| %5d | %+5.0f | %4.0f | %+4.0f | %4.0f %% | %4.0f | %3.0f %% |", len(m.got), j.truth, j.off, j.bias, 100*j.explained, j.doubt, 100*j.held)
}

// contrast is one cause put otherwise, whose outcome the generator knows.
type contrast struct {
	says   string
	key    string // of the truth
	of     cause
	change func(this, other *scenario) bool // false: does not apply
}

var contrasts = []contrast{
	{"pit, 10 K hotter", "pit +10", byPit, func(_, o *scenario) bool {
		o.pit.readings = slices.Clone(o.pit.readings)
		for i := range o.pit.readings {
			o.pit.readings[i].C += 10
		}
		return len(o.pit.readings) > 0
	}},
	{"bare rather than foil", "bare", byWrap, unwrapped(heat.Foil)},
	{"bare rather than paper", "bare", byWrap, unwrapped(heat.Paper)},
	{"bare rather than boat", "bare", byWrap, unwrapped(heat.Boat)},
	{"foil rather than paper", "foil", byWrap, func(this, o *scenario) bool {
		o.wraps = []wrapping{{cover: heat.Foil}}
		return len(this.wraps) > 0 && this.wraps[0].cover == heat.Paper
	}},
	{"a fifth heavier", "weight +20 %", byPieces, pieces(func(p *piece) { p.meat.Mass *= 1.2 })},
	{"a tenth thicker", "thick +10 %", byThickness, pieces(func(p *piece) { p.thick *= 1.1 })},
	{"10 K warmer when it went on", "start +10", byStart, pieces(func(p *piece) { p.meat.Start += 10 })},
	{"off at a core 5 K cooler", "off −5", byOff, pieces(func(p *piece) { p.target -= 5 })},
	{"lids and spray left alone", "lids shut", byLids, func(this, o *scenario) bool {
		o.lids, o.sprays = nil, nil
		return len(this.lids)+len(this.sprays) > 0
	}},
}

func unwrapped(of heat.Cover) func(*scenario, *scenario) bool {
	return func(this, o *scenario) bool {
		o.wraps = nil
		return len(this.wraps) > 0 && this.wraps[0].cover == of
	}
}

func pieces(change func(*piece)) func(*scenario, *scenario) bool {
	return func(_, o *scenario) bool {
		o.pieces = slices.Clone(o.pieces)
		for i := range o.pieces {
			change(&o.pieces[i])
		}
		return true
	}
}

// against accounts for this side held against one that differs in one cause.
func against(c *journal.Cook, w model.Context, this scenario, job *model.State, k contrast) (l Line, ok bool) {
	g := &coalition{world: w, base: *job, cut: c.Cut, fires: map[fireKey]model.Pit{}, curves: map[curveKey][]float64{}}
	g.sides = [2]scenario{this, this}
	if !k.change(&g.sides[1], &g.sides[0]) {
		return l, false
	}
	took, _ := c.Took()
	g.stall, g.names = stallOf(c, took.Hours(), job)
	a := Account{Took: took.Hours()}
	g.patience(a.Took, []cause{k.of})
	g.share(&a, []cause{k.of}, c)
	g.doubts(&a, []cause{k.of}, usualDraws)
	l = a.Lines[0]
	for _, more := range a.Lines[1:] { // stretches of the pit
		l.Minutes += more.Minutes
		l.Doubt += more.Doubt // the physics is wrong in all of them alike
	}
	return l, !g.never
}

// otherwise holds invented cooks against themselves with one thing else, whose
// outcome the generator knows, and then against their usual cook: what those
// accounts leave to the piece and to nothing, against the luck that no note
// tells.
func otherwise(t testing.TB, seed uint64, n int) (each []tally, hidden, left tally) {
	var w model.Context
	var cooks []journal.Cook
	var truth []invent.Truth
	each = make([]tally, len(contrasts))
	for _, made := range invent.Generate(seed, n, invent.Options{Probes: .25}) {
		c, err := made.Read(cookfile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		cooks, truth = append(cooks, c), append(truth, made.Truth)
		this, job, _ := sideOf(&c, &w)
		for i, k := range contrasts {
			if made.Truth.Else[k.key] == 0 || made.Truth.Ready == 0 {
				continue
			}
			if l, ok := against(&c, w, this, job, k); ok {
				each[i].note(l.Minutes, made.Truth.Ready-made.Truth.Else[k.key], l.Doubt)
			}
		}
	}
	ln := func(tr invent.Truth) (sum float64) {
		for _, v := range tr.LnTime {
			sum += v
		}
		return sum
	}
	for i := range cooks {
		a := Explain(&cooks[i], cooks, w, Options{})
		sound(t, a)
		if !a.Known || truth[i].Ready == 0 {
			continue
		}
		var others []float64
		for _, o := range baseline.Like(&cooks[i], cooks) {
			k := slices.IndexFunc(cooks, func(c journal.Cook) bool { return c.ID == o.ID })
			others = append(others, ln(truth[k]))
		}
		if len(others) < usualFrom {
			continue
		}
		l, _ := line(a, causeNames[byNature])
		want := truth[i].Ready * -math.Expm1(score.Quantile(others, .5)-ln(truth[i]))
		hidden.note(l.Minutes+a.Unexplained.Minutes, want, math.Hypot(l.Doubt, a.Unexplained.Doubt))
		left.note(a.Unexplained.Minutes, 60*(a.Took-a.From), a.Unexplained.Doubt)
	}
	return each, hidden, left
}

// Held against what would have been: ASHBOOK_LONG=1 takes 200 cooks.
func TestOtherwise(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and shares nothing between goroutines")
	}
	n := 12
	if os.Getenv("ASHBOOK_LONG") == "1" {
		n = 200
	}
	each, hidden, left := otherwise(t, 77, n)
	rows := []string{"| the same cook, but | cooks | truth, min | error | bias | explained | ± | holds |"}
	var pooled tally
	for i, k := range contrasts {
		pooled.got, pooled.want, pooled.doubt = append(pooled.got, each[i].got...), append(pooled.want, each[i].want...), append(pooled.doubt, each[i].doubt...)
		rows = append(rows, fmt.Sprintf("| %-30s %v", k.says, &each[i]))
	}
	rows = append(rows, fmt.Sprintf("| %-30s %v", "hidden luck, by piece and rest", &hidden))
	rows = append(rows, fmt.Sprintf("| %-30s %v", "all causes", &pooled))
	for _, one := range []*tally{&pooled, &hidden} {
		if j := one.judge(); j.held < .65 || j.held > .95 {
			t.Errorf("the doubts hold %.0f in 100, 80 wanted", 100*j.held)
		}
	}
	if j := pooled.judge(); j.explained < .2 {
		t.Errorf("%.0f %% of what was changed is told", 100*j.explained)
	}
	j := left.judge()
	t.Logf("\n%s\nagainst the usual cook: %.0f min apart on the mean", strings.Join(rows, "\n"), j.size)
}
