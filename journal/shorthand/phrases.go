package shorthand

import (
	"strings"
	"sync"

	"ashbook/journal"
)

// phrase is one way to say something in everyday words.
//
// In the pattern, | separates the words of which one must come. A part in brackets may
// be left out, and a part with * may be repeated. A word with $ is the name of a list
// of words. A capital letter is a slot:
//
//	T temperature   P piece, or both   D words the act may have   W kind of wrap
//	G grade of bark   N one digit   S duration   R range of hours   C clock time
//	K name of a person   F name of a file   X perhaps "at" and the core
//
// The template is the item in the file's grammar, with slots to fill in. * stands for
// all words of the phrase that carry a meaning.
type phrase struct {
	pattern  string
	template string
}

// lists maps each $ name to its words.
var lists = map[string]string{
	"$meat":    "meat|brisket|butt|butts|pork|shoulder|shoulders|roast|ribs|rack|racks|bird|turkey|chicken|beef|lamb|ham|joint|piece|them|her|him",
	"$pit":     "pit|grate|smoker|cooker|grill|chamber|kettle|drum",
	"$core":    "core|internal|meat|it|middle|centre|center",
	"$reads":   "is|was|are|at|to|reads|reading|read|shows|showing|says|temp|holding|steady|running|sitting|sat|up|down|crept|climbed|rose|dropped|fell|went|still|stuck|now|hit|reached|back|stalled|stalling|stays|spiked|jumped|sagged|dipped|sank|slipped|drifted|crashed|plunged|plummeted|tanked|tumbled|rising|falling|dropping|climbing|creeping|drifting|settling|recovered|recovering|bounced|hovering|hanging|came|come|gone|shot|lagging|lags|trailing|ahead|behind|about|around|roughly|nearly|almost|only|just|slowly|quickly|sits|runs|ran|stands|fallen|risen|stood|slid|sinking|showed|stayed|held|has|had|holds|drops|drop|falls|climbs|rises|jumps|lost|running",
	"$cooler":  "cooler|box|hotbox",
	"$put":     "added|add|adding|threw|put|tossed|dropped|laid|chucked|dumped|poured|more|another|new|topped|stuck|slid|placed|popped|loaded|loading|fed|gave|slung|bunged|lobbed|throwing|putting|tossing|tucked|set|piled|dug|shovelled|shoveled|tipped|fired|placed|stoked|chuck|throw|toss",
	"$sprayed": "spritz|spritzed|spritzing|spray|sprayed|spraying|mist|misted|misting|mop|mopped|mopping|baste|basted|basting",
	"$turned":  "turned|turning|turn|rotated|rotating|rotate|flipped|flipping|flip|spun|swung|swivelled|swiveled",
	"$moved":   "opened|opening|closed|closing|shut|cracked|choked|adjusted|moved|nudged|open|close|eased|throttled|cranked|cut|pinched|lowered|widened",
	"$vent":    "vent|vents|intake|exhaust|damper|dampers|inlet|outlet",
	"$low":     "bottom|top|lower|upper",
	"$dial":    "dial|controller|thermostat|setpoint|fan",
	"$lay":     "put|threw|laid|got|chucked|tossed|slung|popped",
	"$ed":      "put|moved|went|placed|popped|set",
	"$weak":    "sluggish|weak|struggling|lazy|small|strong|smouldering|smoldering|dirty|clean|choking|hungry|starved",
	"$smoke":   "thin|clean|blue|dirty|white|black|thick|grey|gray|heavy|billowing|light|bitter|grey-white|bluish|hazy|wispy",
	"$sky":     "rain|raining|rained|drizzle|drizzling|snow|snowing|hail|hailing|sleet|fog|foggy|windy|breezy|gusty|storm|thunderstorm|pouring|stormy|shower|showers|frost|frosty|sunny|calm|overcast|cloudy|wind",
	"$there":   "on|in|over|onto|top|coals|fire|basket|pile|bed|firebox",
	"$trend":   "flat|sinking|slipping|sagging|drifting|recovering|rising|falling|dropping|climbing|creeping|going|heading|still",
	"$juice":   "juice|juices|drippings|fat|jus|liquid|tallow",
}

