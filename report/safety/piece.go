package safety

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/report/safety/heard"
)

const (
	fridge     = 5.0 // °C, assumed for meat whose start was not noted (chosen: the limit for cold food)
	iceTo      = 1.0 // °C; at or below it part of the meat may be ice (chosen: meat freezes from −1 °C, a probe is good to 1 K)
	startLater = 5 * time.Minute
	softens    = 70.0 // °C; collagen turns to gelatine from 70 to 80 °C (Encyclopedia of Meat Sciences)
	doubtFrom  = 4    // if one reading in so many is impossible, the others are not used either (chosen: one slip of the pen is not enough)
)

// part is one piece under review.
type part struct {
	*look
	i       int
	meat    journal.Piece
	kill    Kill
	isBird  bool
	minced  bool
	game    bool
	dried   bool // jerky
	stuffed bool
	cooked  bool // bought cooked
	opened  bool // its inside was opened
	served  bool
	on, off time.Time // zero: not noted
	end     time.Time // of the cooking: off, else now
	core    curve     // all readings that are possible, with the start
	cooking curve     // the part of core until off
	doubt   bool      // too many readings cannot be true
	why     []string  // reasons to judge the piece by its core
}

func (l *look) piece(i int) {
	p := &part{look: l, i: i, kill: Meat}
	if i < len(l.c.Pieces) {
		p.meat = l.c.Pieces[i]
	}
	p.times()
	p.kinds()
	p.before()
	p.aims()
	n := p.readings()
	if n == 0 {
		if !p.off.IsZero() {
			p.followed(nil)
		}
		return
	}
	skin := surface(p.cooking, p.pit, p.on)
	p.early(skin)
	f := Figures{
		Piece: p.meat.Name, Readings: n, AtCore: len(p.why) > 0,
		CoreLogs: p.core.logs(p.kill), SurfaceLogs: skin.logs(p.kill),
		CoreWarm: p.warm(p.cooking), SurfaceWarm: p.warm(skin),
	}
	for k := 1; k < len(p.cooking); k++ {
		f.WidestGap = max(f.WidestGap, p.cooking[k].at.Sub(p.cooking[k-1].at))
	}
	if p.highest() >= p.kill.Instant {
		f.CoreLogs = Range{max(f.CoreLogs.Low, p.kill.Required), max(f.CoreLogs.High, p.kill.Required)}
		f.SurfaceLogs = Range{max(f.SurfaceLogs.Low, p.kill.Required), max(f.SurfaceLogs.High, p.kill.Required)}
	}
	if p.doubt {
		f.CoreLogs, f.SurfaceLogs = Range{}, Range{}
	}
	if !p.cold {
		p.heated(f)
		p.partCooked()
	}
	if !p.off.IsZero() {
		f.Growth = p.followed(p.core)
	}
	l.figures = append(l.figures, f)
}

// caution adds a finding for this piece.
func (p *part) caution(f Finding) {
	f.Piece = p.meat.Name
	p.add(f)
}

// once adds a finding for this piece, or, if it applies to the whole cook, for the
// cook, but only with its first piece.
func (p *part) once(whole bool, f Finding) {
	switch {
	case !whole:
		p.caution(f)
	case p.i == 0:
		p.add(f)
	}
}

// first returns when an act was first noted for this piece or for all pieces.
func (p *part) first(act journal.Act) (time.Time, bool) {
	for _, e := range p.c.Entries {
		for _, it := range e.Items {
			if it.Act == act && (it.Piece == "" || p.c.PieceIndex(it.Piece) == p.i) {
				return e.Time, true
			}
		}
	}
	return time.Time{}, false
}

