// Package heard finds in a person's notes what may have happened to the meat, the fire
// or the guests. It knows what words stand for (such as a place that keeps food cold, a
// place that does not, staying, a night) and looks for such words near each other. So
// it detects the same event in many different sentences. A "not" in front cancels a
// word.
package heard

// Meaning is an event that a sentence reports.
type Meaning string

// The meanings.
const (
	LeftOut    Meaning = "left out of the cold while it was raw"
	NightOut   Meaning = "a night out of the cold while it was raw"
	MaybeWarm  Meaning = "raw meat, warmth and time, and not clear what happened"
	WaterBath  Meaning = "comes from a water bath"
	PartCooked Meaning = "part-cooked and cooled"
	RawTouched Meaning = "touched by what was raw"
	Fallen     Meaning = "fell down, or an animal was at it"
	Spoiled    Meaning = "smells or feels spoiled"
	Standing   Meaning = "cooked meat left standing"
	WarmedSlow Meaning = "warmed up again, slowly or not hot"
	Undone     Meaning = "looks undone"
	ColdSmoked Meaning = "smoked cold"
	Ill        Meaning = "somebody is ill"
	Frail      Meaning = "guests whom little makes ill"
	FedPublic  Meaning = "a home or a nursery is fed"
	UnderRoof  Meaning = "a fire under a roof"
	HotAsh     Meaning = "hot ash where it sets something alight"
	Fluid      Meaning = "a fluid on a fire"
	FireOut    Meaning = "the fire was out, for long or nobody knows how long"
	Flames     Meaning = "fat, or what is near, caught fire"
)

// Said is one meaning found in a text, and the words of the text that say it.
type Said struct {
	Meaning Meaning
	Words   string
}

// Text is what a person wrote at one time, and the state of the cook at that time.
type Text struct {
	Text    string
	On, Off bool    // the meat had gone on, had come off
	US      bool    // numbers without a unit are in °F
	Clock   float64 // when it was written, h since midnight; 0: not known
}

// Read returns the meanings found in a text, each once.
func Read(t Text) (out []Said) {
	seen := map[Meaning]bool{}
	for _, s := range sentences(t.Text, moment{t.On, t.Off, t.US, t.Clock}) {
		if i, _ := s.framed(); i >= 0 && frames[i].means == "" {
			continue
		}
		for _, r := range rules {
			m, words := r(&s)
			if m == MaybeWarm && (seen[LeftOut] || seen[NightOut] || seen[WaterBath] || seen[PartCooked]) {
				continue
			}
			if m != "" && !seen[m] {
				seen[m] = true
				out = append(out, Said{m, words})
			}
		}
	}
	return out
}

// rule detects one kind of meaning in a sentence, and returns it with the words that
// say so; "" if the sentence has none.
type rule func(*sentence) (m Meaning, words string)

var rules = []rule{
	(*sentence).warmed, (*sentence).waterBath, (*sentence).partCooked, (*sentence).rawTouched, (*sentence).unwashed, (*sentence).birdJuice,
	(*sentence).leaked, (*sentence).sameTool, (*sentence).marinated, (*sentence).soakedIn, (*sentence).fell, (*sentence).onTheGround, (*sentence).bitten,
	(*sentence).spoiled, (*sentence).leftStanding, (*sentence).warmedAgain, (*sentence).undone, (*sentence).coldSmoked,
	(*sentence).ill, (*sentence).frail, (*sentence).poisoned, (*sentence).underRoof, (*sentence).hotAsh, (*sentence).fluid, (*sentence).fireOut, (*sentence).flames,
	(*sentence).inFrame, (*sentence).unclear, // last, since it asks about sentences in which no other rule found anything
}