var phrases = []phrase{
	{"stalled|stuck S [at] T", "core T"},
	{"pan|tray [is|was|nearly|almost]* dry|empty", "water *"},
	{"coals [are|getting|very|burning|burned|nearly]* low|dying|dead|out|grey", "fire *"},
	{"moved [$meat] to [other|cooler|hotter|far|hot|cool|warmer|back|front|left|right]* side|end|spot|edge", "turn *"},
	{"P probe fell|slipped|came|popped|slid out", "probe *"},
	{"$juice saved|kept|reserved [from] [P]", "saved *"},
	{"wind got [up|stronger|worse]", "weather *"},
	{"had to relight [fire|coals]", "fire relit"},
	{"$meat went|moved in|into|to oven [at|on] T", "oven T"},
	{"$meat went|moved in|into|to oven", "oven"},
	{"gave [$meat] quarter|half turn", "turn *"},
	{"moved [$meat] [up|down] to|onto [top|bottom|upper|lower|middle|other] rack|shelf|grate|level", "turn *"},
	{"stoked fire|coals [up]", "fire *"},
	{"stoked up", "fire *"},
	{"stoked", "fire& *"},
	{"swapped|switched P and P [round|around|over|places]", "turn *"},
	{"all|both|everything [three|3|two|2|four|4|pieces] $sprayed [with|w] D", "spritz D"},
	{"all|both|everything [three|3|two|2|four|4|pieces] wrapped|wrapping", "wrap"},
	{"all|both|everything [three|3|two|2|four|4|pieces] wrapped|wrapping [in|with]* W", "wrap W"},
	{"pulled|took|lifted P [off] to rest [on|at|to|side|board|counter|table]*", "off P, rest P"},
	{"pulled|took|lifted $meat [off] to rest [on|at|to|side|board|counter|table]*", "off, rest"},
	{"moved|swapped probe from P into|over P", "probe *"},
	{"thermometer|probe|display [$reads]* T in|at|of core|middle|centre|center|meat", "core T"},
	{"went|came|got [back] up|down to T", "alone T"},
	{"swapped|changed|replaced [meat|core|pit|grate] probe", "probe *"},
	{"D in|into|to pan|tray|bowl", "water& *"},
	{"$put D [in|into|under|below|beneath] [pan|tray|bowl|meat|grate|grill]", "water& *"},
	{"$put [in] D", "water& *"},
	{"refilled|filled|topped [up|with]* D", "water& *"},
	{"[lot|lots|plenty|loads|bit|of]* [very|thick|heavy] $smoke [and] [$smoke] smoke [coming|pouring|billowing|rolling|out|now|everywhere]*", "fire *"},
	{"[lot|lots|plenty|loads|of]* smoke [coming|pouring|billowing|out]* $smoke", "fire *"},
	{"scooped|shovelled|shoveled|took|cleaned|brushed|swept|tipped|knocked|shook ash [out|off|away]", "fire *"},
	{"moved [$meat] [further|farther|closer|nearer|back|away|from|to|toward|towards]* fire|firebox|heat|coals", "turn *"},
	{"crust|outside [is|still|now|looks|has|gone|nice|turned|a|lovely|good|deep|like]* G [colour]", "bark G"},
	{"bark|colour deep G", "bark G"},
	{"bark has [a] [nice|lovely|good|deep]* G colour", "bark G"},
	{"T and $trend [up|down|still]*", "alone T"},
	{"$pit T and $trend [up|down|still]*", "pit T"},
	{"it|fire|$pit|him running|ran|taking|took away|off at|to T", "pit T"},
	{"running|ran away at T", "pit T"},
	{"temp at $pit [$reads]* T", "pit T"},
	{"stalled|stuck T", "core T"},
	{"fan [set] [to|at] T", "aim pit T"},
	{"lid D", "lid D"},
	{"lid off|up D", "lid *"},
	{"new battery|batteries", "probe *"},
	{"had|left|took|held|kept lid open|off|up D", "lid *"},
	{"lid was|is|been off|open|up D", "lid *"},
	{"choked|opened|closed|shut|cracked bottom|top D", "vent *"},
	{"cut|cutting back|down air [back]", "vent less air"},
	{"cut air [way] [back|down]", "vent less air"},
	{"refilled|filled|topped [up] [water] pan|tray|bowl with D", "water *"},
	{"refilled|filled|topped [up] pan|tray|bowl", "water *"},
	{"$pit|pan boiled|ran|run|gone dry", "water pan dry"},
	{"poured|put|tipped D in pan|tray|bowl", "water& *"},
	{"out of lump|charcoal|fuel|wood|coal|coals|pellets|briquettes|briqs", "fire *"},
	{"[ran|run] out of lump|coal|briqs", "fire *"},
	{"tbs", "fire thin blue smoke"},
	{"took|pulled probe out", "probe *"},
	{"[meat|core|pit|grate] probe slid|pulled|worked|dropped out [of] [P]", "probe *"},
	{"gusting M D", "weather *"},
	{"[skewer|probe|toothpick|thermometer|fork] goes|slides|went|slid [right] in with no|zero resistance", "feel 3"},
	{"[skewer|probe|toothpick|thermometer|fork] goes|slides|went|slid [right] in like butter", "feel 3"},
	{"bark looks|looking|looks [good|nice|lovely|great]* G", "bark G"},
	{"bark good|nice|lovely [and] G", "bark G"},
	{"colour looks|looking like G", "bark G"},
	{"$sprayed [down|everything|all|them|$meat|both|sides|top|it]* [with|w] D", "spritz D"},
	{"$sprayed down", "spritz"},
	{"gave|give [everything|all|both|meat|them]* [another|quick|good]* spritz|mist|mop|spray|coat|basting D", "spritz D"},
	{"boxed|cooler|in $cooler wrapped in towels", "boxed"},
	{"$turned all|everything D", "turn D"},
	{"P in|into $cooler w towels", "boxed P"},
	{"$pit [temp] [$reads]* T", "pit T"},
	{"T at|in|on $pit [level]", "pit T"},
	{"$pit level T", "pit T"},
	{"$pit's [$reads]* T", "pit T"},
	{"$core's|$meat's [$reads]* T", "core T"},
	{"T and|still climbing|rising|holding|steady|falling|dropping|counting", "alone T"},
	{"[still] stalling|stalled|stuck [hard] [at] T [for S]", "core T"},
	{"[$core] T [$reads]* stall|plateau", "core T"},
	{"temp|temps [$reads]* T", "alone T"},
	{"T $pit", "pit T"},
	{"temp spiked|spike to T", "pit T"},
	{"spiked|jumped to T", "pit T"},
	{"$core [temp] [$reads]* T", "core T"},
	{"temp of|in $core|$meat [$reads]* T", "core T"},
	{"temp of|in $pit [$reads]* T", "pit T"},
	{"$meat $reads* T", "core T"},
	{"core|internal P [$reads]* T", "core P T"},
	{"P [core|internal|temp] [$reads]* T", "core P T"},
	{"T internal|core", "core T"},
	{"temp [$reads]* T internal", "core T"},
	{"T in meat|core|middle|centre|$cooler", "core T"},
	{"core|internal T in $cooler", "core T"},
	{"back [up|down|to|at]* T", "alone T"},
	{"T in P", "core P T"},
	{"dropped|fell|sank to T for S", "fire *"},
	{"dropped|fell|sank to T", "pit T"},
	{"[temp] air|outside|ambient|outdoors [temp] [$reads]* T", "air T"},
	{"T out|outside|outdoors", "air T"},
	{"temp|temp's [$reads]* T out|outside|outdoors", "air T"},
	{"$cooler [air|temp] [$reads]* T", "box T"},

	{"set $pit [temp] [to|at] T", "aim pit T"},
	{"set temp|$dial [to|at] T", "aim pit T"},
	{"set [fan] $dial [to|at] T", "aim pit T"},
	{"$dial set [at|to] T", "aim pit T"},
	{"setpoint T", "aim pit T"},
	{"aim|aiming|target pit [is|at|to|for] T", "aim pit T"},
	{"$pit target|aim|set [is|at|to|for] T", "aim pit T"},
	{"core|meat target|aim [is|at|to|for] T", "aim core T"},
	{"aim|aiming|target [for|is|at|now] T", "aim T"},
	{"aim|aiming|target T on|at|for|in $pit", "aim pit T"},
	{"aim|aiming|target [for|is|at] T core|internal", "aim core T"},
	{"bumped|raised|turned|cranked|lowered|pushed|brought|took [$pit|$dial] [up|down] to T", "aim pit T"},

	{"lighting [up] [fire|pit|smoker|coals|grill|charcoal]", "lit"},
	{"lit [fire|pit|smoker|coals|grill|charcoal]", "lit"},
	{"fire|smoker|pit|coals lit", "lit"},
	{"started|got fire [going]", "lit"},
	{"fire started|going", "lit"},
	{"fired up [$pit]", "lit"},
	{"settled", "settled"},
	{"$pit settled", "settled"},
	{"$pit settled [at] T", "settled, pit T"},
	{"settled at T", "settled, pit T"},
	{"up to temp", "settled"},

	{"$meat on [$pit]", "on"},
	{"on", "on"},
	{"on $pit", "on"},
	{"P [went] on [$pit]", "on P"},
	{"$meat went on [$pit]", "on"},
	{"$lay [$meat] on [$pit]", "on"},
	{"$lay P on [$pit]", "on P"},
	{"$meat in|into $pit", "on"},
	{"$meat's on", "on"},
	{"$meat's at T", "core T"},
	{"loaded [$meat]", "on"},

	{"[$meat] off [$pit|heat|fire] X", "off"},
	{"P [came|went|taken|pulled] off [$pit|heat|fire] X", "off P"},
	{"off P X", "off P"},
	{"off T", "off, core T"},
	{"P off T", "off P, core P T"},
	{"off P T", "off P, core P T"},
	{"hit|reached T", "alone T"},
	{"took|taken|lifted|pulled [$meat] off [$pit|heat|fire] X", "off"},
	{"took|taken|lifted|pulled P off [$pit|heat|fire] X", "off P"},
	{"$meat came off X", "off"},
	{"taken|came off X in flat|point|middle", "off"},

	{"rest|resting|rests [uncovered|open]", "rest"},
	{"$meat resting [uncovered]", "rest"},
	{"P resting [uncovered]", "rest P"},
	{"resting on counter|board|table|tray|bench", "rest"},
	{"boxed [$meat] X", "boxed"},
	{"resting|rest|holding in $cooler [with|under towels]", "boxed"},
	{"P boxed X", "boxed P"},
	{"boxed P X", "boxed P"},
	{"[$ed] [$meat] in|into $cooler [with|under towels] X", "boxed"},
	{"$ed P in|into $cooler [with|under towels] X", "boxed P"},
	{"P [$ed] in|into $cooler [with|under towels] X", "boxed P"},
	{"wrapped and in $cooler", "boxed"},
	{"unboxed X", "unboxed"},
	{"[took|taken|came] [$meat] out of $cooler X", "unboxed"},
	{"pulled|shredded|chopped [$meat|apart] X", "pulled"},
	{"pulled P X", "pulled P"},
	{"sliced|carved|slicing|carving [$meat] X", "sliced"},
	{"sliced P X", "sliced P"},
	{"served|serving [$meat] X", "served"},
	{"on table", "served"},
	{"dished|plated up", "served"},
	{"chilled", "chilled"},
	{"leftovers chilled", "chilled"},
	{"[leftovers] [bagged|boxed|wrapped|portioned|packed] [and] [$ed|in|into]* in|into fridge|freezer", "chilled"},
	{"fridge", "chilled"},

	{"$moved [up|down] [$low|both|all|chimney] $vent D", "vent *"},
	{"$moved chimney|stack D", "vent *"},
	{"$low half|full|shut|closed|open|wide $low half|full|shut|closed|open|wide", "vent *"},
	{"$moved [up|down] $low and $low $vent D", "vent *"},
	{"$moved $low D", "vent *"},
	{"$low D", "vent& *"},
	{"fuel D", "fuel D"},
	{"wood D", "wood D"},
	{"[bottom|top|lower|upper|both|all|chimney] $vent D", "vent *"},
	{"[gave] [bit|little|lot|some|touch] more air", "vent more air"},
	{"[gave] [bit|little|lot|touch] less air", "vent less air"},
	{"choked [it] down", "vent choked down"},
	{"vent", "vent"},

	{"$put [on|in] wood", "wood"},
	{"$put [on|in] D [$there]*", "wood+ D"},
	{"[last|2nd] D [$there]*", "wood! D"},
	{"D went on|in [$there]*", "wood+ D"},
	{"D added|thrown|tossed|dropped|buried|laid [$there]*", "wood+ D"},
	{"$put [up|in]* fuel", "fuel"},
	{"$put [up|in|on]* D [$there]*", "fuel+ D"},
	{"D [$there]*", "fuel! D"},
	{"D went on|in [$there]*", "fuel+ D"},
	{"D added|poured|thrown|tossed|dumped|dropped [$there]*", "fuel+ D"},
	{"refueled|refuelled [with]", "fuel"},
	{"refueled|refuelled [with] D", "fuel+ D"},

	{"lifted|opened|raised|cracked lid [for S]", "lid S"},
	{"lifted|opened|raised|cracked lid S", "lid S"},
	{"lid off [for] [about] S", "lid S"},
	{"lid [is|was] open|up|opened|lifted|cracked [for] [about] [S]", "lid *"},
	{"lid", "lid"},
	{"peeked|peeking|peek", "lid"},
	{"took|had|quick peek", "lid"},
	{"had|took look", "lid"},

	{"$turned [$meat] D", "turn D"},
	{"$turned P D", "turn P D"},
	{"$turned grate|grill D", "turn D"},
	{"moved [$meat] to other|cooler|hotter|far side", "turn *"},
	{"moved [$meat] away from fire", "turn *"},
	{"swapped sides|ends|places", "turn *"},

	{"[quick|2nd|second|3rd|third|another] $sprayed [$meat|both|sides]* [with|w] D", "spritz D"},
	{"gave|give [both|all] [another|quick|good] spritz|mist|mop|spray [with|w] D", "spritz D"},
	{"mopped|basted with vinegar mop", "spritz vinegar"},

	{"[double] wrapped|wrapping|rewrapped|wrap|packed [$meat|both|all] [up] [tight|tightly|snug] X", "wrap"},
	{"[double] wrapped|wrapping|rewrapped|wrap|packed [$meat|both|all] [up] [tight|tightly|snug] [in|with|w|two|2|double|three|3|layer|layers|sheet|sheets|more|heavy]* W X", "wrap W"},
	{"[double] wrapped|wrapping|rewrapped [$meat|both|all] loose|loosely [in|with]* W X", "wrap W loose"},
	{"[double] wrapped|wrapping|rewrapped [$meat|both|all] X in W", "wrap W"},
	{"W wrapped [loose|tight] X", "wrap W"},
	{"W wrap X", "wrap W"},
	{"$meat wrapped [tight|tightly] X", "wrap"},
	{"$meat wrapped|packed [tight|tightly] in|with W X", "wrap W"},
	{"W [on] X", "wrap W"},
	{"[$ed] [$meat] in|into W X", "wrap W"},
	{"[double] foiled [$meat|both|all] X", "wrap foil"},
	{"loose|loosely foiled [$meat|both|all] X", "wrap foil loose"},
	{"loose|loosely papered [$meat|both|all] X", "wrap paper loose"},
	{"papered [$meat|both|all] X", "wrap paper"},
	{"boated [$meat|both|all] X", "wrap boat"},
	{"unwrapped|unwrapping|unwrap [$meat|both|all] X", "unwrap"},
	{"W off X", "unwrap"},
	{"took|pulled|removed W off X", "unwrap"},
	{"removed W X", "unwrap"},
	{"took|taken|came [$meat] out of W|wrap [to firm|set up bark]* X", "unwrap"},

	{"bark|colour [is|still|now|like|looking|looks|has|gone|nice|turned|a|lovely|good]* G", "bark G"},
	{"bark N", "bark N"},
	{"G bark", "bark G"},

	{"feel N", "feel N"},
	{"feel P N", "feel P N"},
	{"[feel|feels] P N", "feel P N"},
	{"probe|probes|probed|probing tender X", "feel 3"},
	{"probe goes in like butter", "feel 3"},
	{"P [probe|probes|probed|probing]* tender X", "feel P 3"},
	{"[probe|probes|probing|goes] [in] like [warm|soft] butter", "feel 3"},
	{"P [probe|probes|probing|goes] [in] like [warm|soft] butter", "feel P 3"},
	{"[probe] slides|slid [right] in", "feel 3"},
	{"P slides [right] [in]", "feel P 3"},
	{"[probe|probes|probing|goes] [in] like [hot] knife through [warm|soft] butter", "feel 3"},
	{"slight|little grab", "feel 2"},
	{"bit of grab", "feel 2"},
	{"P slight|little grab", "feel P 2"},
	{"probe resists|grabs", "feel 1"},
	{"P [probe] resists|grabs", "feel P 1"},
	{"still|probes|probe|feels [still|very|rock]* hard [still]", "feel 0"},
	{"P still|probes|feels [still|very|rock]* hard [still]", "feel P 0"},
	{"P feels tender X", "feel P 3"},
	{"feels tender X", "feel 3"},
	{"P feels like [warm|soft] butter", "feel P 3"},
	{"feels like [warm|soft] butter", "feel 3"},
	{"almost tender", "feel 2"},

	{"recheck [in] S", "recheck S"},
	{"check|look [again|back|next] in S", "recheck S"},
	{"next check|look [in] S", "recheck S"},

	{"$sky D", "weather *"},
	{"no rain|wind|breeze|snow|fog D", "weather *"},
	{"[very|really|bit|bitterly]* cold|chilly|freezing|mild [out|outside] and $sky", "weather *"},
	{"[getting|turning|turned|very|bit|some|more|light|heavy|steady|strong|lots|of|little]* $sky D", "weather *"},
	{"wind|wind's|winds picked|picking|died|dying|dropped|dropping|calmed|rising|up|from|stopped|started|shifted|turned|getting|gusting|nil|none D", "weather *"},
	{"started|starting|begins|stopped|stopping|began|beginning|begun [to] $sky D", "weather *"},
	{"wind|gusts|gusting|winds M", "weather *"},
	{"wind|winds gusting M", "weather *"},

	{"fire [nearly|almost|very|got|getting|burned|burnt]* died|out|low|dying|dead|roaring|hot|choked|relit|back [R]", "fire *"},
	{"fire went|going|gone out [R]", "fire *"},
	{"fire's [bit|getting|very|really|nearly|almost]* dying|out|low|dead|$weak", "fire *"},
	{"fire [bit|getting|very|really|looks|looking]* $weak", "fire *"},
	{"relit [fire|coals]", "fire relit"},
	{"[ran|run] out of charcoal|fuel|wood|coals|pellets|briquettes", "fire *"},
	{"flare|flared up", "fire *"},
	{"[very] [$smoke]* smoke", "fire *"},
	{"smoke [is|got|gone|looks|looking|turned|turning|went|running|still]* $smoke [and] [$smoke]", "fire *"},
	{"raked|stirred|stoked|poked|spread coals|fire|ash [together|out|up|over|about]*", "fire *"},
	{"emptied|cleared|dumped|scraped ash [out|away]", "fire *"},
	{"filled|loaded|topped [up] basket|firebox|chimney with D", "fuel+ D"},
	{"knocked|shook ash [off|out|down]", "fire *"},

	{"hot|cold|warm|boiling|fresh water in pan|tray|bowl", "water *"},
	{"filled|refilled water [pan]", "water *"},
	{"filled|refilled [it|pan] with D", "water& *"},
	{"filled|refilled water pan with hot|cold|warm|boiling water", "water *"},
	{"topped [up] water [pan]", "water *"},
	{"water [pan] filled|refilled|dry|empty|low|gone|full", "water *"},
	{"water [pan] half full|empty|gone", "water *"},
	{"water [pan] topped up D", "water *"},
	{"water [pan] nearly|almost dry|empty|gone", "water *"},
	{"added [more] [hot|cold|warm|boiling] water [to] [pan]", "water *"},

	{"[meat|core|pit|grate] probe fell|slipped|came|popped out [of] [P]", "probe *"},
	{"[meat|core|pit|grate] probe|probes fell|dropped|slipped on|onto|into|in|through coals|fire|grate|floor|ash [dead|died]", "probe *"},
	{"lost probe", "probe *"},
	{"moved|repositioned|reseated|reinserted probe [to] [P]", "probe *"},
	{"moved probe from P to P", "probe *"},
	{"probe moved [to] [P]", "probe *"},
	{"probe moved from P|a to P|b", "probe *"},
	{"[meat|core|pit|grate] probe died|dead|quit|failed", "probe *"},
	{"probe battery|batteries died|dead|flat", "probe *"},
	{"new battery|batteries in probe", "probe *"},

	{"[$ed] [$meat] in|into|to oven [at|set|to|now]* T [fan]", "oven T"},
	{"[$ed|finishing|finished] [$meat] in|into|to oven", "oven"},
	{"finishing|finished [$meat] in oven [at|on] T [fan]", "oven T"},
	{"oven [at] T [fan] [to hold]", "oven T"},

	{"reheated|reheating [$meat] X", "reheated"},
	{"warmed [$meat] up|again", "reheated"},
	{"warmed [$meat] up again", "reheated"},
	{"saved|kept|reserved|strained [D] $juice", "saved *"},
	{"saved|kept|reserved|strained D", "saved& D"},
	{"saved|kept|reserved $juice for beans|gravy|sauce|later", "saved *"},
	{"asleep|slept|napped|dozed [off] [from|between] R", "asleep R"},
	{"napped|slept [for] S", "asleep S"},

	{"K has|takes it [from here]", "watch K"},
	{"K has|takes it [from here] till|until C", "watch K until C"},
	{"K has|have watch", "watch K"},
	{"K has|have watch till|until C", "watch K until C"},
	{"K on|is|watching watch", "watch K"},
	{"K on watch till|until C", "watch K until C"},
	{"handed [watch] [over] to K", "watch K"},
	{"handed [watch] [over] to K till|until C", "watch K until C"},
	{"K takes|took over [from here|now]", "watch K"},
	{"K watching|watches till|until C", "watch K until C"},
	{"K takes|took over till|until C", "watch K until C"},
	{"K watching|watches", "watch K"},
	{"watch K", "watch K"},
	{"watch K till|until C", "watch K until C"},
	{"by|as K", "by K"},
	{"noted by K", "by K"},
	{"photo|pic|picture [of] [$meat|bark|fire|ring|coals|flat|point] F", "photo F"},
}

