package safety

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
)

// Where the words were written.
const (
	inNotes = "notes" // the prose
	goingOn = "on"    // the line in which it goes on
	cooking = "cooking"
	isOff   = "off"
)

// spoken are sentences as cooks write them, with the kind of finding that their source
// asks for, at "ask the code" or above; after "note " a note is enough. "" is for
// harmless sentences that sound similar and must raise nothing above a note. The
// sources are those of the same kind in situations; that a sentence is harmless is
// common practice, no source.
var spoken = []struct {
	when, words, kind string
	doNow             bool
}{
	{inNotes, "Put the brisket out to thaw in the sink at seven last night and forgot all about it till this morning.", "warm before it went on", true},
	{goingOn, "my lad fell asleep and it sat in a glass dish on the worktop for three hours", "warm before it went on", false},
	{goingOn, "garage fridge tripped the breaker sometime yesterday, everything in it was at 15 this morning", "warm before it went on", false},
	{inNotes, "Freezer died on Tuesday, the butts were soft and 12 °C when I found them.", "warm before it went on", false},
	{inNotes, "Smoked it five hours on Friday, wrapped it and into the fridge, finishing it off on Sunday.", "part-cooked", false},
	{inNotes, "Gave it three hours of smoke last night, let it cool, back on the pit at noon.", "part-cooked", false},
	{isOff, "lifted it off with the tongs I had used for the raw chicken", "raw juice", false},
	{isOff, "carved on the tray the raw joint came in on", "raw juice", false},
	{isOff, "bag of chicken wings leaked over the cooked meat in the cool box", "raw juice", false},
	{cooking, "spritzed with what was left of the pork's marinade", "raw juice", false},
	{isOff, "it slid off the board and landed in the gravel, brushed it off", "fell down", false},
	{isOff, "dog had half of it off the table before I got there, we ate the rest", "fell down", false},
	{isOff, "pulled pork forgotten on the hob all night, smells fine", "leftovers", false},
	{isOff, "the platter was out on the buffet from one till half past six", "leftovers", false},
	{inNotes, "Warmed the leftovers in the slow cooker on low for four hours.", "reheating", false},
	{isOff, "two of the guests were up all night vomiting", "somebody is ill", false},
	{inNotes, "My sister is six months pregnant and Gran is 91.", "note who eats", false},
	{inNotes, "Lunch for the residents of the care home.", "who eats", false},
	{cooking, "raining hard so I am running the smoker just inside the garage with the door up", "carbon monoxide", true},
	{cooking, "shovelled the hot coals into the recycling crate", "hot ash", true},

	{inNotes, "Left the wood chunks out on the bench overnight to dry.", "", false},
	{inNotes, "In the fridge overnight, uncovered, on the bottom shelf.", "", false},
	{isOff, "the guests sat out on the patio all evening", "", false},
	{goingOn, "took it out of the fridge at six, on at half past", "", false},
	{inNotes, "Thermometer in the fridge showed 3 all week.", "", false},
	{cooking, "power went off for a minute, pit controller restarted, no harm", "", false},
	{isOff, "fresh board and a clean knife for slicing, the raw one went in the dishwasher", "", false},
	{cooking, "kept half the marinade back before the meat went in, used that as the glaze", "", false},
	{cooking, "half done at noon by the look of it, patience", "", false},
	{cooking, "finished the fence while it smoked, paint tomorrow", "", false},
	{cooking, "pit dropped to 90 when a log fell on the floor of the firebox", "", false},
	{cooking, "dropped the tongs on the grass, got another pair", "", false},
	{cooking, "dog slept by the smoker all night", "", false},
	{isOff, "reheated in the oven to 78 in an hour and a half", "", false},
	{inNotes, "Sick of the same rub, try another next time.", "", false},
	{inNotes, "Kids loved it.", "", false},
	{cooking, "fetched more charcoal from the garage", "", false},
	{inNotes, "Party tent up by noon, tables inside, smoker well away on the lawn.", "", false},
	{inNotes, "Cold ash into the compost a week later, soaked first.", "", false},
	{cooking, "wood smells sour, changed to dry splits", "", false},

	// A second set of wordings.
	{goingOn, "the cooler's ice was all melted and the chickens were at 58 F", "warm before it went on", false},
	{inNotes, "It rode home in the trunk for most of a hot afternoon.", "warm before it went on", false},
	{goingOn, "fridge door had been ajar since the evening", "warm before it went on", false},
	{inNotes, "Couldn't get it in the fridge, so it stayed on the back porch all night under a towel.", "warm before it went on", true},
	{inNotes, "Thawed the turkey in a tub of warm water this afternoon.", "warm before it went on", false},
	{cooking, "basting with the brine the birds soaked in", "raw juice", false},
	{isOff, "chopped it on the block where I had just cut up raw pork, no time to wash it", "raw juice", false},
	{isOff, "the kid with a stomach bug helped with the pulling", "somebody is ill", false},
	{isOff, "what nobody ate sat on the kitchen table until we got back at ten", "leftovers", false},
	{inNotes, "Took it to 60 on Saturday, chilled it, and will bring it up to 95 tomorrow before lunch.", "part-cooked", false},
	{cooking, "wheeled the grill into the carport because of the wind", "carbon monoxide", true},
	{isOff, "ash can was full so the rest of the embers went in the wheelie bin", "hot ash", true},

	{goingOn, "salted and left uncovered in the fridge for two nights", "", false},
	{inNotes, "Sat by the fire all night with a blanket and a flask.", "", false},
	{cooking, "kitchen smells of sour cherries from the sauce", "", false},
	{isOff, "rested an hour and a half on the counter in foil, then sliced", "", false},
	{inNotes, "Guests from the garden club, tables under the marquee.", "", false},
	{cooking, "rain, so I moved the table and the beer into the garage", "", false},
	{isOff, "scrubbed the board that had the raw chicken and used the other for carving", "", false},
	{cooking, "pulled the cooler out of the van, ice still solid, birds at 2 °C", "", false},
	{inNotes, "Boil the marinade for ten minutes if you want it as a sauce.", "", false},
	{cooking, "the neighbour's cat sat under the grill all afternoon hoping", "", false},
	{isOff, "leftovers in the fridge by nine, eaten cold the next day", "", false},
	{inNotes, "Start the fire earlier tomorrow, the wood pile is dry again.", "", false},

	// A third set of wordings.
	{goingOn, "butcher's parcel was in the post for two days and the gel packs were soft and warm", "warm before it went on", false},
	{inNotes, "We lost electricity from midnight to eight and the fridge was warm by breakfast.", "warm before it went on", false},
	{goingOn, "took it out at lunchtime so it wouldn't go on cold", "warm before it went on", false},
	{inNotes, "Brined it in a bucket on the balcony for a day and a half, about 15 degrees.", "warm before it went on", true},
	{cooking, "topped up the mop with the juices from the raw meat tray", "raw juice", false},
	{isOff, "put the cooked birds back on the dish they had lain on raw", "raw juice", false},
	{isOff, "dropped a whole rack on the patio, wiped it, nobody saw", "fell down", false},
	{cooking, "wasps all over the meat and fly eggs on the fat side", "fell down", false},
	{isOff, "a few of us had cramps and the runs on Sunday", "somebody is ill", false},
	{inNotes, "Cooked it to 50 the day before, kept it cold, finished it today.", "part-cooked", false},
	{isOff, "left the trays of meat on the trestle after the meal and packed them away at dusk", "leftovers", false},
	{inNotes, "The little one is nine months old and will have some.", "note who eats", false},
	{cooking, "carried the kettle into the barn, doors open, snow outside", "carbon monoxide", true},
	{cooking, "threw a cup of petrol on, would not catch", "lid flare", false},

	{goingOn, "power washed the patio while the pit came up", "", false},
	{inNotes, "Put the beans and the slaw out on the table at noon.", "", false},
	{cooking, "warm night, sat out under the stars with the pit steady", "", false},
	{goingOn, "in the cellar at 3 °C since yesterday", "", false},
	{inNotes, "The raw edge of the bark is what I like.", "", false},
	{cooking, "boiled what was left of the marinade and brushed it on", "", false},
	{isOff, "nobody ill, all asked for more", "", false},
	{cooking, "wind dropped, rain fell on the deck for an hour", "", false},
	{inNotes, "Smoked on Saturday, sliced cold on Sunday for sandwiches.", "", false},
	{isOff, "dog got the bone, cat got the skin", "", false},
	{cooking, "ash pan emptied into the steel bin", "", false},
	{inNotes, "Drove out to the farm for it, back in the cool box with ice.", "", false},
	{isOff, "warmed the plates in the oven, sauce on the hob", "", false},
	{inNotes, "Garage sale next door, smoke went everywhere.", "", false},

	// A fourth set of wordings.
	{goingOn, "the whole box of ribs spent the night in the boot", "warm before it went on", true},
	{inNotes, "Fridge packed in on Thursday and we only noticed on Friday.", "warm before it went on", false},
	{inNotes, "Hot day, the butcher's bag was on the back seat while we had lunch.", "warm before it went on", false},
	{cooking, "used the injection left in the syringe jug to baste", "raw juice", false},
	{isOff, "my hands still had chicken juice on them when I pulled it", "raw juice", false},
	{isOff, "grandad is on dialysis and had two helpings", "note who eats", false},
	{isOff, "the meat stood on the bar till closing time, then into the fridge", "leftovers", false},
	{cooking, "fire is in the tent annex now, sides rolled down", "carbon monoxide", true},
	{inNotes, "Meat is four days past its use-by but looks all right.", "spoiled", false},
	{isOff, "microwaved cold slices until lukewarm, second time today", "reheating", false},

	{inNotes, "Slept in the tent next to the pit all night.", "", false},
	{inNotes, "Left it on the pit overnight at 105.", "", false},
	{cooking, "garage door shut, smoke was getting in", "", false},
	{cooking, "all night it sat at 68, the stall", "", false},
	{isOff, "the whole day out on the lawn with friends", "", false},
	{inNotes, "Charcoal was in a plastic bag in the shed and got damp.", "", false},
	{cooking, "embers glowing, wooden deck swept, hose ready", "", false},
	{inNotes, "Kept the brine bucket in the fridge overnight, rinsed in the morning.", "", false},
	{goingOn, "lit it outside the barn, wind from the barn side", "", false},
	{isOff, "box in the kitchen, 70 in the meat all night", "", false},

	// A fifth set, in the words of questions on public cooking forums, shortened.
	{inNotes, "Last night I put out a 10 pound trimmed brisket to thaw on the counter in its package and completely forgot till this morning that it was there.", "warm before it went on", true},
	{goingOn, "son-in-law left it out on kitchen counter in a glass pan for 3 hours before smoking it", "warm before it went on", false},
	{inNotes, "I left out two raw but frozen briskets in the sink at 7PM to thaw because they were rock hard, only the next morning did I remember.", "warm before it went on", false},
	{inNotes, "Left it on the counter because it was frozen solid. Turns out it sat out all night, roughly 12 hours, completely thawed.", "warm before it went on", true},
	{inNotes, "Put a frozen pork roast in cold brine and left it out over night.", "warm before it went on", true},
	{inNotes, "A flat frozen rock solid was left out in error yesterday for about 10 hours before being put in the refrigerator.", "warm before it went on", false},
	{inNotes, "Brined the chicken in open coolers over night in my garage, not in the fridge.", "warm before it went on", true},
	{inNotes, "Cooking the meat halfway, then finishing it on the grill the day of the event.", "part-cooked", false},
	{inNotes, "Smoke it for five hours one day, refrigerate it and finish it the next day.", "part-cooked", false},
	{isOff, "put the leftovers in a tub and forgot to put the tub in the fridge last night", "leftovers", false},
	{isOff, "it had been sitting out on the counter for 8 hours at room temperature", "leftovers", false},
	{isOff, "used the same spatula that touched the raw side to take the finished meat off", "raw juice", false},
	{isOff, "my mother left cooked meat out on the table overnight without problems", "leftovers", false},
	{goingOn, "off for five hours in the night, the fridge's outlet had tripped, meat at 15 °C", "warm before it went on", false},

	{inNotes, "Do not put cooked food on the same plate that held raw meat.", "", false},
	{goingOn, "let the meat sit on a rack for an hour or so with a fan blowing on it", "", false},
	{goingOn, "brought it out of the fridge for an hour or so before cooking", "", false},
	{isOff, "let it sit wrapped in a cooler for a couple of hours after cooking", "", false},
	{inNotes, "Wrapped in foil and towels in the cooler overnight, still 68 in the morning.", "", false},
	{cooking, "took it inside to wrap, back on in ten minutes", "", false},
	{cooking, "brought the brisket into the house to wrap it", "", false},
	{isOff, "carried it into the kitchen, wrapped in towels", "", false},
	{isOff, "moved it into the oven in the kitchen to keep warm", "", false},
	{cooking, "smoker went out for twenty minutes while I slept, fired it back up", "", false},

	// A sixth set, from the same forums.
	{cooking, "pulled it a couple of feet into the garage and left the large door open", "carbon monoxide", true},
	{inNotes, "Smoked it on the concrete floor of the garage with the door about a quarter open, overnight.", "carbon monoxide", true},
	{cooking, "set the cooker just inside the garage to keep it out of the rain, fan on", "carbon monoxide", true},
	{cooking, "smoking in the end of the garage with the door open", "carbon monoxide", true},
	{cooking, "smoker went in the garage at the opening of the door, lit the chimney outside", "carbon monoxide", true},
	{inNotes, "Took it off at 7:30 after the power went out at 5, put it in the fridge, will finish it tomorrow.", "part-cooked", false},
	{inNotes, "Let it sit in the fridge under a salty rub for two hours, then on the counter for three.", "warm before it went on", false},
	{inNotes, "Took it out of the freezer around 7 pm and it just sat in the sink in its package till 7 this morning.", "warm before it went on", false},

	{inNotes, "Took it out and let it sit on the counter for an hour.", "", false},
	{inNotes, "Start my chimney outside the garage, smoke right on the drive.", "", false},
	{cooking, "canopy up over the smoker, sides open", "", false},
	{cooking, "thunderstorm, watched it from the garage, smoker out on the drive", "", false},
	{inNotes, "The brisket was out of the fridge for 30 minutes to trim and rub.", "", false},
	{inNotes, "CO detector bought for the garage.", "", false},
	{cooking, "plug had come loose, smoker off ten minutes, back to 110", "", false},
	{inNotes, "Meat is cheap, doctors are expensive.", "", false},
}

