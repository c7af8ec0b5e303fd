package safety

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
	"ashbook/report/safety/heard"
)

// Mention is a word in the notes that gives reason for a caution.
type Mention struct {
	Word  string
	Where string // "the cut", "the notes", "the line of 20:10"
}

func (m Mention) String() string { return fmt.Sprintf("“%s” in %s", m.Word, m.Where) }

// Words for the kind of meat are read cautiously: a word counts anywhere, even after a
// "not" ("not injected" counts, and is quoted). Package heard finds out what happened
// to the meat.
var (
	birdWords   = pattern.New(`(?i)\b(turkeys?|chickens?|hens?|ducks?|ducklings?|goose|geese|birds?|fowls?|poultry|capons?|quails?|pheasants?|partridges?|poussins?|pigeons?)\b`)
	openedWords = pattern.New(`(?i)\b(inject(ed|ion|ing)?|boned|de-?boned|boneless|boning|rolled|brined?|brining|needled?|needling|pumped|pricked|pierced|bladed|tenderi[sz]ed|stuffed|stuffing|butterflied|pocketed|larded)\b`)
	mincedWords = pattern.New(`(?i)\b(minced?|ground (beef|pork|lamb|meat|turkey|chicken)|sausages?|burgers?|meat ?loaf|meatballs?|koft[ae]s?|kofte|[cć]evapi|merguez|chorizo|bratwursts?|boerewors)\b`)
	driedWords  = pattern.New(`(?i)\b(jerky|biltong)\b`)
	toughWords  = pattern.New(`(?i)\b(brisket|flat|point|shoulder|butt|picnic|neck|chuck|clod|ribs?|cheeks?|shanks?)\b`)
	stuffed     = pattern.New(`(?i)\b(stuffed|stuffing)\b`)
	cookedMeat  = pattern.New(`(?i)\b(fully[- ]cooked|pre-?cooked|ready[- ]to[- ]eat)\b`)
	frozenWords = pattern.New(`(?i)\b((part|half)?-?frozen|froze|icy|ice in|unthawed|thaw(ed|ing)?)\b`)
	gameWords   = pattern.New(`(?i)\b(venison|deer|roe|elk|moose|reindeer|boars?|bear|hares?|rabbits?|squirrels?|wild (pig|hog|game))\b`)

	// People say "rolled off" and the like about fuel and lids, not about meat.
	rolledOn = pattern.New(`(?i)\brolled (off|over|down|away|in|out|up|back|by|into|under|onto)\b`)
)

const pieceName = "the name of the piece"

// IsBird reports whether a cut is poultry by its name.
func IsBird(cut string) bool { return birdWords.MatchString(cut) }

// named finds a word in the cut, in the name of a piece, or, if no cut was noted, in
// the title.
func named(c *journal.Cook, p journal.Piece, words *pattern.Pattern) (Mention, bool) {
	where := []Mention{{c.Cut, "the cut"}, {p.Name, pieceName}}
	if c.Cut == "" {
		where = append(where, Mention{c.Title, "the title"})
	}
	for _, m := range where {
		if w := words.FindString(m.Word); w != "" {
			return Mention{w, m.Where}, true
		}
	}
	return Mention{}, false
}

// texts returns everything that a person wrote about the cook, each text with its
// place.
func texts(c *journal.Cook, sys measure.System) []Mention {
	all := []Mention{
		{c.Cut, "the cut"}, {c.Title, "the title"}, {c.Supplier, "the supplier"}, {c.Rub.Mix, "the rub"},
		{c.Prose, "the notes"}, {c.Keep, "what to keep"}, {c.Change, "what to change"},
	}
	for _, p := range c.Pieces {
		all = append(all, Mention{p.Name, "the name of a piece"}, Mention{p.Bone, "the bone"})
	}
	for _, e := range c.Entries {
		all = append(all, Mention{e.Body(), lineOf(e, sys)})
	}
	return all
}

// lineOf returns words for the line of an entry: "the line of 20:10".
func lineOf(e journal.Entry, sys measure.System) string {
	return "the line of " + measure.FormatTime(e.Time, measure.DayClock, sys)
}

// RestsOn reports whether the finding rests on words of an entry.
func (f Finding) RestsOn(e journal.Entry, sys measure.System) bool {
	return strings.Contains(f.Rests, "” in "+lineOf(e, sys))
}

// mentions finds words in everything that a person wrote about the cook, each word
// once.
func mentions(c *journal.Cook, words *pattern.Pattern, sys measure.System) []Mention {
	var out []Mention
	for _, t := range texts(c, sys) {
		text := rolledOn.ReplaceAllString(t.Word, "")
		for _, w := range words.FindAllString(text, -1) {
			w = strings.ToLower(w)
			if !slices.ContainsFunc(out, func(m Mention) bool { return m.Word == w }) {
				out = append(out, Mention{w, t.Where})
			}
		}
	}
	return out
}

// listen searches everything that was written for events that give reason for a
// caution.
func (l *look) listen() {
	l.heard = map[heard.Meaning][]Mention{}
	us := l.s.Units == measure.US
	hear := func(t Mention, on, off bool, at time.Time) {
		text := heard.Text{Text: t.Word, On: on, Off: off, US: us}
		if !at.IsZero() {
			text.Clock = float64(at.Hour()) + float64(at.Minute())/60
		}
		for _, said := range heard.Read(text) {
			m := Mention{strings.ToLower(said.Words), t.Where}
			if all := l.heard[said.Meaning]; !slices.Contains(all, m) {
				l.heard[said.Meaning] = append(all, m)
			}
		}
	}
	all := texts(l.c, l.s.Units)
	lines := len(all) - len(l.c.Entries)
	for _, t := range all[:lines] {
		hear(t, false, false, time.Time{})
	}
	on, isOn := l.c.OnAt()
	off, isOff := l.c.Finish()
	for i, e := range l.c.Entries {
		hear(all[lines+i], isOn && e.Time.After(on), isOff && !e.Time.Before(off), e.Time)
	}
}

// bonedOut reports whether the bone was taken out of the piece: "bone: out",
// unless the cut has none to begin with.
func bonedOut(c *journal.Cook, p journal.Piece) bool {
	return strings.EqualFold(strings.TrimSpace(p.Bone), "out") && !strings.Contains(strings.ToLower(c.Cut), "brisket")
}

// felt returns the last time a probe felt tender in a whole tough cut, with a slight
// grab or none. Birds, minced meat and cuts that are tender when raw do not count.
func (p *part) felt() (last journal.Item, ok bool) {
	if p.isBird || p.minced || p.game || p.dried || p.stuffed || !toughWords.MatchString(p.c.Cut) {
		return last, false
	}
	for _, e := range p.c.Entries {
		for _, it := range e.Items {
			if it.Act == journal.Feel && (it.Piece == "" || p.c.PieceIndex(it.Piece) == p.i) {
				last, ok = it, it.Grade >= journal.Feel.TopGrade()-1
			}
		}
	}
	return last, ok
}

func joinMentions(all []Mention) string {
	words := make([]string, len(all))
	for i, m := range all {
		words[i] = m.String()
	}
	return strings.Join(words, ", ")
}