// times sets when the piece went on and came off.
func (p *part) times() {
	p.on, _ = p.first(journal.On)
	off, ok := p.c.OffAt(p.i)
	raw, noted := p.first(journal.Off)
	switch {
	case ok:
		p.off = off
	case noted && raw.Before(p.on):
		p.caution(Finding{Kind: Order, Weight: Note, Text: fmt.Sprintf("It came off at %s and went on at %s: one of the times is wrong.", p.clock(raw), p.clock(p.on)),
			Rests: "the lines on and off", Do: "Correct the times; until then hours in these cautions may be wrong.", Source: sourcePractice})
	default:
		for _, act := range []journal.Act{journal.Rest, journal.Boxed, journal.Pulled, journal.Sliced, journal.Served, journal.Chilled} {
			if t, ok := p.first(act); ok && (p.off.IsZero() || t.Before(p.off)) {
				p.off = t
			}
		}
		if !p.off.IsZero() {
			p.caution(Finding{Kind: Order, Weight: Note, Text: "When it came off was not noted; " + p.clock(p.off) + " is assumed.",
				Rests: "the next line that says so", Do: "Note when it comes off: the hold counts from there.", Source: sourcePractice})
		}
	}
	if p.end = p.off; p.end.IsZero() {
		p.end = p.now
	} else {
		_, p.served = p.firstAfter(journal.Served)
		p.served = p.served || len(p.c.Tasting) > 0 // what was scored was eaten
	}
	for _, pair := range [][2]journal.Act{{journal.Off, journal.Served}, {journal.Boxed, journal.Unboxed}} {
		a, okA := p.first(pair[0])
		b, okB := p.first(pair[1])
		if okA && okB && b.Before(a) {
			p.caution(Finding{Kind: Order, Weight: Note, Text: fmt.Sprintf("%s at %s is noted before %s at %s: one of the times is wrong.", pair[1].Word(), p.clock(b), pair[0].Word(), p.clock(a)),
				Rests: "these two lines", Do: "Correct the times; until then hours in these cautions may be wrong.", Source: sourcePractice})
		}
	}
}

// kinds looks in the fields of the piece and in the notes for reasons why it is not
// whole muscle, such as mincing or injecting. It warns once of what applies to the
// whole cook.
func (p *part) kinds() {
	if m, ok := named(p.c, p.meat, birdWords); ok {
		p.isBird, p.kill = true, Bird
		p.why = append(p.why, "a bird")
		p.once(m.Where != pieceName, Finding{Kind: Poultry, Weight: Note, Text: "A bird may have bacteria inside, so its core counts, by the table for poultry: " + p.temp(BirdCore) + " in the thickest part of breast and thigh.",
			Rests: m.String(), Do: "Read it there without touching bone, and in the stuffing if there is any.", Source: sourceChart})
	}
	if m, ok := named(p.c, p.meat, mincedWords); ok {
		p.minced = true
		p.why = append(p.why, "minced")
		p.once(m.Where != pieceName, Finding{Kind: Opened, Weight: Note, Text: "Minced meat has bacteria of the surface all through it, so it needs " + p.temp(MincedCut) + " at the core.",
			Rests: m.String(), Do: "Read the core of the thickest one.", Source: sourceChart})
	}
	if m, ok := named(p.c, p.meat, gameWords); ok {
		p.game = true
		p.why = append(p.why, "game")
		p.once(m.Where != pieceName, Finding{Kind: Game, Weight: Note, Text: "Meat from the wild may carry parasites: " + p.temp(GameCore) + " at the core.",
			Rests: m.String(), Do: "Read the core in the thickest part; boar and bear are tested for trichinella where the law asks for it.", Source: sourceGame})
	}
	_, p.dried = named(p.c, p.meat, driedWords)
	_, p.stuffed = named(p.c, p.meat, stuffed)
	_, p.cooked = named(p.c, p.meat, cookedMeat)
	m, boned := mentions(p.c, openedWords, p.s.Units), bonedOut(p.c, p.meat)
	if boned {
		m = append(m, Mention{p.meat.Bone, "the bone of the piece"})
	}
	if len(m) > 0 {
		p.opened = true
		p.why = append(p.why, "its inside was opened")
		p.once(!boned, Finding{Kind: Opened, Weight: Note, Text: "Injected, boned, rolled, brined, needled or stuffed meat may have bacteria of the surface inside. So its core counts, and the hours for which the core was warm.",
			Rests: joinMentions(m), Do: "Read the core where the needle, the knife or the stuffing went.", Source: sourceOpened})
	}
	if m := p.heard[heard.Undone]; len(m) > 0 && (p.isBird || p.minced) {
		p.once(true, Finding{Kind: EndCore, Weight: Ask, Text: "Looks do not show that meat is cooked through, and these notes suggest that it was not.",
			Rests: joinMentions(m), Do: "Read the core in the thickest part: " + p.temp(p.leastCore()) + ", or put it back on the heat.", Source: sourceChart})
	}
	p.frozen()
}

