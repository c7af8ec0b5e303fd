package journal

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"ashbook/journal/measure"
)

// Act is one kind of thing that is read or done at the pit: one of the constants below.
type Act uint8

// The acts. ReadPit to ReadCore are readings; SetPit and SetCore change the aim.
const (
	NoAct    Act = iota
	ReadPit      // pit temperature at the grate
	ReadAir      // temperature of the outdoor air
	ReadBox      // temperature of the air in the holding box
	ReadCore     // core temperature of a piece
	SetPit       // pit temperature wanted from now on
	SetCore      // core temperature wanted from now on
	Lit          // fire started
	Settled      // the pit's temperature is steady
	On           // meat on the grate
	Off          // meat off the grate
	Rest         // resting uncovered
	Boxed        // put into the holding box
	Unboxed      // taken out of the box
	Pulled
	Sliced
	Served
	Chilled
	Vent // vents moved
	AddFuel
	AddWood
	OpenLid
	Turn // meat turned or moved
	Spritz
	PutWrap
	Unwrap
	Bark    // 0 pale, 1 amber, 2 mahogany, 3 dark, 4 too dark
	Feel    // probe feel: 0 hard, 1 resists, 2 resists a little, 3 slides in
	Recheck // when to look again
	Sure    // the readings of this line, or of the last line that has one, are right
	Sky     // rain, wind, snow
	Fire    // the state of the fire: died, relit, out of charcoal
	Water   // the water pan was filled, or found dry
	Probe   // a probe fell out, or was moved
	Oven    // moved into the kitchen oven; a temperature may follow
	Reheat  // warmed again after it was chilled
	Save    // juices and fat kept
	Sleep   // the cook slept
	Watch   // who is looking after the cook, perhaps until when
	Photo   // name of a picture file
	By      // who wrote the entry
	acts
)

// argument says what may follow an act's word.
type argument uint8

const (
	argNone   argument = iota
	argTemp            // a temperature
	argDetail          // free words, with or without an amount at the end
	argWrap            // a kind of wrap, with or without "loose"
	argGrade           // a whole number from 0 to the act's top
	argSpan            // a duration
	argMaybe           // a temperature or nothing
	argKeeper          // a name, with or without "until" and a clock time
	argName            // one name
)

// actInfo describes an act, except what it does to the meat.
type actInfo struct {
	word  string
	key   byte // its letter on the entry line; 0 for none
	gloss string
	arg   argument
	piece bool // the name of a piece may follow
	top   int  // highest grade
	after int  // minutes until the next look; 0 for none
	opens bool // the pit is open meanwhile, so its temperature falls at once
	wets  bool // the meat's surface is wet afterwards, and drying it takes heat
}