// rises are words after which "to" introduces a reading and not a wish.
var rises = newWords("up|down|dropped|fell|sank|rose|climbed|crept|went|back|spiked|jumped|is|was|got|come|came|risen|fallen|gone|moved|now|close|closer|crashed|plunged|plummeted|tanked|tumbled|rising|falling|dropping|climbing|creeping|drifted|drifting|settling|recovered|recovering|bounced|sagged|dipped|slipped|coming|shot")

// clockWords are words that belong to a time.
var clockWords = newWords("am|pm|past|to|half|quarter|noon|midnight|midday|ago|min|h|yesterday|last|night")

// vagueTurn are words after "turned" that show that it was not the meat: "turned it
// up".
var vagueTurn = newWords("up|down|bone|for|to|left|right|top|bottom|meat")

// middles are words for the core. Where a piece has such a name, the word means that
// piece.
var middles = newWords("middle|centre|center|internal|core|meat|brisket|butt|butts|pork|shoulder|shoulders|roast|ribs|rack|racks|bird|turkey|chicken|beef|lamb|ham|joint|piece|top|bottom|left|right|point|flat|bone|big|small|large")

// passing are words without meaning, between phrases or inside one.
var passing = newWords("sum|the|a|an|it|it's|its|is|was|are|were|that's|this|my|our|now|just|again|has|have|had|been|got|degrees|some|very|i|we|i've|we've|so|ok|okay|well|um|then|and|plus|also|still|already|at|of|both|there|there's|hey|finally|steady|sharp|exactly|temps|really|pretty|quite|bloody|super|fairly|abit|abt")

