package watch

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/tui/component/bigtext"
	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// thing is one of the five figures: a label, a large text, and rows of small text.
type thing struct {
	label string
	large string      // text in large letters
	style style.Style // style of the large text
	// a second figure beside the first if there is room; only its label and large are
	// used
	also   *thing
	beside []string      // small text to the right of the large one, from the top
	low    bool          // the last text of beside is at the bottom
	second []layout.Span // small text below, wrapped
}

// draw draws t in r. If the large text does not fit, it draws it as plain bold text.
func (t thing) draw(sheet *layout.Sheet, r layout.Rect, p plan) {
	sheet.Write(r, 0, 0, layout.Span{Style: style.Quiet, Text: t.label})
	label, r := r.Top(1)
	fig, below := r.Top(p.figure)
	fig, _ = fig.Left(fig.W - 1)
	height := p.figure
	if height > bigtext.Row && bigtext.Width(t.large, height) > fig.W {
		height = bigtext.Small
	}
	if height > bigtext.Row && bigtext.Width(t.large, height) > fig.W {
		height = bigtext.Row
	}
	text := t.large
	if height == bigtext.Row {
		text = strings.TrimSpace(spaced.Replace(text))
	}
	x := bigtext.Draw(sheet, fig, 0, height, t.style, text)
	beside := slices.DeleteFunc(t.beside, func(b string) bool { return b == "" })
	if o := t.also; o != nil {
		at := max(x, layout.Width(t.label)) + 2
		end := at + max(bigtext.Width(o.large, height), layout.Width(o.label))
		if height > bigtext.Row && end <= fig.W-widest(beside) {
			sheet.Write(label, at, 0, layout.Span{Style: style.Quiet, Text: o.label})
			x = max(bigtext.Draw(sheet, fig, at, height, o.style, o.large), at+layout.Width(o.label))
		} else {
			beside = append([]string{o.large + " " + o.label}, beside...)
		}
	}
	for i, b := range beside {
		switch {
		case fig.W-x < least: // no word would fit
		case height == bigtext.Row:
			x = sheet.Write(fig, x, 0, layout.Span{Style: style.Plain, Text: " " + b})
		case t.low && i == len(beside)-1:
			sheet.Write(fig, x+1, height-1, layout.Span{Style: style.Plain, Text: b})
		default:
			sheet.Write(fig, x+1, i, layout.Span{Style: style.Plain, Text: b})
		}
	}
	y := 0
	for _, span := range t.second {
		lines := layout.Wrap(span.Text, r.W-1)
		if room := below.H - y; room > 0 && len(lines) > room {
			lines = lines[:room]
			lines[room-1] += " …"
		}
		for _, line := range lines {
			sheet.Write(below, 0, y, layout.Span{Style: span.Style, Text: line})
			y++
		}
	}
}

// mind adds a small text to the figure, unless the text is empty.
func (t *thing) mind(span layout.Span) {
	if span.Text != "" {
		t.second = append(t.second, span)
	}
}

// least is the smallest width in which text is written beside a large one.
const least = 4

// widest returns the width of texts beside a large one.
func widest(texts []string) int {
	n := 0
	for _, t := range texts {
		n = max(n, 1+layout.Width(t))
	}
	return n
}

// spaced adds spaces around the signs of a large text when it is written as plain text.
var spaced = strings.NewReplacer("–", " – ", "↑", " ↑", "↓", " ↓", "→", " →")

// Rates of the pit, K/h (chosen): below steady it counts as steady, since a fire
// varies; above fast somebody should look at it.
const (
	steady = 6.0
	fast   = 25.0
)

func trend(r reading) (arrow, word string) {
	switch {
	case !r.moving:
		return "", ""
	case math.Abs(r.rate) < steady:
		return "→", "steady"
	case r.rate > fast:
		return "↑", "rising fast"
	case r.rate > 0:
		return "↑", "rising"
	case r.rate < -fast:
		return "↓", "falling fast"
	}
	return "↓", "falling"
}

