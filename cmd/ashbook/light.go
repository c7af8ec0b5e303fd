package main

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"
	"unicode"

	"ashbook/journal"
	"ashbook/journal/cookfile"
	"ashbook/journal/folder"
	"ashbook/journal/measure"
	"ashbook/report/page"

	"github.com/spf13/cobra"
)

const lightHelp = `Start a cook: light the fire and open its page. Name the cut, or the cook you
have planned already.

A piece is its name and what you know of it, in any order: weight as bought,
weight trimmed, thickness, core temperature.

Carbon monoxide from charcoal kills indoors and in tents: light outside only
(US Consumer Product Safety Commission, charcoal safety). Hot ash keeps its
fire for days; keep children and guests clear of both.`

type lighting struct {
	title, pit, serve, at, aimPit, aimCore, wood, wrap string
	pieces                                             []string
	heads                                              int
}

func (a *app) lightCommand() *cobra.Command {
	var l lighting
	cmd := &cobra.Command{
		Use:   "light CUT | light PLANNED COOK",
		Short: "Start a cook, planned or not",
		Long:  lightHelp,
		Example: `  ashbook light pork shoulder --piece "large 5.2kg 13cm" --piece "small 3.9kg 11cm" --pit brick --serve "sat 13:00"
  ashbook light harvest supper`,
		Args: atLeast(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.light(args, l) },
	}
	f := cmd.Flags()
	f.StringVar(&l.title, "title", "", "what the cook is called")
	f.StringArrayVar(&l.pieces, "piece", nil, "a `PIECE`: name, weight, trimmed weight, thickness, core; once for each")
	f.StringVar(&l.pit, "pit", "", "the pit (else the usual one of journal.md)")
	f.StringVar(&l.serve, "serve", "", "serving hour, such as \"sat 13:00\"")
	f.IntVar(&l.heads, "heads", 0, "how many eat")
	f.StringVar(&l.aimPit, "aim-pit", "", "pit temperature wanted")
	f.StringVar(&l.aimCore, "aim-core", "", "core temperature wanted")
	f.StringVar(&l.wood, "wood", "", "smoke wood, such as \"cherry 180 g\"")
	f.StringVar(&l.wrap, "wrap", "", "wrap planned, such as \"paper at 72 °C\", or none")
	f.StringVar(&l.at, "at", "", "when it was lit, if not now: 20 min (ago), or a clock time that has passed")
	return cmd
}

func (a *app) light(args []string, l lighting) error {
	j, now, err := a.openNow()
	if err != nil {
		return err
	}
	at, err := pastTime(l.at, now)
	if err != nil {
		return usage("--at: %v", err)
	}
	lit := lit(at)
	planned, err := plannedCook(j, args, now)
	if err != nil {
		return err
	}
	id := planned.ID
	if id != "" {
		if err := l.onlyAt(); err != nil {
			return err
		}
		_, err = j.Edit(id, func(f cookfile.File) (cookfile.File, error) { return f.AddEntry(lit) }, message(id, lit))
	} else {
		id, err = createCook(j, strings.Join(args, " "), l, lit, now)
	}
	if err != nil {
		return err
	}
	f, err := j.Load(id)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(struct {
			Cook cookRecord `json:"cook"`
		}{recordOf(&f.Cook, now)})
	}
	a.printf("lit: %s (%s)\n", page.Clean(f.Cook.Name()), id)
	a.printf("%s\n", "Light outside only: carbon monoxide kills indoors and in tents (CPSC). Keep guests clear of fire and ash.")
	a.printf("next: ashbook note on, when the meat goes on\n")
	return nil
}

// lit is the entry with which a cook begins.
func lit(at time.Time) journal.Entry {
	return journal.Entry{Time: at, Items: []journal.Item{{Act: journal.Lit}}}
}

