package safety

import (
	"fmt"
	"slices"
	"strings"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// Mention is a word of the notes that bears on a caution.
type Mention struct {
	Word  string
	Where string // "the cut", "the notes", "the line of 20:10"
}

func (m Mention) String() string { return fmt.Sprintf("“%s” in %s", m.Word, m.Where) }

// What the words say is read to the careful side: a word counts wherever it
// stands and whatever stands before it ("not injected" counts, and is quoted).
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
	counter     = pattern.New(`(?i)\b(on the (counter|worktop|kitchen table)|(left|leave|stood|standing|sat|lay|kept) (it |them |the (meat|shoulder|brisket|ribs|bird|piece|joint) )?out (on|over|at|for|all|since|of the (fridge|cooler)|in the|\d)|left (it|them|the (meat|shoulder|brisket|ribs|bird|piece|joint)) out|(thaw(ed|ing)?|defrost(ed|ing)?) (it )?(at room temperature|on the|in the (kitchen|sun)|out)|(at|to) room temp(erature)?|(in|on) the (car|boot|trunk|van|sun|kitchen|table|porch|bench|side) (for|all|over|since)|(fridge|freezer|cooler|cool ?box|power) (was |had |went )?(been )?(off|out|dead|unplugged|left open)|(standing|sitting|lying) (about|around|out)|power (cut|failure|outage)|blackout|(thaw(ed|ing)?|defrost(ed|ing)?)\b[^.;]{0,30}\b(sink|counter|kitchen|garage|worktop|outside|porch|bench|car|sun|table))\b`)
	allNight    = pattern.New(`(?i)\b((out|counter|worktop|room temperature|unplugged|warm)|(fridge|freezer|cooler|cool ?box|power) (was |had |went )?(been )?(off|out|dead|left open)) (all night|overnight)\b`)
	spoiled     = pattern.New(`(?i)\b((smell(s|ed)?|smelt) ((a )?(bit|little) |slightly |rather |quite |really |very )?(off|sour|bad|funny|rotten|rancid|eggy|like ammonia)|(nasty|bad|foul|sour|off|funny|strange|rotten) (smell|odou?r|whiff)|stinks?|slimy|rancid|mould(y)?|mold(y)?|past (its|the) (date|use[- ]by)|out of date)\b`)
	waterBath   = pattern.New(`(?i)\b(water[- ]?bath|immersion (bath|circulator))\b`)
	rawWords    = pattern.New(`(?i)\b((with|in|of|used|using|reused|rest of|more of) (the|its|that) (old |raw |leftover |used )?marinade|(marinade|brine|injection) (it|they|the (meat|bird)) (lay|was|had been|sat) in|(leftover|used) (marinade|brine)|(rest|some|more) of the (brine|injection|cure)|same [a-z]+( [a-z]+)? (as|for|that|with)\b[^.;]{0,20}\braw|raw juices?|same (bottle|brush|mop|board|knife|bowl) (as|that|we used|i used|for)|touched (the )?raw|(board|knife|tongs|plate|tray|bowl|brush|mop|gloves|cloth) (of|from|that|where|which|i had|we had|with)? ?(the |had |held )*raw)\b`)
	partWords   = pattern.New(`(?i)\b((part|par|half)[- ]?(cooked|cook|done|baked|boiled) (yesterday|and|then|the day|ahead|today|overnight|last night)|finish(ed|ing)? (it )?(off )?(tomorrow|the next day))\b`)
	coldWords   = pattern.New(`(?i)\bcold[- ]?smok(ed?|ing)\b`)
	roofWords   = pattern.New(`(?i)\b(garage|indoors|in the (shed|barn|house|cellar|porch|van)|tent|marquee|camper|caravan|carport|conservatory|basement|balcony|veranda|greenhouse|gazebo|lean-to|awning|workshop|(smoker|pit|grill|barbecue|kettle|drum|coals|embers) (was |is )?(in|into|inside|under) (the |our |my |an? )?([a-z]+ )?(house|hall|hallway|kitchen|stable|room|outbuilding|store|stairwell|entrance|passage))\b`)
	ashWords    = pattern.New(`(?i)\b(ash|ashes|coals?|embers|charcoal)\b[^.;,]{0,30}\b(plastic|cardboard|paper (bag|sack)|bin ?bag|rubbish|trash|wheelie|compost|dustbin|wooden|deck|decking|leaves)\b`)
	fluidWords  = pattern.New(`(?i)\b(lighter fluid|petrol|gasoline|paraffin|kerosene|methylated|white spirit|accelerant|diesel|turpentine|paint thinner)\b`)

	// Smoke may smell of anything, and means nothing of the meat.
	smokeSmells = pattern.New(`(?i)\b(smoke|fire|charcoal|wood|pit) (smell(s|ed)?|smelt)[^.;,]*`)
	// "rolled off" and the like is said of fuel and lids, not of meat.
	rolledOn = pattern.New(`(?i)\brolled (off|over|down|away|in|out|up|back|by|into|under|onto)\b`)
)

const pieceName = "the name of the piece"

// IsBird reports whether a cut is poultry by its name.
func IsBird(cut string) bool { return birdWords.MatchString(cut) }

// named finds a word in the cut, the name of a piece, or, where no cut was
// noted, the title.
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

// mentions finds words in all a person wrote about the cook, each once.
func mentions(c *journal.Cook, words *pattern.Pattern) []Mention {
	texts := []Mention{
		{c.Cut, "the cut"}, {c.Title, "the title"}, {c.Supplier, "the supplier"}, {c.Rub.Mix, "the rub"},
		{c.Prose, "the notes"}, {c.Keep, "what to keep"}, {c.Change, "what to change"},
	}
	for _, p := range c.Pieces {
		texts = append(texts, Mention{p.Name, "the name of a piece"}, Mention{p.Bone, "the bone"})
	}
	for _, e := range c.Entries {
		texts = append(texts, Mention{e.Body(), "the line of " + e.Time.Format(measure.DayClock)})
	}
	var out []Mention
	for _, t := range texts {
		text := smokeSmells.ReplaceAllString(rolledOn.ReplaceAllString(t.Word, ""), "")
		for _, w := range words.FindAllString(text, -1) {
			w = strings.ToLower(w)
			if !slices.ContainsFunc(out, func(m Mention) bool { return m.Word == w }) {
				out = append(out, Mention{w, t.Where})
			}
		}
	}
	return out
}

// bonedOut reports whether the bone was taken out of the piece: "bone: out",
// unless the cut has none to begin with.
func bonedOut(c *journal.Cook, p journal.Piece) bool {
	return strings.EqualFold(strings.TrimSpace(p.Bone), "out") && !strings.Contains(strings.ToLower(c.Cut), "brisket")
}

// felt is the last feel of a whole tough cut that was tender: a slight grab or
// none. A bird, minced meat or a cut that is tender raw is no such.
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