func (p *part) frozen() {
	var rests []string
	if p.meat.Core.Known && p.meat.Core.Base <= iceTo {
		rests = append(rests, "a core of "+p.temp(p.meat.Core.Base)+" when it went on")
	}
	for _, r := range p.c.CoreReadings(p.i) {
		if r.C <= iceTo {
			rests = append(rests, fmt.Sprintf("a core of %s at %s", p.temp(r.C), p.clock(r.Time)))
			break
		}
	}
	read := len(rests) > 0
	if m := mentions(p.c, frozenWords, p.s.Units); len(m) > 0 && len(p.heard[heard.LeftOut]) == 0 && len(p.heard[heard.NightOut]) == 0 {
		rests = append(rests, joinMentions(m))
	}
	if len(rests) > 0 {
		p.once(!read, Finding{Kind: Frozen, Weight: Note, Text: "It may have gone on part-frozen: the coldest spot may be away from the probe and is cooked hours later, while the outside stays warm.",
			Rests: strings.Join(rests, ", "), Do: "Read the core in several places before it comes off; the coldest one counts.", Source: sourceThaw})
	}
}

// readings removes doubtful core readings, builds the curve and warns of what is
// missing in it. It returns the number of readings used.
func (p *part) readings() int {
	good := p.c.CoreReadings(p.i)
	bad := p.doubted(func(it journal.Item) bool { return it.Act == journal.ReadCore && p.c.PieceIndex(it.Piece) == p.i })
	total := len(good) + len(bad)
	if len(bad) > 0 {
		p.doubt = doubtFrom*len(bad) > total
		text := fmt.Sprintf("%d of %d core readings are left out as impossible: too hot for meat where water boils at %s, or too far from the others.", len(bad), total, p.temp(p.boils))
		if p.doubt {
			text += " The others may be wrong in the same way, so the reduction of bacteria is not worked out."
		}
		p.caution(Finding{Kind: Doubtful, Weight: Note, Text: text, Rests: strings.Join(bad[:min(3, len(bad))], ", "), Do: "Read again. If they are right, note: sure.", Source: sourcePractice})
	}
	if len(good) == 0 {
		weight := p.noCore()
		if it, ok := p.felt(); ok && weight > Note {
			p.caution(Finding{Kind: NoCore, Weight: Note, Text: fmt.Sprintf("No core was read, but a probe felt: %s. It feels like that in a tough cut only when the collagen has melted, from about %s on.", it.GradeWord(), p.temp(softens)),
				Rests: "the line " + it.String(), Do: "Next time read the core too, so that you have a number to show.", Source: sourceTender})
		} else if !p.cold && !p.unread(p.on, 0) {
			p.caution(Finding{Kind: NoCore, Weight: weight, Text: "No usable core reading: nobody can say how far the heat cooked it.",
				Rests: "the lines of the cook", Do: "Read the core in the thickest part before anybody eats: " + p.temp(p.leastCore()) + " is the published minimum.", Source: sourceChart})
		}
		return 0
	}
	n := len(good)
	if n == 1 {
		p.caution(Finding{Kind: FewReadings, Weight: Note, Text: "Only one core reading: nobody knows how long it was that warm, or how fast it rose.",
			Rests: fmt.Sprintf("%s at %s", p.temp(good[0].C), p.clock(good[0].Time)), Do: "Read again, and in another place.", Source: sourcePractice})
	}
	if start := good[0].Time; !p.on.IsZero() && start.Sub(p.on) > startLater {
		from := fridge
		if p.meat.Core.Known {
			from = p.meat.Core.Base
		}
		good = append([]journal.Reading{{Time: p.on, C: from}}, good...)
	}
	p.core = toCurve(good)
	first := p.on
	if first.IsZero() {
		first = p.core[0].at
	}
	p.cooking = p.core.between(first, p.end)
	p.jumps()
	times := []time.Time{first}
	for _, q := range p.cooking {
		times = append(times, q.at)
	}
	if p.end.After(times[len(times)-1]) {
		times = append(times, p.end)
	}
	p.gapFinding(p.meat.Name, "core", times)
	if last := p.cooking; len(last) > 0 && last[len(last)-1].c < journal.SafeHold {
		p.unread(last[len(last)-1].at, last[len(last)-1].c)
	}
	return n
}