// fireWords replace the trend of the pit if the fire is in trouble.
var fireWords = map[string]string{"low": "low", "choked": "choked", "running away": "running away", "out": "going out", "lid": "lid was up"}

// staleAfter is the age from which a reading's age is shown (chosen).
const staleAfter = 15 * time.Minute

func (s *Screen) age(t time.Time) (string, bool) {
	old := s.now.Sub(t)
	return layout.Tie("read " + measure.FormatDuration(old) + " ago"), old > staleAfter
}

func (s *Screen) number(c float64) string {
	return strings.Replace(measure.FormatTemperatureNumber(c, s.state.units), "-", "−", 1)
}

func (s *Screen) unit() string { return measure.Degrees(0, s.state.units).Unit.Symbol }

// notRead is shown for a temperature that nobody has read yet.
const notRead = "–"

func (s *Screen) pitThing() thing {
	st := s.state
	t := thing{label: "PIT " + s.unit(), large: notRead, style: style.Strong}
	var words []string
	if !st.pit.at.IsZero() {
		arrow, word := trend(st.pit)
		if known, ok := fireWords[st.Forecast.Fire.Kind]; ok && st.on {
			word = known
			if arrow == "→" && st.pit.rate < 0 {
				arrow = "↓"
			}
		}
		t.large = s.number(st.pit.c) + arrow
		if word != "" {
			words = append(words, word)
		}
	}
	if st.aimPit != "" {
		words = append(words, layout.Tie("aim "+st.aimPit))
	}
	t.mind(st.notCounted(journal.ReadPit))
	t.second = append(t.second, layout.Span{Style: style.Plain, Text: strings.Join(words, ", ")})
	if text, old := s.age(st.pit.at); old && !st.pit.at.IsZero() {
		t.second = append(t.second, layout.Span{Style: style.Mind, Text: text})
	}
	return t
}

func (s *Screen) coreThing() thing {
	st := s.state
	p := st.cores[st.slowest]
	t := thing{label: strings.TrimSpace("CORE " + s.unit() + " " + p.piece), large: notRead, style: style.Strong}
	for k, i := range st.others() {
		o := st.cores[i]
		if k == 0 && !o.off {
			t.also = &thing{label: o.piece, large: s.number(o.c), style: style.Strong}
			continue
		}
		text := s.number(o.c) + " " + o.piece
		if o.off {
			text += " off"
		}
		t.beside = append(t.beside, text)
	}
	var words []string
	if !p.at.IsZero() {
		t.large = s.number(p.c)
	}
	if p.moving {
		words = append(words, layout.Tie(measure.FormatDifference(p.rate, 1, st.units)+"/h"))
	}
	if p.stall.Standing {
		words = append(words, layout.Tie("stall "+p.stall.Words(st.units)))
		if st.Forecast.Stall != "" {
			words = append(words, layout.Tie(st.Forecast.Stall))
		}
	} else if st.aimCore != "" && st.off.IsZero() {
		words = append(words, layout.Tie("aim "+st.aimCore))
	}
	t.mind(st.notCounted(journal.ReadCore))
	t.second = append(t.second, layout.Span{Style: style.Plain, Text: strings.Join(words, ", ")})
	if text, old := s.age(p.at); old && st.on && !p.at.IsZero() {
		t.second = append(t.second, layout.Span{Style: style.Mind, Text: text})
	}
	return t
}

