package shorthand

import (
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// silent are the words of a phrase that its item need not repeat.
var silent = map[journal.Act]*wordSet{
	journal.Vent:    newWords("vent|vents|it"),
	journal.Fire:    newWords("fire|fire's|got|are|is|was"),
	journal.Sky:     newWords("got"),
	journal.Water:   newWords("water|pan|tray|bowl|it|with|w/|put|poured|tipped|placed|a|under|below|beneath|meat|grate|grill"),
	journal.Probe:   newWords("probe"),
	journal.OpenLid: newWords("lid|is|was|had|took|held|kept|off|left|been|for"),
	journal.Save:    newWords("saved|kept|reserved|strained"),
	journal.Turn:    newWords("moved|turned|gave|" + strings.Replace(lists["$meat"], "|rack|racks", "", 1)),
}

// carryOut turns the steps into items.
func (p *parser) carryOut(steps []step) bool {
	if !p.figuresStand(steps) {
		return false
	}
	said := false
	if i := slices.IndexFunc(steps, func(s step) bool { return !s.when.at.IsZero() }); i >= 0 && p.own.at.IsZero() {
		p.own, steps[i] = steps[i].when, step{end: steps[i].end, joins: true}
		said = true
	}
	for k, s := range steps {
		switch {
		case s.pat != nil:
			if !p.say(s) {
				return false
			}
			said = true
		case !s.when.at.IsZero():
			return false
		case s.weight != "":
			last := p.items[len(p.items)-1]
			p.items = p.items[:len(p.items)-1]
			if p.add(last.Act.Word()+" "+last.Detail+" "+s.weight, last.from, len(p.items)) != nil {
				return false
			}
			p.items[len(p.items)-1].at = last.at
			said = true
		case s.figure != "":
			if len(p.readings) > 0 {
				last := p.readings[len(p.readings)-1]
				follows := k > 0 && steps[k-1].figure != "" || k > 1 && steps[k-2].figure != "" && steps[k-1].joins
				if !(last.clause == p.clause && follows) && !(p.open && k == 0 && p.own.at.IsZero()) && !p.startSet() {
					return false
				}
			} else {
				p.before = len(p.items)
			}
			t := s.from
			t.text = s.figure
			p.readings = append(p.readings, reading{t, p.clause})
			said = true
		}
	}
	return said
}

// leastAlone is the lowest value, °C, at which a single number among words may be a
// reading (chosen): a lower number probably counts something.
const leastAlone = 35.0

// figuresStand reports whether bare numbers among words may be readings. A single
// number may be one if only a time comes before it, it is not small, and no word for
// the weather is beside it. "80 and sunny" and "spritzed at
// 3 and 4" have no readings.
func (p *parser) figuresStand(steps []step) bool {
	figures, phrases, first, sky, ends, timed := 0, 0, true, false, false, false
	lone := ""
	for _, s := range steps {
		switch {
		case s.figure != "":
			figures++
			lone = s.figure
			first = first && (figures > 1 || phrases == 0)
		case s.pat != nil:
			phrases++
			sky = sky || s.pat.act == journal.Sky
			ends = ends || s.pat.act == journal.Served && strings.EqualFold(s.from.text, "serving")
		case !s.when.at.IsZero():
			timed = true
		}
	}
	if ends && timed { // "serving at noon" is a plan
		return false
	}
	if figures > 0 && !p.mayBeBare(figures) {
		return false
	}
	if figures != 1 || phrases == 0 {
		return true
	}
	return first && !sky && p.couldStandAlone(lone)
}

func (p *parser) couldStandAlone(figure string) bool {
	t, err := measure.ParseTemperature(figure, p.grammar.Units)
	return err == nil && t.Base >= leastAlone
}

// say adds the items of a phrase.
func (p *parser) say(s step) bool {
	tmpl, slots := s.pat.template, s.b.slots
	from := s.b.from
	if from.text == "" {
		from = s.from
	}
	if tmpl == "alone T" {
		if len(p.readings) > 0 && !p.startSet() || !p.mayBeBare(1) {
			return false
		}
		from.text, p.before = slots['T'], len(p.items)
		p.readings = append(p.readings, reading{from, p.clause})
		return true
	}
	pieces := []string{slots['P']}
	switch names, several := strings.CutPrefix(slots['P'], severalPieces); {
	case slots['P'] == bothPieces:
		pieces = p.grammar.Pieces
	case several:
		pieces = strings.Split(names, severalPieces)
	}
	if tmpl == "aim T" {
		tmpl = "aim core T"
		if t, err := measure.ParseTemperature(slots['T'], p.grammar.Units); err == nil && t.Base >= boilsAt {
			tmpl = "aim pit T"
		}
	}
	if tmpl == "wrap" {
		kind := journal.NoWrap
		if p.ctx.Cook != nil {
			kind = p.ctx.Cook.Aim.Wrap.Kind
		}
		if kind == journal.NoWrap {
			p.hint(s.from.errorf("wrapped in what: foil, paper, boat or pan?"))
			return false
		}
		tmpl = "wrap " + string(kind)
	}
	if strings.HasPrefix(tmpl, "wrap") && slots['P'] != "" && slots['P'] != bothPieces && len(p.grammar.Pieces) > 1 {
		return false
	}
	for _, piece := range pieces {
		for part := range strings.SplitSeq(tmpl, ", ") {
			var words []string
			for i, w := range strings.Fields(part) {
				if i == 0 {
					w = strings.TrimRight(w, "+!&")
				}
				switch {
				case w == "*":
					for _, said := range strings.Fields(strings.Join(s.b.words, " ")) {
						if low := plainWord(said); !silent[s.pat.act].has(low) && low != "" {
							words = append(words, strings.ReplaceAll(strings.ReplaceAll(said, bothPieces, "both"), severalPieces, " "))
						}
					}
					for n := len(words); n > 1 && (joining.has(words[n-1]) || words[n-1] == "@"); n-- { // "new batteries in [the probe]"
						words = words[:n-1]
					}
				case w == "P":
					words = append(words, piece)
				case len(w) == 1 && w[0] >= 'A' && w[0] <= 'Z':
					what := slots[w[0]]
					if said := strings.Fields(what); len(said) > 1 { // "2 wood chunks" names the act already
						said = slices.DeleteFunc(said, func(w string) bool {
							return strings.EqualFold(w, words[0]) || s.pat.act == journal.OpenLid && silent[s.pat.act].has(strings.ToLower(w))
						})
						what = strings.Join(said, " ")
					}
					words = append(words, what)
				default:
					words = append(words, w)
				}
			}
			text := strings.Join(words, " ")
			if p.add(text, from, len(p.items)) != nil {
				return false
			}
		}
		if x := slots['X']; x != "" {
			if p.add(journal.ReadCore.Word()+" "+piece+" "+x, from, len(p.items)) != nil {
				return false
			}
		}
	}
	return true
}

// boilsAt separates an aim for the core from one for the pit, °C: nobody wants a core
// to boil.
const boilsAt = 100.0

// ask stores a question about a clause.
func (p *parser) ask(clause int, question string) {
	if was := p.clauses[clause].ask; was != "" {
		question = was + " " + question
	}
	p.clauses[clause].ask = question
}