// Minutes until the next look are common practice, no source: the pit shows a change of
// the vents within twenty minutes, wood burns for an hour, bark sets slowly.
var actTable = [acts]actInfo{
	ReadPit:  {word: "pit", arg: argTemp, gloss: "what the probe at the grate says"},
	ReadAir:  {word: "air", arg: argTemp, gloss: "the temperature of the air outdoors"},
	ReadBox:  {word: "box", arg: argTemp, gloss: "the temperature of the air in the holding box"},
	ReadCore: {word: "core", key: 'c', arg: argTemp, piece: true, gloss: "the core temperature of a piece"},
	SetPit:   {word: "aim pit", arg: argTemp, gloss: "the pit temperature wanted from now on"},
	SetCore:  {word: "aim core", arg: argTemp, gloss: "the core temperature wanted from now on"},
	Lit:      {word: "lit", gloss: "the fire is started"},
	Settled:  {word: "settled", gloss: "the pit is steady"},
	On:       {word: "on", piece: true, opens: true, gloss: "the meat goes on the grate"},
	Off:      {word: "off", piece: true, opens: true, gloss: "the meat comes off the grate"},
	Rest:     {word: "rest", piece: true, gloss: "rests uncovered"},
	Boxed:    {word: "boxed", piece: true, after: 60, gloss: "the meat goes into the holding box"},
	Unboxed:  {word: "unboxed", piece: true, gloss: "the meat comes out of the holding box"},
	Pulled:   {word: "pulled", piece: true, gloss: "the meat is pulled"},
	Sliced:   {word: "sliced", piece: true, gloss: "the meat is sliced"},
	Served:   {word: "served", piece: true, gloss: "the meat is served"},
	Chilled:  {word: "chilled", piece: true, gloss: "the leftovers go into the cold"},
	Vent:     {word: "vent", key: 'v', arg: argDetail, after: 20, gloss: "vents moved"},
	AddFuel:  {word: "fuel", key: 'f', arg: argDetail, opens: true, gloss: "charcoal or briquettes are added"},
	AddWood:  {word: "wood", key: 'w', arg: argDetail, after: 60, gloss: "wood is added: its kind and weight"},
	OpenLid:  {word: "lid", key: 'l', arg: argDetail, opens: true, gloss: "the lid was open"},
	Turn:     {word: "turn", key: 't', arg: argDetail, opens: true, gloss: "the meat is turned or moved"},
	Spritz:   {word: "spritz", key: 's', arg: argDetail, after: 45, opens: true, wets: true, gloss: "the bark is sprayed"},
	PutWrap:  {word: "wrap", arg: argWrap, opens: true, gloss: "the meat is wrapped"},
	Unwrap:   {word: "unwrap", opens: true, gloss: "the meat is unwrapped"},
	Bark:     {word: "bark", key: 'b', arg: argGrade, top: 4, after: 60, gloss: "how dark the bark is, 0 pale to 4 too dark"},
	Feel:     {word: "feel", key: 'p', arg: argGrade, piece: true, top: 3, after: 20, gloss: "how a probe goes in, 0 hard to 3 slides in"},
	Recheck:  {word: "recheck", key: 'r', arg: argSpan, gloss: "when to look again"},
	Sure:     {word: "sure", gloss: "the doubted reading is right"},
	Sky:      {word: "weather", arg: argDetail, gloss: "rain, wind, snow"},
	Fire:     {word: "fire", arg: argDetail, after: 20, gloss: "what the fire did: died, relit, low"},
	Water:    {word: "water", arg: argDetail, gloss: "the water pan was filled, or is dry"},
	Probe:    {word: "probe", arg: argDetail, gloss: "a probe fell out, or was moved"},
	Oven:     {word: "oven", arg: argMaybe, piece: true, gloss: "the meat goes into the kitchen oven; its setting"},
	Reheat:   {word: "reheated", piece: true, gloss: "cold meat is warmed again"},
	Save:     {word: "saved", arg: argDetail, gloss: "juices and fat are saved"},
	Sleep:    {word: "asleep", arg: argDetail, gloss: "you slept, from when to when"},
	Watch:    {word: "watch", arg: argKeeper, gloss: "who has the watch, and until when"},
	Photo:    {word: "photo", arg: argDetail, gloss: "the name of a picture file"},
	By:       {word: "by", arg: argName, gloss: "who noted this line"},
}

// Acts returns every act a timeline line may have, in table order.
func Acts() []Act {
	all := make([]Act, 0, acts-1)
	for a := NoAct + 1; a < acts; a++ {
		all = append(all, a)
	}
	return all
}

// Word returns the word for the act in a file.
func (a Act) Word() string {
	if a >= acts {
		return ""
	}
	return actTable[a].word
}

// Gloss describes the act in a few words, for lists and FORMAT.md.
func (a Act) Gloss() string { return actTable[a].gloss }

// Key returns the act's letter on the entry line; 0 for none.
func (a Act) Key() byte { return actTable[a].key }

// OpensPit reports whether the pit is open during the act, so that its temperature falls
// at once.
func (a Act) OpensPit() bool { return actTable[a].opens }

// WetsSurface reports whether the meat is wet after the act.
func (a Act) WetsSurface() bool { return actTable[a].wets }

// TakesName reports whether the name of a person follows the act.
func (a Act) TakesName() bool { return actTable[a].arg == argKeeper || actTable[a].arg == argName }

// MayTakeTemperature reports whether the act may be followed by a temperature but need
// not be.
func (a Act) MayTakeTemperature() bool { return actTable[a].arg == argMaybe }