func TestSpoken(t *testing.T) {
	right := 0
	for _, s := range spoken {
		if got, ok := heardRightly(t, s.when, s.words, s.kind, s.doNow); !ok {
			t.Errorf("%s: %q: %q, want %q, do now %v", s.when, s.words, got, s.kind, s.doNow)
			continue
		}
		right++
	}
	t.Logf("%d of %d", right, len(spoken))
}

// Most lines of testdata/spoken.txt raise the finding that their source asks for; those
// marked "? " do not yet.
func TestSpokenTired(t *testing.T) {
	text, err := os.ReadFile("testdata/spoken.txt")
	if err != nil {
		t.Fatal(err)
	}
	right, wrong := 0, 0
	for line := range strings.Lines(string(text)) {
		line, unheard := strings.CutPrefix(strings.TrimSpace(line), "? ")
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.SplitN(line, "|", 3)
		kind, doNow := strings.CutPrefix(strings.TrimSpace(f[1]), "!")
		got, ok := heardRightly(t, strings.TrimSpace(f[0]), strings.TrimSpace(f[2]), kind, doNow)
		if ok {
			right++
		} else {
			wrong++
		}
		if ok == unheard {
			t.Errorf("%s: %q, expected to be understood %v", line, got, !unheard)
		}
	}
	if t.Logf("%d right, %d known to be wrong", right, wrong); right < 500 {
		t.Error("too few")
	}
}