// onlyAt refuses set-up flags for a cook whose file holds its set-up already.
func (l lighting) onlyAt() error {
	if l.title != "" || l.pit != "" || l.serve != "" || l.heads != 0 || l.aimPit != "" || l.aimCore != "" || l.wood != "" || l.wrap != "" || len(l.pieces) > 0 {
		return usage("the cook is planned already: its file holds the set-up; only --at goes with it")
	}
	return nil
}

// plannedCook finds the one planned cook that the words name; its ID is empty
// where they name none.
func plannedCook(j *folder.Folder, words []string, now time.Time) (folder.Summary, error) {
	all, _ := j.List()
	var found []folder.Summary
	for _, s := range all {
		if stateWord(s, now) == "planned" && !s.Broken && named(s, words) {
			if s.ID == strings.Join(words, " ") {
				return s, nil
			}
			found = append(found, s)
		}
	}
	switch len(found) {
	case 0:
		return folder.Summary{}, notPast(all, words)
	case 1:
		return found[0], nil
	}
	return folder.Summary{}, hint(usage("%d planned cooks are meant by %q", len(found), strings.Join(words, " ")), "ashbook light "+found[0].ID)
}

// notPast refuses words that are no cut of the journal but the title of a cook
// that was lit long ago: a new cook of a cut so named was hardly meant.
func notPast(all []folder.Summary, words []string) error {
	said := strings.ToLower(strings.Join(words, " "))
	titled := ""
	for _, s := range all {
		if strings.Contains(strings.ToLower(s.Cut), said) {
			return nil
		}
		if strings.EqualFold(s.Title, said) {
			titled = s.ID
		}
	}
	if titled == "" {
		return nil
	}
	return hint(usage("%q is a cook that was lit already, not a planned one and not a cut", said), "ashbook light CUT --title TITLE")
}

// createCook writes a new cook file, lit.
func createCook(j *folder.Folder, cut string, l lighting, lit journal.Entry, now time.Time) (id string, err error) {
	c := journal.Cook{Title: l.title, Cut: strings.ToLower(cut), Pit: l.pit, Heads: l.heads, Entries: []journal.Entry{lit}}
	if l.heads < 0 {
		return "", usage("--heads %d: expected 1 or more", l.heads)
	}
	settings := settingsOf(j)
	if c.Pit == "" {
		c.Pit = settings.Pit
	}
	if c.Title == "" {
		c.Title = upperFirst(cut)
	}
	if l.serve != "" {
		if c.Serve, err = parseWhen(l.serve, now); err != nil {
			return "", usage("--serve: %v", err)
		}
	}
	for _, t := range []struct {
		flag, text string
		to         *measure.Temperature
	}{{"--aim-pit", l.aimPit, &c.Aim.Pit}, {"--aim-core", l.aimCore, &c.Aim.Core}} {
		if t.text != "" {
			if err := measure.Read(t.to, t.text, settings.Units); err != nil {
				return "", usage("%s: %v", t.flag, err)
			}
		}
	}
	if l.wood != "" {
		it, _ := journal.ParseItem("wood "+l.wood, journal.Grammar{Units: settings.Units})
		kind := strings.TrimSpace(strings.TrimSuffix(it.Detail, it.Amount.Text))
		c.Wood = []journal.Wood{{Kind: kind, Mass: it.Amount}}
	}
	if l.wrap != "" {
		if c.Aim.Wrap, err = parseWrapPlan(l.wrap, settings.Units); err != nil {
			return "", err
		}
	}
	if c.Pieces, err = parsePieces(l.pieces, settings.Units); err != nil {
		return "", err
	}
	data, err := cookfile.New(c)
	if err != nil {
		return "", err
	}
	return freshID(j, lit.Time, c.Title, data)
}