// inside are the words without meaning that may be inside a phrase.
var inside = newWords("sum|abit|the|a|an|had|have|then|also|it|its|is|was|are|were|it's|this|my|our|now|just|again|has|been|got|some|i|of|temp|temps|degrees|that")

// adverbs say how something was done, and change nothing of it.
var adverbs = newWords("quickly|slowly|carefully|gently|tightly|generously|immediately|finally|eventually|actually|basically|luckily|properly|thoroughly|evenly|nicely|suddenly|simply|briefly|gradually|happily|sadly|quietly|promptly|obviously|definitely")

// turningDown are words which say that the event of their clause did not happen.
var turningDown = newWords("no|not|n't|never|without|nothing|forgot|forget|need|needs|needed|can't|cannot|couldn't|wouldn't|didn't|don't|doesn't|isn't|wasn't|aren't|haven't|hasn't|hadn't|won't|instead|skip|skipped|missed|except|think|guess|maybe|perhaps|probably|wish|rather|unsure|remember|supposed|yesterday's|tried|try|trying|before|after")

// supposing are words after which nothing has happened yet.
var supposing = newWords("will|would|i'll|we'll|it'll|going|gonna|might|may|if|when|once|plan|planning|planned|want|wants|wanted|could|shall|should|must|soon|tomorrow|tonight|later|unless|whether|why|how|what|where|who|which|can|let's|lets|hope|hoping|until|till")