// heardRightly reports whether words raise the finding expected in spoken, and returns
// all findings they raise.
func heardRightly(t *testing.T, when, words, kind string, doNow bool) (got []string, ok bool) {
	t.Helper()
	c, now := said(t, when, words)
	r := Look(c, journal.Settings{}, now)
	for _, f := range r.Findings {
		if f.Weight >= Note {
			got = append(got, fmt.Sprintf("%s %s", f.Weight, f.Kind))
		}
	}
	pressed := r.Findings[0].Weight == DoNow
	asked := slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Weight >= Ask })
	ok = pressed == doNow || doNow && asked
	note, isNote := strings.CutPrefix(kind, "note ")
	return got, ok && slices.ContainsFunc(append(got, ""), func(g string) bool {
		switch {
		case isNote:
			return g == "note "+note || g == "ask the code "+note
		case kind == "":
			return !asked
		}
		return g == "ask the code "+kind || g == "do now "+kind
	})
}

// said returns a correctly handled cook with some words added, noted at the given time,
// and optionally with a cut.
func said(t *testing.T, when, words string) (c *journal.Cook, now time.Time) {
	t.Helper()
	when, cut, _ := strings.Cut(when, " ")
	if cut != "" {
		defer func() { c.Cut = cut }()
	}
	switch when {
	case inNotes:
		return cook(t, func(c *journal.Cook) { c.Cut, c.Prose = "pork shoulder", words }, "18 19:00 lit", "18 20:00 on, pit 115 °C, core 5 °C", "18 21:00 pit 112 °C, core 10 °C"), day(t, "18 21:05")
	case goingOn:
		return cook(t, nil, "18 19:00 lit", "18 20:00 on, pit 115 °C — "+words), day(t, "18 20:10")
	case cooking:
		return cook(t, nil, "18 19:00 lit", "18 20:00 on, pit 115 °C, core 5 °C", "18 21:00 pit 112 °C, core 10 °C", "18 22:00 pit 115 °C, core 19 °C", "18 22:05 lid — "+words), day(t, "18 22:10")
	}
	return cook(t, eatenUp, with(steady, "19 08:20 air 15 °C — "+words)...), day(t, "19 08:40")
}