// TakesPiece reports whether a piece may be named after the act.
func (a Act) TakesPiece() bool { return actTable[a].piece }

// TakesTemperature reports whether the act is a reading or a setting.
func (a Act) TakesTemperature() bool { return actTable[a].arg == argTemp }

// TakesDetail reports whether free words may follow the act.
func (a Act) TakesDetail() bool { return actTable[a].arg == argDetail }

// TopGrade returns the highest grade of bark or feel; 0 for acts without a grade.
func (a Act) TopGrade() int { return actTable[a].top }

// DefaultRecheck returns how long after the act to look again; 0 for no look.
func (a Act) DefaultRecheck() time.Duration {
	return time.Duration(actTable[a].after) * time.Minute
}

// ActByWord returns the act with exactly that word, ignoring case.
func ActByWord(word string) (Act, bool) {
	for a := NoAct + 1; a < acts; a++ {
		if w := actTable[a].word; len(w) == len(word) && strings.EqualFold(w, word) {
			return a, true
		}
	}
	return NoAct, false
}

// Item is one part of an entry: an act and its argument.
type Item struct {
	Act    Act
	Piece  string              // name of the piece; "" for the only one or for all
	Temp   measure.Temperature // of a reading, a setting or, if known, the oven
	Wrap   Wrap                // only for PutWrap
	Loose  bool                // only for PutWrap: wrapped loosely
	Grade  int                 // only for Bark and Feel
	After  measure.Span        // only for Recheck
	Detail string              // for acts with words, watch and by: the words as typed, with any amount
	Amount measure.Mass        // mass at the end of Detail; not recorded if there is none
}

// GradeWord returns the word for a grade of bark or feel: "mahogany", "slides in".
func (i Item) GradeWord() string {
	names := map[Act][]string{
		Bark: {"pale", "amber", "mahogany", "dark", "too dark"},
		Feel: {"hard", "resists", "resists a little", "slides in"},
	}[i.Act]
	if i.Grade < 0 || i.Grade >= len(names) {
		return ""
	}
	return names[i.Grade]
}

// String formats the item as in a file. ParseItem reads it back.
func (i Item) String() string {
	parts := []string{i.Act.Word()}
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	add(i.Piece)
	switch actTable[i.Act].arg {
	case argTemp, argMaybe:
		add(i.Temp.String())
	case argDetail, argKeeper, argName:
		add(i.Detail)
	case argWrap:
		add(string(i.Wrap))
		if i.Loose {
			add("loose")
		}
	case argGrade:
		add(strconv.Itoa(i.Grade))
	case argSpan:
		add(i.After.String())
	}
	return strings.Join(parts, " ")
}

// Grammar is what parsing a line depends on besides the line.
type Grammar struct {
	Pieces []string       // names of pieces that may follow an act
	Units  measure.System // units of numbers without a unit
}

// ParseItem parses one part of an entry. It must use up the whole part. If the part
// begins like an item but is none, err says what is missing; for other words err is nil
// and the item's act is NoAct.
func ParseItem(s string, g Grammar) (Item, error) {
	s = oneBlank(s)
	first, rest, _ := strings.Cut(s, " ")
	_, arg, _ := strings.Cut(rest, " ")
	act, ok := ActByWord(strings.TrimSuffix(s[:len(s)-len(arg)], " ")) // an act of two words
	if !ok {
		act, ok = ActByWord(first)
		arg = rest
	}
	if !ok {
		return Item{}, nil
	}
	if actTable[act].piece {
		if name, rest := cutPiece(arg, g.Pieces); name != "" {
			if it, err := parseArgument(act, rest, g); err == nil {
				it.Piece = name
				return it, nil
			}
		}
	}
	return parseArgument(act, arg, g)
}

// oneBlank returns s with its runs of spaces and tabs replaced by one space.
func oneBlank(s string) string {
	blank := true // the character before was a blank
	for _, r := range s {
		was := blank
		if blank = unicode.IsSpace(r); blank && (was || r != ' ') {
			return strings.Join(strings.Fields(s), " ")
		}
	}
	return strings.TrimSuffix(s, " ")
}