// yetTo are words that, before "to", say that something is still to be done.
var yetTo = newWords("still|have|has|got|yet|about|ready|time|need|needs|waiting|supposed|meant|want")

// hearsay are words that introduce what somebody says, or what happens elsewhere.
var hearsay = newWords("says|said|say|saying|thinks|reckons|claims|swears|suggests|suggested|recommends|recommended|advised|told|recipe|recipes|book|video|forum|neighbour|neighbor|neighbours|neighbors|yesterday|saturday|sunday|monday|tuesday|wednesday|thursday|friday|usually|normally|always|typically|often|someone|somebody|people|they|he|she|his|her|their|him")

// occasions are words that, after last, next or other, name another cook.
var occasions = newWords("time|times|one|ones|cook|cooks|week|weeks|weekend|year|years|summer|winter|month|night|saturday|sunday|brisket|butt|shoulder|batch|party")

// ours are words whose possessive is about this cook ("the pit's"), not about another
// person's.
var ours = newWords("pit|grate|smoker|cooker|grill|kettle|drum|chamber|meat|brisket|butt|pork|shoulder|roast|bird|turkey|chicken|beef|lamb|ham|core|internal|fire|bark|it|that|there|here|what|lid|fat|rain|wind|box|cooler|probe|water|wood")

// said maps each act to the words that may follow it.
var said = map[journal.Act]*wordSet{
	journal.Vent:    newWords("smidge|smidgen|nudge|whisker|mm|bottom|top|lower|upper|both|all|intake|exhaust|inlet|outlet|chimney|left|right|front|back|half|halfway|quarter|quarters|third|thirds|three|two|one|fully|full|wide|open|opened|closed|close|shut|crack|cracked|finger|fingers|hair|touch|bit|notch|inch|cm|more|less|down|up|to|by|little|tad|width|pencil|slightly|almost|and|way|off|nearly|about|around|completely|entirely|tight|far|as|pinhole|sliver|mostly|again"),
	journal.AddWood: newWords("oak|hickory|cherry|apple|pecan|maple|beech|mesquite|alder|plum|pear|peach|walnut|birch|ash|olive|almond|ironbark|manuka|mango|citrus|orange|lemon|lime|grapevine|vine|grape|guava|chestnut|sycamore|hornbeam|juniper|mulberry|persimmon|acacia|redgum|jarrah|rowan|elm|hazel|post|red|white|chunk|chunks|split|splits|log|logs|stick|sticks|chip|chips|handful|handfuls|fist|fists|piece|pieces|small|big|large|fresh|dry|of|two|three|four|five|one|half|more|last|another|couple|few|about|soaked|lump|lumps|wood|roughly|some|bit|little|good|thick|thin|hand|long|short|tiny|huge|second|third|lit|whole|dried|seasoned|green|each|with|sized|size|fist-sized|thumb|palm|wrist|kindling"),
	journal.AddFuel: newWords("charcoal|lump|briquettes|briquets|briquette|briqs|briq|coals|coal|lit|unlit|chimney|chimneys|half|full|dozen|another|four|five|six|eight|ten|twelve|twenty|basket|handful|shovel|shovels|hot|of|about|two|three|one|scoop|scoops|more|fresh|fuel|bag|quarter|third|pellets|up|with|minion|live|glowing|embers|burning|baskets|bucket|tray|roughly|few|couple|small|load|most|little|bit|some|stick|lumps|well|new|fully|cold|big|large|grey"),
	journal.OpenLid: newWords("open|up|for|crack|ajar|off|left|right|sec|secs|second|seconds|min|about|maybe|roughly|around|a|ten|two|three|four|five|one|few|couple|half|just"),
	journal.Turn:    newWords("over|round|around|180|90|fat|side|cap|up|down|other|end|for|left|right|top|bottom|bone|meat|point|flat|to|fire|away|quarter|half|upside|degrees|skin|toward|towards"),
	journal.Spritz:  newWords("cider|vinegar|apple|juice|acv|water|beer|stock|broth|cola|coffee|bourbon|whiskey|butter|wine|oil|mop|sauce|cranberry|pineapple|worcestershire|tallow|lightly|well|heavy|light|both|sides|all|over|top|with|and|pickle|mix|mixture|coat|splash|bottle|of|good|some|more|spray|hot|warm|rub|down|quick|bit|little"),
	journal.Sky:     newWords("cats|dogs|to|stick|lie|settle|out|nw|ne|sw|se|mph|km/h|kmh|kph|m/s|knots|and|a|bit|at|times|of|in|gusts|gusting|started|starting|stopped|stopping|began|again|hard|heavy|light|heavily|lightly|picked|up|died|down|dropped|from|north|south|east|west|northwest|southwest|northeast|southeast|all|night|morning|rain|wind|over|gone|easing|eased|steady|getting|worse|now|the|calmed|drizzle|n|s|e|w|outside|really|very|strong|strongly|still|swung|shifted|turned|harder"),
	journal.Water:   newWords("hot|cold|warm|boiling|water|l|litre|litres|liter|liters|ml|cup|cups|pint|pints|quart|quarts|fresh|of|about|half|full|a|gallon|jug|kettle|more|bottle|pan|tray|bowl|another|some|one|two|three|boiled"),
	journal.Save:    newWords("juice|juices|drippings|fat|of|l|ml|cup|cups|pint|quart|all|the|some|dl"),
}