func parseWrapPlan(s string, sys measure.System) (journal.WrapPlan, error) {
	if strings.EqualFold(strings.TrimSpace(s), "none") {
		return journal.WrapPlan{Bare: true}, nil
	}
	kind, at, has := strings.Cut(s, " at ")
	w, ok := journal.ParseWrap(strings.TrimSpace(kind))
	if !ok {
		return journal.WrapPlan{}, usage("--wrap %q: expected none, foil, paper, boat or pan, then perhaps \"at 72 °C\"", s)
	}
	plan := journal.WrapPlan{Kind: w}
	if has {
		if err := measure.Read(&plan.At, at, sys); err != nil {
			return journal.WrapPlan{}, usage("--wrap: %v", err)
		}
	}
	return plan, nil
}

// parsePieces reads --piece flags; several pieces without names become A, B …
func parsePieces(flags []string, sys measure.System) ([]journal.Piece, error) {
	var out []journal.Piece
	for i, text := range flags {
		p, err := parsePiece(text, sys)
		if err != nil {
			return nil, usage("--piece %q: %v", text, err)
		}
		if p.Name == "" && len(flags) > 1 {
			p.Name = string(rune('A' + i%26))
		}
		for _, o := range out {
			if strings.EqualFold(o.Name, p.Name) {
				return nil, usage("--piece %q: there is a piece of that name already", text)
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// parsePiece reads "large 5.2 kg 4.7 kg 13 cm 5 °C": words are the name, each
// quantity goes where its unit says.
func parsePiece(text string, sys measure.System) (journal.Piece, error) {
	var p journal.Piece
	var name []string
	words := strings.Fields(text)
	for i := 0; i < len(words); i++ {
		w := words[i]
		if r := rune(w[0]); !unicode.IsDigit(r) && r != '.' && r != '-' {
			name = append(name, w)
			continue
		}
		if i+1 < len(words) && isNumber(w) {
			i++
			w += " " + words[i]
		}
		var m measure.Mass
		switch {
		case measure.Read(&m, w, sys) == nil && !m.Assumed:
			switch {
			case !p.Raw.Known:
				p.Raw = m
			case !p.Trimmed.Known && m.Base <= p.Raw.Base:
				p.Trimmed = m
			default:
				return p, fmt.Errorf("%q: the weight as bought comes first, then the weight trimmed", w)
			}
		case measure.Read(&p.Thick, w, sys) == nil && !p.Thick.Assumed:
		case measure.Read(&p.Core, w, sys) == nil && !p.Core.Assumed:
		default:
			return p, fmt.Errorf("%q: expected a weight, a thickness or a temperature with its unit", w)
		}
	}
	p.Name = strings.Join(name, " ")
	return p, nil
}

func isNumber(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return !unicode.IsDigit(r) && !strings.ContainsRune(".,-", r) }) < 0
}

// pastTime reads when something was done: "" now, "20 min" ago, or the last
// moment a clock showed the time.
func pastTime(s string, now time.Time) (time.Time, error) {
	text := strings.TrimPrefix(strings.TrimSpace(s), "-")
	if text == "" {
		return now.Truncate(time.Minute), nil
	}
	if h, m, ok := journal.ParseClock(text); ok {
		return journal.ClockBefore(now, h, m, now.Location()), nil
	}
	if t, err := journal.ParseTime(text); err == nil {
		return t, nil
	}
	ago, err := measure.ParseSpan(text)
	if err != nil || ago.Base < 0 {
		return time.Time{}, fmt.Errorf("%q: expected such as 20 min or 19:05", s)
	}
	return now.Add(-time.Duration(ago.Base) * time.Second).Truncate(time.Minute), nil
}

// freshID saves data under DATE-slug, a number added where that is taken.
func freshID(j *folder.Folder, day time.Time, title string, data []byte) (string, error) {
	base := day.Format(time.DateOnly) + "-" + slug(title)
	id := base
	for n := 2; ; n++ {
		err := j.Create(id, data, id+": lit")
		if err == nil || !errors.Is(err, fs.ErrExist) {
			return id, err
		}
		id = fmt.Sprintf("%s-%d", base, n)
	}
}

// slug makes a file name of a title: letters and digits, the rest hyphens.
func slug(title string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 60 {
			break
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "cook"
}

func upperFirst(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}