// jumps warns where the core changed faster than meat can.
func (p *part) jumps() {
	for k := 1; k < len(p.core); k++ {
		a, b := p.core[k-1], p.core[k]
		if b.jump && !b.at.After(p.end) {
			p.caution(Finding{Kind: Doubtful, Weight: Note, Text: fmt.Sprintf("The core goes from %s to %s in %s: faster than meat can change. It may be a mistake in the notes, another unit, or a probe that was moved; the worse of the two counts for the time between them.",
				p.temp(a.c), p.temp(b.c), measure.FormatHours(b.at.Sub(a.at).Hours())),
				Rests: fmt.Sprintf("the readings of %s and %s", p.clock(a.at), p.clock(b.at)), Do: "Read again with the probe in the thickest part.", Source: sourcePractice})
			return
		}
	}
}

// early warns of a probe that was pushed in before the surface was hot, since it may
// carry bacteria inside. It applies only if the fire went down; in a hot pit the
// surface is hot long before the core.
func (p *part) early(skin curve) {
	if p.isBird || p.minced || p.dead == nil {
		return
	}
	for _, r := range p.c.CoreReadings(p.i) {
		if r.Time.Before(p.on) || r.Time.After(p.end) {
			continue
		}
		logs := 0.0 // without a usable curve nothing shows that the surface was heated
		if len(skin) > 0 {
			logs = skin.between(skin[0].at, r.Time).logs(p.kill).Low
		}
		if logs < p.kill.Required {
			p.why = append(p.why, "a probe was in early")
			p.caution(Finding{Kind: EarlyProbe, Weight: Note, Text: fmt.Sprintf("The probe was in at %s, when by our estimate heat had killed only %s of the %.1f log10 of bacteria on the surface. The probe may have pushed the rest inside, so the core counts.",
				p.clock(r.Time), logWords(logs), p.kill.Required),
				Rests: fmt.Sprintf("the reading of %s at %s", p.temp(r.C), p.clock(r.Time)), Do: "Next time wipe the probe and put it in once the outside is hot.", Source: sourceOpened})
		}
		return
	}
}

// warm returns the time between the cold and the hot limit while it cooked, including
// the time since the last reading.
func (p *part) warm(v curve) Range {
	sum := v.hours(ColdHold, journal.SafeHold)
	if len(v) == 0 || len(p.cooking) == 0 {
		return sum
	}
	last, core := v[len(v)-1], p.cooking[len(p.cooking)-1].c
	silent := p.end.Sub(last.at)
	if silent > 0 && core > ColdHold && core < journal.SafeHold && (last.c < journal.SafeHold || silent > unwatched) {
		sum.High += silent.Hours()
	}
	return sum
}

// leastCore returns the published minimum core temperature for this meat, °C.
func (p *part) leastCore() float64 {
	switch {
	case p.cooked:
		return HamCore
	case p.isBird, p.stuffed:
		return BirdCore
	case p.minced, p.dried:
		return MincedCut
	case p.game:
		return GameCore
	}
	return WholeCut
}

// highest returns the hottest core reading while it cooked, °C.
func (p *part) highest() float64 {
	top := math.Inf(-1)
	for _, q := range p.core {
		top = max(top, q.c)
	}
	return top
}

// fell reports whether the core lost heat on the grate below the hot limit, which means
// that the fire went down whatever the pit readings say.
func (p *part) fell() bool {
	for k := 1; k < len(p.cooking); k++ {
		if a, b := p.cooking[k-1], p.cooking[k]; b.c < a.c-journal.Dips && b.c < journal.SafeHold {
			return true
		}
	}
	return false
}