// namesWood, trees and namesFuel are the words that show that a detail is wood or fuel.
var (
	namesWood = newWords("chunk|chunks|split|splits|log|logs|stick|sticks|chip|chips")
	trees     = newWords("oak|hickory|cherry|apple|pecan|maple|beech|mesquite|alder|plum|pear|peach|walnut|birch|olive|almond|ironbark|manuka|mango|citrus|orange|lemon|lime|grapevine|vine|grape|guava|chestnut|sycamore|hornbeam|juniper|mulberry|persimmon|acacia|redgum|jarrah|rowan|elm|hazel")
	namesFuel = newWords("charcoal|lump|briquettes|briquets|briqs|briq|briquette|coals|coal|chimney|chimneys|pellets|embers|fuel|bag|bags")
)

// barkWords maps the words for bark to its grades, 0 to 4.
var barkWords = map[string]int{"pale": 0, "amber": 1, "golden": 1, "mahogany": 2, "set": 2, "dark": 3, "burnt": 4, "burned": 4}

// wraps are the words for each kind of wrap, longest first.
var wraps = []wrapWords{
	{"pink butcher paper", "paper"}, {"peach butcher paper", "paper"}, {"butcher's paper", "paper"}, {"butcher paper", "paper"}, {"pink paper", "paper"}, {"peach paper", "paper"}, {"brown paper", "paper"},
	{"heavy duty foil", "foil"}, {"aluminium foil", "foil"}, {"aluminum foil", "foil"}, {"tin foil", "foil"}, {"foil boat", "boat"}, {"foil pan", "pan"},
	{"paper", "paper"}, {"foil", "foil"}, {"boat", "boat"}, {"pan", "pan"},
}

type wrapWords struct {
	words string
	kind  journal.Wrap
}

// wordSet is a set of lower-case words. It is built when first used, since most
// commands read no line.
type wordSet struct{ made func() map[string]bool }

// newWords returns the set of the words in list, which | separates.
func newWords(list string) *wordSet {
	return &wordSet{sync.OnceValue(func() map[string]bool {
		set := map[string]bool{}
		for w := range strings.SplitSeq(list, "|") {
			set[w] = true
		}
		return set
	})}
}

func (s *wordSet) has(word string) bool { return s != nil && s.made()[word] }
