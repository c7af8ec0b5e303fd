package typed

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/baseline"
	"ashbook/report/provision"
)

// Meal is a meal to plan for, as typed. "" or nil means not typed.
type Meal struct {
	Title, Serve, Heads string
	Cuts                []string // none: the cut cooked most often
	// with several cuts each text is "CUT: …"; Cores are the cores to reach
	Pieces, Prices, Cores []string
	As                    string // how it is served: "pulled, buns"
	Portion               string // weight of cooked meat for one adult
	Enough                int    // in how many of 100 such meals the meat is to be enough
	AimPit, Wrap          string
	Air, Wind             string
	Helpers               []string
	Pits                  []string // NAME or NAME=TEMPERATURE; none for the usual pit
	Fits                  []string // how many pieces a pit takes: N, or NAME=N
	Frozen, NoBox         bool
	Boxes                 int // that are there; 0: as many as it takes
}

// MostFits is the largest number of pieces for a pit (chosen).
const MostFits = 500

// Request parses a meal. pit finds a pit by its name, and the usual one for "". It
// fails with Wrong, with a provision.Refusal, and with the errors of pit.
func (m *Meal) Request(known provision.Known, pit func(name string, aim measure.Temperature) (provision.Pit, error)) (r provision.Request, err error) {
	r = provision.Request{Title: m.Title, Frozen: m.Frozen, NoBox: m.NoBox, Boxes: m.Boxes, Helpers: m.Helpers, Enough: float64(m.Enough) / 100}
	if m.Enough == 0 {
		return r, provision.Refusal{Part: provision.PartEnough, Text: "enough in 0 of 100 meals: expected 50 to 95"}
	}
	if m.Serve == "" {
		return r, provision.Refusal{Part: provision.PartServe, Text: "serving hour: when is the meal?"}
	}
	sys := known.Settings.Units
	var aim journal.Aim
	err = ReadAll(
		Field{"serve", m.Serve, func(t string) (err error) { r.Serve, err = When(t, known.Now); return err }},
		Field{"aim-pit", m.AimPit, func(t string) error { return measure.Read(&aim.Pit, t, sys) }},
		Field{"wrap", m.Wrap, func(t string) (err error) { aim.Wrap, err = journal.ParseWrapPlan(t, sys); return err }},
		Field{"air", m.Air, func(t string) error { return measure.Read(&r.Weather.Air, t, sys) }},
		Field{"wind", m.Wind, func(t string) error { return measure.Read(&r.Weather.Wind, t, sys) }},
		Field{"portion", m.Portion, func(t string) (err error) { r.Portion, err = portion(t, sys); return err }},
	)
	if err != nil {
		return r, err
	}
	if r.Party, err = Party(m.Heads); err != nil {
		return r, provision.Refusal{Part: provision.PartHeads, Text: err.Error()}
	}
	if r.Dishes, err = m.dishes(known.Past, aim, sys); err != nil {
		return r, err
	}
	if r.Money, err = m.price(r.Dishes, sys); err != nil {
		return r, err
	}
	if err = m.cores(r.Dishes, sys); err != nil {
		return r, err
	}
	if r.Serving, err = Serving(m.As, r.Dishes[0].Cut); err != nil {
		return r, Wrong{Field: "as", Text: err.Error(), Such: "pulled, buns"}
	}
	if r.Pits, err = m.fires(sys, pit); err != nil {
		return r, err
	}
	return r, m.fit(r.Pits)
}

// portion parses a weight, kg.
func portion(s string, sys measure.System) (float64, error) {
	m, err := measure.ParseMass(s, sys)
	if err == nil && m.Base <= 0 {
		err = fmt.Errorf("portion %q: expected one such as 150 g", s)
	}
	return m.Base, err
}

// dishes returns the cuts, each with its pieces.
func (m *Meal) dishes(past []journal.Cook, aim journal.Aim, sys measure.System) ([]provision.Dish, error) {
	cuts := slices.Clone(m.Cuts)
	if len(cuts) == 0 {
		most := baseline.MostCooked(past)
		if most == "" {
			return nil, provision.Refusal{Part: provision.PartCut, Text: "cut: what do you cook? there is no finished cook to guess it from"}
		}
		cuts = []string{most}
	}
	texts := make([][]string, len(cuts))
	for _, p := range m.Pieces {
		at, rest, err := ofCut("piece", p, "5 kg", cuts)
		if err != nil {
			return nil, err
		}
		texts[at] = append(texts[at], rest)
	}
	var out []provision.Dish
	for i, c := range cuts {
		c = strings.ToLower(strings.TrimSpace(c))
		if c == "" {
			return nil, provision.Refusal{Part: provision.PartCut, Text: "cut: it is empty"}
		}
		if slices.ContainsFunc(out, func(d provision.Dish) bool { return d.Cut == c }) {
			return nil, Wrong{Field: "cut", Value: c, Text: "it is there already"}
		}
		pieces, err := Pieces(texts[i], sys)
		if err != nil {
			return nil, Wrong{Field: "piece", Text: err.Error()}
		}
		out = append(out, provision.Dish{Cut: c, Pieces: pieces, Aim: aim})
	}
	return out, nil
}