// heated checks whether it was cooked enough and how long it was warm.
func (p *part) heated(f Figures) {
	where, logs, warm := "surface", f.SurfaceLogs, f.SurfaceWarm
	basis := "an estimate of the surface from core and pit"
	if f.AtCore {
		where, logs = "core", f.CoreLogs
		basis = strings.Join(p.why, ", ")
	}
	rests := fmt.Sprintf("%s, the widest gap %s; %s", measure.Count(f.Readings, "core reading"), measure.FormatHours(f.WidestGap.Hours()), basis)
	ended := !p.off.IsZero() || p.dead != nil && !p.hotAgain()
	more := "Cook on, and read the coldest spot again."
	if p.dead != nil || warm.High > FourHours {
		more = "More heat helps with this, but not with the hours it was warm."
	}
	if top := p.highest(); ended && top < p.leastCore() {
		weight := Ask // a dead fire is more urgent
		if !p.off.IsZero() {
			weight = p.pressing(p.served)
		}
		p.caution(Finding{Kind: EndCore, Weight: weight, Text: fmt.Sprintf("The core was never read above %s; the published minimum is %s.", p.temp(top), p.temp(p.leastCore())),
			Rests: rests, Do: more, Source: sourceChart})
	}
	p.cooling()
	if missed := p.doubt || logs.Low < p.kill.Required; ended && missed && !p.cooked {
		text := fmt.Sprintf("At the %s the readings add up to %s log10, and the table asks for %.1f (at a steady %s, %s).", where, rangeWords(logs), p.kill.Required, p.temp(65), dwellWords(p.kill, 65))
		if p.doubt {
			text = "Not worked out: too many of the readings are impossible."
		}
		p.caution(Finding{Kind: LogReduction, Weight: Ask, Text: text, Rests: rests, Do: more, Source: p.kill.source})
	}
	if f.AtCore && p.dead != nil {
		warm = f.CoreWarm
	} else {
		where = "surface"
	}
	if warm.High > FourHours {
		weight, end := p.pressing(p.served), ", more than the four hours allowed."
		do := "Ask the local food authority before anybody eats it; without an answer, throw it out. " + toxin
		switch {
		case p.dead == nil && !p.fell(): // the surface is hotter than the core, and nothing suggests a fire that went down
			weight, end = Note, ". Pit readings of those hours would show whether it was over the four hours allowed."
			if do = "Read the pit every two hours at least, or leave a probe in."; p.off.IsZero() {
				weight = Ask
			}
		case warm.Low <= FourHours:
			weight, end = Ask, ". Pit readings of those hours would show whether it was over the four hours allowed."
		}
		p.caution(Finding{Kind: LongWarm, Weight: weight, Text: fmt.Sprintf("The %s was between %s and %s for %s", where, p.temp(ColdHold), p.temp(journal.SafeHold), hourWords(warm)) + end,
			Rests: rests, Do: do, Source: sourceZone})
	}
	if rise := p.cooking.hours(comeUpFrom, comeUpTo); (f.AtCore || p.dead != nil) && rise.High > comeUp {
		grown := p.cooking.growth(GrowthIn(p.c.Cut))
		p.caution(Finding{Kind: SlowRise, Weight: Ask, Text: fmt.Sprintf("The core took %s from %s to %s; the most that is allowed is %s. The bacterium Clostridium perfringens could have grown by %s log10 meanwhile.", hourWords(rise), p.temp(comeUpFrom), p.temp(comeUpTo), measure.FormatHours(comeUp), rangeWords(grown)),
			Rests: rests, Do: "Next time use a hotter pit at the start, or smaller pieces. " + toxin, Source: sourceComeUp})
	}
}

// logWords and the functions below print numbers with no more digits than are known.
func logWords(logs float64) string {
	if logs > 20 {
		return "over 20"
	}
	return fmt.Sprintf("%.1f", float64(int(logs*10))/10)
}

func rangeWords(r Range) string {
	low, high := logWords(r.Low), logWords(r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

func hourWords(r Range) string {
	low, high := measure.FormatHours(r.Low), measure.FormatHours(r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

func dwellWords(k Kill, celsius float64) string {
	m, _ := k.Dwell(celsius)
	if m < 1 {
		return fmt.Sprintf("%.0f s", m*60)
	}
	return fmt.Sprintf("%.0f min", m)
}
