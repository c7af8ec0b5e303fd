package shorthand

import (
	"fmt"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// detail takes the words that follow vent, fuel, wood, lid, turn or spritz. It stops at
// a comma, a time, another act, or bare figures that are readings. The words after fuel
// and wood also end after a weight.
func (p *parser) detail(act journal.Act) (string, error) {
	weighed := act == journal.AddWood || act == journal.AddFuel
	var words []string
	var unknown *token
	for {
		t, ok := p.peek()
		if !ok {
			break
		}
		if _, isTime := p.moment(p.at); isTime {
			break
		}
		if _, _, figure := t.number(); figure {
			run := p.run()
			switch {
			case weighed && run > 1:
				return "", t.errorf("is this a weight or a reading? put readings first, or write the weight with its unit")
			case weighed && unknown != nil:
				return "", unknown.errorf("no word of %s", act.Word())
			case weighed:
				if amount, ok := p.amount(act); ok {
					return strings.Join(append(words, amount), " "), nil
				}
				if n, err := strconv.ParseFloat(strings.Replace(t.text, ",", ".", 1), 64); act == journal.AddFuel && err == nil && n > mostFuel && (p.at+1 == len(p.toks) || !p.plain(p.toks[p.at+1])) {
					return "", t.errorf("weight or reading? write the weight with its unit")
				}
			case run > 1:
				return strings.Join(words, " "), nil
			}
			words = append(words, p.toks[p.at].text)
			p.at++
			continue
		}
		stop, err := p.endsDetail(act, t)
		if err != nil {
			return "", err
		}
		if stop || t.low == "and" {
			break
		}
		if !p.mayBeSaid(act, t) {
			unknown = &t
		}
		words = append(words, t.text)
		p.at++
	}
	if unknown != nil {
		return "", unknown.errorf("no word of %s", act.Word())
	}
	s := strings.Join(words, " ")
	switch {
	case bareNumber(s):
		p.flags = append(p.flags, fmt.Sprintf("%s %s: kept as words; a reading must come first", act.Word(), s))
	case weighed && strings.ContainsAny(s, "0123456789"):
		p.flags = append(p.flags, fmt.Sprintf("%s %s: there is no weight in it; write the kind first, then a weight such as 90 g", act.Word(), s))
	}
	return s, nil
}

// mayBeSaid reports whether the word may follow the act: it is in the said table, or it
// is a wood that this cook names.
func (p *parser) mayBeSaid(act journal.Act, t token) bool {
	if said[act].has(t.low) || t.low == "a" || t.low == "the" || t.text == "%" {
		return true
	}
	if act == journal.AddWood && p.ctx.Cook != nil {
		for _, kind := range woods(p.ctx.Cook) {
			if strings.Contains(strings.ToLower(kind), t.low) {
				return true
			}
		}
	}
	return false
}

// run returns how many bare numbers come next without a word between them.
func (p *parser) run() int {
	n := 0
	for i := p.at; i < len(p.toks) && p.toks[i].bare(); i++ {
		if n++; p.toks[i].comma {
			break
		}
	}
	return n
}

// endsDetail reports whether the token is another act and so ends a detail. On, off and
// rest are also everyday words ("lid off", "the rest"), and taking them for acts would
// end the cook by mistake, so they end a detail only after a comma.
func (p *parser) endsDetail(act journal.Act, t token) (bool, error) {
	f := lookup(t.text)
	switch {
	case len(f.shared) > 0 && len(t.text) > 1:
		return false, t.errorf("this could be the act %s, or words about %s; write the act in full, or put the words after --", either(f.shared), act.Word())
	case f.act >= journal.Lit && f.act <= journal.Chilled:
		return false, t.errorf("put a comma before it if you mean the act %s, or put words about %s after --", f.act.Word(), act.Word())
	}
	return f.act != journal.NoAct, nil
}

// amount takes a weight: "90", "90 g", "4 lb 6 oz". If the number counts something ("2
// chunks"), it takes nothing and ok is false.
func (p *parser) amount(act journal.Act) (text string, ok bool) {
	from := p.at
	t := p.quantity(massUnit)
	if t.bare() {
		if next, more := p.peek(); more && !t.comma && p.plain(next) {
			p.at = from
			return "", false
		}
		bare := t.text
		t.text += " " + usualUnit(act, p.grammar.Units)
		if n, err := strconv.ParseFloat(strings.Replace(bare, ",", ".", 1), 64); act == journal.AddFuel && (err != nil || n > mostFuel) { // "f 66" of a flat
			p.at = from
			return "", false
		}
	}
	if q, err := measure.ParseMass(t.text, p.grammar.Units); err != nil || q.Assumed {
		p.at = from
		return "", false
	}
	for !t.comma {
		next, more := p.peek()
		if _, _, figure := next.number(); !more || !figure {
			break
		}
		mark := p.at
		part := p.quantity(massUnit)
		if _, err := measure.ParseMass(t.text+" "+part.text, p.grammar.Units); err != nil || part.bare() {
			p.at = mark
			break
		}
		t.text, t.comma = t.text+" "+part.text, part.comma
	}
	return t.text, true
}

// mostFuel is the most fuel that a weight without its unit may be, kg or lb (chosen: a
// large bag).
const mostFuel = 25

// plain reports whether a token is neither number, time nor act.
func (p *parser) plain(t token) bool {
	_, _, figure := t.number()
	f := lookup(t.text)
	return !figure && f.act == journal.NoAct && len(f.shared) == 0
}

// usualUnit returns the unit of a bare weight: g or oz for wood, which is added by the
// chunk, and kg or lb for fuel.
func usualUnit(act journal.Act, sys measure.System) string {
	switch {
	case act == journal.AddWood && sys == measure.US:
		return "oz"
	case act == journal.AddWood:
		return "g"
	case sys == measure.US:
		return "lb"
	}
	return "kg"
}