func (s *Screen) offThing() thing {
	st := s.state
	f := st.Forecast
	clock := func(t time.Time) string { return measure.FormatTime(t.In(st.zone), measure.Clock, st.units) }
	t := thing{label: "READY TO TAKE OFF", large: notRead, style: style.Strong}
	var line []string
	switch {
	case !st.off.IsZero():
		t.label, t.large = "OFF", clock(st.off)
		line = append(line, measure.FormatDuration(s.now.Sub(st.off))+" ago")
	case f.Open && !f.Early.IsZero():
		t.large = clock(f.Early) + "–?"
		line = append(line, "may not get there")
	case s.present && st.on:
		line = append(line, "working it out …")
	case f.Early.IsZero() || f.Late.IsZero():
	case f.Late.Before(s.now):
		line = append(line, "expected until "+clock(f.Late)+", and still on")
	default:
		t.large = clock(f.Early) + "–" + clock(f.Late)
		if !f.Likely.IsZero() {
			line = append(line, "likely "+clock(f.Likely))
		}
	}
	ago := " ago "
	if s.w == 0 {
		ago = " ago it was "
	}
	room := 2*((s.w-2)/3) - 1 // it is on one line
	for _, said := range f.Said {
		then := append(line, layout.Tie(measure.FormatSpan(s.now.Sub(said.At).Round(time.Hour))+ago+clock(said.Early)+" – "+clock(said.Late)))
		if s.w == 0 || layout.Width(strings.Join(then, " · ")) <= room {
			line = then
		}
	}
	if serve := st.Cook.Cook.Serve; !serve.IsZero() && f.Meal == "" {
		line = append(line, "meal "+serve.In(st.zone).Format(mealLayout(s.now, serve.In(st.zone))))
	}
	t.second = append(t.second, layout.Span{Style: style.Plain, Text: strings.Join(line, " · ")},
		layout.Span{Style: tones[f.MealTone], Text: f.Meal})
	if st.off.IsZero() {
		t.second = append(t.second, layout.Span{Style: style.Quiet, Text: cmp.Or(f.Moved, f.From)})
	}
	return t
}

// mealLayout returns the layout for the time of a meal: with its day if it is more than
// a night away, with its date if it is more than some days away.
func mealLayout(now, serve time.Time) string {
	switch away := serve.Sub(now); {
	case away > 6*24*time.Hour || away < 0:
		return measure.DateClock
	case away > 20*time.Hour:
		return measure.DayClock
	}
	return measure.Clock
}

func (s *Screen) checkThing() thing {
	st := s.state
	t := thing{label: "NEXT CHECK", large: notRead, style: style.Strong}
	if !st.owed {
		t.second = []layout.Span{{Style: style.Plain, Text: "none set"}}
		return t
	}
	left := st.check.Due.Sub(s.now)
	due := measure.FormatTime(st.check.Due.In(st.zone), measure.Clock, st.units)
	if left > 0 {
		large, small := measure.FormatLarge(left + time.Minute - 1)
		t.label, t.large, t.beside, t.low = "NEXT CHECK IN", large, []string{small}, true
		t.second = []layout.Span{{Style: style.Strong, Text: st.check.For}, {Style: style.Plain, Text: layout.Tie("at " + due)}}
		return t
	}
	large, small := measure.FormatLarge(-left)
	t.label, t.large, t.beside, t.low = "CHECK OVERDUE", large, []string{small}, true
	if large == "0" {
		t.label = "CHECK NOW"
	}
	t.style = style.Trouble
	t.second = []layout.Span{{Style: style.Strong, Text: st.check.For}, {Style: style.Plain, Text: layout.Tie("due " + due)}}
	return t
}

func (s *Screen) doneThing() thing {
	st := s.state
	t := thing{label: "LAST DONE", large: notRead, style: style.Strong}
	if !st.acted {
		t.second = []layout.Span{{Style: style.Plain, Text: "nothing yet"}}
		return t
	}
	large, small := measure.FormatLarge(max(0, s.now.Sub(st.done.Time)))
	t.large, t.beside, t.low = large, []string{small, "ago"}, true
	words := make([]string, len(st.done.Items))
	for i, it := range st.done.Items {
		words[i] = layout.Tie(st.say(it))
	}
	t.second = []layout.Span{{Style: style.Strong, Text: strings.Join(words, ", ")}}
	return t
}