// parseArgument parses what follows an act and its piece.
func parseArgument(act Act, rest string, g Grammar) (Item, error) {
	info, it := &actTable[act], Item{Act: act}
	fail := func(format string, args ...any) (Item, error) {
		return Item{}, fmt.Errorf("%s: %s", info.word, fmt.Sprintf(format, args...))
	}
	switch info.arg {
	case argNone:
		if rest != "" {
			if info.piece && len(g.Pieces) > 0 {
				return fail("no piece is named %q; the pieces are %s", rest, strings.Join(g.Pieces, ", "))
			}
			return fail("nothing was expected after it, found %q", rest)
		}
	case argTemp, argMaybe:
		if rest == "" && info.arg == argMaybe {
			break
		}
		t, err := measure.ParseTemperature(rest, g.Units)
		if err != nil {
			return fail("%v", err)
		}
		it.Temp = t
	case argDetail:
		it.Detail = rest
		it.Amount = amountAtEnd(rest, g.Units)
	case argKeeper, argName:
		if !namesKeeper(rest, info.arg == argKeeper) {
			return fail("%q is not a name; expected initials or one name; after the watch you may add a time such as until 03:00", rest)
		}
		it.Detail = rest
	case argWrap:
		w, loose, _ := strings.Cut(rest, " ")
		kind, ok := ParseWrap(w)
		if !ok || loose != "" && !strings.EqualFold(loose, "loose") {
			return fail("%q is not a kind of wrap; expected foil, paper, boat or pan, perhaps then loose", rest)
		}
		it.Wrap, it.Loose = kind, loose != ""
	case argGrade:
		grade, err := strconv.Atoi(rest)
		if err != nil || grade < 0 || grade > info.top || len(rest) != 1 {
			return fail("%q is not a grade; expected 0 to %d", rest, info.top)
		}
		it.Grade = grade
	case argSpan:
		d, err := measure.ParseSpan(rest)
		if err != nil || d.Base < 0 {
			return fail("%q is not a time to wait; expected one such as 30 min", rest)
		}
		it.After = d
	}
	return it, nil
}

// untilWord separates the name of who has the watch from the time its watch ends.
const untilWord = "until"

// namesKeeper reports whether s is one name that begins with a capital letter. If until
// is set, "until" and a clock time may follow.
func namesKeeper(s string, until bool) bool {
	fields := strings.Fields(s)
	if len(fields) == 0 || len(fields) > 1 && !(until && len(fields) == 3 && fields[1] == untilWord) {
		return false
	}
	if first, _ := utf8.DecodeRuneInString(fields[0]); !unicode.IsUpper(first) {
		return false
	}
	for _, r := range fields[0] {
		if !unicode.IsLetter(r) && r != '.' && r != '\'' && r != '-' {
			return false
		}
	}
	if len(fields) == 1 {
		return true
	}
	_, _, ok := ParseClock(fields[2])
	return ok
}

// Keeper returns the name in a watch or by item, and the clock time until which a watch
// lasts, "" if not given: "MB", "03:00".
func (i Item) Keeper() (who, until string) {
	who, until, _ = strings.Cut(i.Detail, " "+untilWord+" ")
	return who, until
}

// cutPiece removes the longest piece name at the start of s.
func cutPiece(s string, names []string) (piece, rest string) {
	for _, n := range names {
		if len(n) <= len(s) && strings.EqualFold(s[:len(n)], n) && (len(s) == len(n) || s[len(n)] == ' ') && len(n) > len(piece) {
			piece = n
		}
	}
	return piece, strings.TrimSpace(s[len(piece):])
}

// amountAtEnd returns the mass at the end of a detail such as "cherry 90 g".
func amountAtEnd(s string, sys measure.System) measure.Mass {
	fields := strings.Fields(s)
	for k := max(0, len(fields)-4); k < len(fields); k++ {
		if c := fields[k][0]; c != '.' && (c < '0' || c > '9') {
			continue
		}
		if m, err := measure.ParseMass(strings.Join(fields[k:], " "), sys); err == nil && !m.Assumed {
			return m
		}
	}
	return measure.Mass{}
}