// ofCut finds the cut that the text of a field is about, "brisket: 5 kg", and returns
// the rest of the text. such is an example of such a text.
func ofCut(field, text, such string, cuts []string) (at int, rest string, err error) {
	name, rest, named := strings.Cut(text, ":")
	switch {
	case !named && len(cuts) > 1:
		return 0, "", Wrong{Field: field, Value: text, Text: "of which cut?", Such: strings.TrimSpace(cuts[0]) + ": " + text}
	case !named:
		return 0, text, nil
	}
	at = slices.IndexFunc(cuts, func(c string) bool { return strings.EqualFold(strings.TrimSpace(name), strings.TrimSpace(c)) })
	if at < 0 {
		return 0, "", Wrong{Field: field, Value: text, Text: fmt.Sprintf("%q is not one of the cuts", name), Such: strings.TrimSpace(cuts[0]) + ": " + such}
	}
	return at, strings.TrimSpace(rest), nil
}

// price parses the prices into the dishes and returns the currency sign.
func (m *Meal) price(dishes []provision.Dish, sys measure.System) (money string, err error) {
	of := measure.Kilograms(1)
	if sys == measure.US {
		of, _ = measure.ParseMass("1 lb", sys)
	}
	for _, text := range m.Prices {
		at, rest, err := ofCut("price", text, "9.80", cutsOf(dishes))
		if err != nil {
			return "", err
		}
		sign, price, err := Price(rest)
		if err != nil {
			return "", Wrong{Field: "price", Text: err.Error()}
		}
		money, dishes[at].Price = sign, price/of.Base
	}
	return money, nil
}

// cores parses the cores to reach into the dishes. With two cuts, each needs its own
// core; with a shared one, a shoulder would come off as rare as a roast.
func (m *Meal) cores(dishes []provision.Dish, sys measure.System) error {
	for _, text := range m.Cores {
		at, rest, err := ofCut("aim-core", text, "94 °C", cutsOf(dishes))
		if err != nil {
			return err
		}
		if err := measure.Read(&dishes[at].Aim.Core, rest, sys); err != nil {
			return Wrong{Field: "aim-core", Text: err.Error()}
		}
	}
	return nil
}

// cutsOf returns the cuts of dishes.
func cutsOf(dishes []provision.Dish) []string {
	var out []string
	for _, d := range dishes {
		out = append(out, d.Cut)
	}
	return out
}

// fires returns the named pits, or the usual one. A pit without a file is accepted if
// Fits says how many pieces it takes, since its file will then be made.
func (m *Meal) fires(sys measure.System, pit func(string, measure.Temperature) (provision.Pit, error)) ([]provision.Pit, error) {
	names := m.Pits
	if len(names) == 0 {
		names = []string{""}
	}
	var out []provision.Pit
	for _, typed := range names {
		n, text, aimed := strings.Cut(strings.TrimSpace(typed), "=")
		var aim measure.Temperature
		if aimed {
			if err := measure.Read(&aim, text, sys); err != nil {
				return nil, Wrong{Field: "pit", Value: n + "=" + text, Text: err.Error()}
			}
		}
		if slices.ContainsFunc(out, func(p provision.Pit) bool { return p.Name == n }) {
			return nil, Wrong{Field: "pit", Value: n, Text: "it is there already"}
		}
		p, err := pit(n, aim)
		if err != nil {
			if n == "" || !slices.ContainsFunc(m.Fits, func(f string) bool { return strings.HasPrefix(f, n+"=") }) {
				return nil, err
			}
			p = provision.Pit{Pit: journal.Pit{Name: n}, Aim: aim}
		}
		out = append(out, p)
	}
	return out, nil
}

// fit parses how many pieces each pit takes.
func (m *Meal) fit(pits []provision.Pit) error {
	for _, text := range m.Fits {
		name, count, named := strings.Cut(text, "=")
		at := 0
		switch {
		case !named && len(pits) == 1:
			count = text
		case !named:
			return Wrong{Field: "fits", Value: text, Text: "in which pit?", Such: pits[0].Name + "=" + text}
		default:
			name = strings.TrimSpace(name)
			if at = slices.IndexFunc(pits, func(p provision.Pit) bool { return p.Name == name }); at < 0 {
				return Wrong{Field: "fits", Value: text, Text: fmt.Sprintf("%q is not one of the pits", name)}
			}
		}
		n, err := Fits(count)
		if err != nil {
			return Wrong{Field: "fits", Value: text, Text: err.Error(), Such: "6"}
		}
		pits[at].Takes = n
	}
	return nil
}

// Fits parses how many pieces a pit takes, 1 to MostFits.
func Fits(s string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > MostFits {
		return 0, errors.New("expected 1 to " + strconv.Itoa(MostFits) + " pieces")
	}
	return n, nil
}
