package heard

// family is a set of families: groups of words that mean something similar, used in
// frames. A word may be in several.
type family [4]uint64

// has reports whether two sets have a family in common.
func (f family) has(g family) bool {
	return f[0]&g[0]|f[1]&g[1]|f[2]&g[2]|f[3]&g[3] != 0
}

// with returns the union of two sets.
func (f family) with(g family) family {
	for i := range f {
		f[i] |= g[i]
	}
	return f
}

// named lists the classes that frames may use by name.
var named = map[string]class{
	"meat": meat, "cold": cold, "ice": ice, "fails": fails, "warmplace": warm, "night": night, "long": long, "thaws": thaws, "cooked": cooked, "leftover": leftover,
	"later": later, "weekday": weekday, "parcel": parcel, "raw": raw, "juice": juice, "tool": tool, "cleans": cleans, "marinade": marinade, "boils": boils,
	"ground": ground, "animal": animal, "person": person, "sick": sick, "warms": warms, "fire": fire, "embers": embers, "burns": burns, "bad": bad, "foul": foul,
	"still": still, "middle": middle, "pinkish": pink, "other": other, "sound": sound, "holds": holds, "within": within, "fluid": fluid, "cooking": cooking, "roof": roof, "tips": tips,
}

// families lists the words of each family. A word that ends in * stands for all words
// with that beginning.
var families = map[string]string{
	// words that say that no harm was done
	"resolved":  "straightback atonce immediately binned discarded intime threwaway threwitout threwitaway",
	"elsewhere": "shop store butcher butcher's butchers market supermarket",
	"scraps":    "trimmings scraps bone bones offcuts",
	// words for staying in a place, and for being forgotten there
	"stays":  "left leave leaving sat sit sits sitting stood stand standing stayed stay staying lay lying lain been remained waited hung spent parked kept",
	"forgot": "forgot forgotten overlooked missed neglected abandoned asleep bed bedtime work errands called slept sleep toolong distracted",
	"goes":   "went goes gone going put",
	// places that are not cold
	"vehicle":  "car boot trunk van truck pickup lorry trailer backseat ute suv minivan shopping",
	"vessel":   "sink bath tub bucket basin tap bowl",
	"hotwater": "warmwater hotwater hottap",
	"hotday":   "heat heatwave sun scorching sweltering roasting baking",
	"touch":    "touch hand feel felt feels",
	// words for what should have been done
	"ought":   "shouldhave meantto supposed thought wasto",
	"beside":  "next beside by near",
	"hanging": "dryingrack hook hooks string",
	"nospace": "fridgefull stuck crammed stuffed full rammed jammed",
	// cold places, and how they stop being cold
	"supply":  "power supply electric electricity mains current plug socket breaker fuse",
	"cutoff":  "cut lost off gone failed out died tripped unplugged switched pulled",
	"wrong":   "wrong faulty inside dial setting gauge thermometer turnedup misread",
	"watery":  "water melted soup slush gone liquid",
	"warmish": "warmish lukewarm tepid limp semisoft roomtemp notcold clammy floppy",
	"frozen":  "frozen icy thaw* defrost*",
	"prep":    "trim* inject* season* rub rubbed rubbing prep prepped prepping boning boned stuff* rolling tying",
	"ready":   "ready rubbed trimmed seasoned",
	"plugged": "plugged switched turned",
	// cooked meat
	"appliance": "oven stove cooker hob roaster slowcooker warmer microwave pan pot drawer hotplate",
	"dead":      "unplugged off dead cold unlit switched light",
	"laidout":   "buffet leftover* packed remained remains delivered spread trays platter* boxed cateri* picked tidied handed collected given",
	"meal":      "ate eaten eating meal served",
	"put":       "packed cleared away fridge boxed bagged leftover*",
	"cooling":   "cool* chill*",
	"deep":      "deep full big pot pan bucket tub container",
	"warmth":    "warm hot lukewarm tepid steaming",
	"morning":   "morning hours later day tomorrow",
	"shut":      "shut off out closed",
	"idle":      "chill chilled cool cooled left stayed sat",
	"event":     "concert match game show film church party service meeting speeches",
	"boxes":     "cooler coolbox box towels warmer",
	"dawn":      "morning breakfast dawn tomorrow",
	"recalled":  "remembered forgot forgotten forgetting",
	"resting":   "rest rested resting wrapped hold holding box cooler towels oven",
	// cooking in two parts
	"goon":     "finish* continue* continuing resume* rest remainder complete carryon",
	"stopped":  "fridge* cool* chill* freez* power died storm rain rained",
	"parttime": "hour hours half smoke* smoking foil oven grill",
	"heated":   "oven boil* bake* baked sear* brown* steam* simmer* poach* roast* grilled fried pot",
	"earlier":  "yesterday morning friday saturday sunday monday tuesday wednesday thursday earlier",
	"done":     "done cooked finished ready through",
	"again":    "back again tomorrow morning continue restart*",
	"talk":     "rub salt brine wood charcoal order shopping job jobs recipe eaten eat sandwich* sliced cold leftover*",
	// raw meat and what is eaten
	"leaks":   "leak* drip* burst split spill* spilt ran seep* dribble* tipped",
	"onto":    "over on onto into through down across",
	"eats":    "slaw coleslaw salad* bun buns bread rolls cooked sliced slices finished cheese fruit lettuce vegetable* pulled ham dessert pudding cake beans bean",
	"rawish":  "raw uncooked mince* bag packet package chicken* turkey* thawing blood bloody poultry",
	"reused":  "again reused reuse second twice",
	"above":   "above over next beside against touching",
	"handled": "trimmed boned injected rubbed seasoned",
	"bastes":  "mop* baste* basting brush* sauce* glaz* spritz* sprayed drizzl*",
	"dips":    "dunk* dip* dipped lay sat soaked",
	"spent":   "leftover left remaining rest spent",
	"heated2": "boil* simmer* reduced",
	"bird":    "chicken* turkey* duck goose poultry wings thighs",
	"wipes":   "wipe* wiping dried",
	"came":    "came held brought lay been were",
	// the fire
	"heats":   "coals coal fire embers lump briquettes charcoal gas bottle cylinder tank propane hopper auger pellets element burner pilot igniter controller fan breaker plug outlet power electric* timer box chamber grate pit smoker grill kettle drum cooker unit firebox firepot flame flames thing unit rig machine",
	"ended":   "dead died out gone empty nothing cold off stopped quit tripped failed failing starved choked smothered snuffed drowned jammed stuck crashed burnt conked blown ran finished dry loose fizzled petered guttered sputtered",
	"heat":    "heat working burning lit running on alight firing dripping sizzling cooking turning",
	"lights":  "lit caught took started light catch fired ignited",
	"unaware": "woke awoke wake slept asleep sleep nodded found noticed came back till until since overnight idea know knew church work shop shops lunch dawn morning later bed realised realized discovered returned home round sometime somewhen",
	"refuel":  "refuel* feed fuel top restock reload add",
	"quench":  "snuffed smothered drowned choked starved flooded doused",
	"vents":   "vent vents damper dampers down",
	"alive":   "spark ember embers glow flame flames coal life heat warmth smoke",
	"climbs":  "hold climb come reach rise recover",
	// burning
	"fats":     "grease fat fats oil dripping* drips lard tallow tray bucket trough hopper",
	"burning":  "caught alight ablaze burning burned burnt fire flames flame blaze blazing flared ignited inferno",
	"bang":     "whoosh whoomph woomph woof kaboom backdraft backdraught exploded explosion boom",
	"char":     "blister* melt* scorch* singe* char charred warp* buckl* smoulder* smolder* smoking bubbling",
	"nearby":   "paint siding deck rail fence wall shed gutter door eaves awning hose cable handle glove sleeve hair eyebrows beard tarp plywood windbreak chair cushion table tablecloth cloth towel rag box cardboard leaves mulch hedge bush umbrella parasol trellis decking pergola shutters furniture tree branch branches cover",
	"throws":   "threw thrown poured tipped hosed sprayed chucked splashed doused",
	"crisp":    "crisp blackened black",
	"fuel":     "wood log logs split splits coal coals charcoal lump kindling chimney firelighter*",
	"tall":     "metre meter metres meters foot feet ft high tall huge big massive giant",
	"fights":   "flour soda extinguisher blanket sand",
	"fallings": "fell fallen dropped rolled popped jumped spat",
	"tinder":   "deck decking boards leaves grass mulch straw hay carpet rug chair shed",
	"bins":     "can bin box bag bucket crate",
	// a fire under a roof
	"weather": "rain* hail* snow* sleet* storm* wind windy pouring",
	"cooks":   "everything cook cooking cooked smoking smoker grill grilling pit barbecue",
	"alarm":   "alarm* detector* sensor*",
	"rings":   "went going sounded sounding beep* chirp* ringing rang screaming blaring",
	"setup":   "set moved setup standing stood parked",
	"screens": "tarp tarps tarpaulin* canvas curtain* sheet sheets",
	"used":    "used lit ran fired cooked",
	"sides":   "side sides round around",
	// ash
	"ashes": "ash ashes cinders",
	"glow":  "hot warm glowing red smoking alive smouldering smoldering",
	// spoiled
	"sensory":  "funky sour soured ammonia tacky slippery slick slimy odour odor stink stinks whiff niff sulphur sulfur skanky rank pungent putrid fishy metallic cheesy eggy eggs cabbage chemical bleach",
	"tasted":   "taste tastes tasted",
	"smells":   "smell* smelt odor* odour* stink* stank stench reek* whiff pong",
	"revolts":  "gag* retch* heave heaving recoil wince eyewatering",
	"packing":  "package pack packet bag vac vacpack vacuum plastic seal wrapper",
	"swells":   "puff* blown swollen swell* bloat* hiss* balloon* gassy inflated",
	"useby":    "useby sellby bestbefore label dated date stamp sticker",
	"month":    "january february march april may june july august september october november december",
	"hues":     "green greenish grey gray greyish grayish yellow yellowish blue brown brownish black",
	"turns":    "gone turned going turning went spots spot patch* edge edges tinge tint specks streak* sheen sticky slimy",
	"body":     "meat fat bone flesh muscle skin surface edge meats brisket pork beef shoulder chicken ribs lamb turkey",
	"funk":     "funk funky whiff niff pong tang",
	"cuts":     "cut open opened opening unwrapped unwrapping bag",
	"every":    "every rotisserie spit",
	"flavours": "metal metallic fish fishy rotten rancid soap ammonia",
	"bites":    "bite bites taste tastes tasted mouthful flavour flavor",
	"drops":    "drop* fell tipped slid rolled flew knocked",
	"dirty":    "sandpit bin rubbish garbage trash puddle pond pool gutter ditch drain mud dirt",
	"chunk":    "chunk piece half bit corner slice rack",
	// vermin
	"vermin":   "maggot* larvae grubs droppings weevil* flyblown slug slugs snail* poo poop",
	"gnaws":    "at into through nibble* chew* gnaw* bit*",
	"wraps":    "wrap* packet paper bag parcel package meat joint foil",
	"pets":     "heeler* beagle* poodle* bulldog* whippet* greyhound* dachshund* shepherd* rottweiler* husky lurcher* setter* pointer* doberman* mastiff* collie* pug corgi",
	"feeds":    "eat* ate maul* chew* gnaw* lick* nibble* bit bite bitten stole steal* snatch* grabbed found jumped celebrated feasted polished finished raided",
	"harmless": "asleep sleep sleeping watch* sat sits hoping hopeful begging bone bones scraps trimmings skin fat walk walked barking waiting smell* sniffing lying name guard* kept shut lead leash fed dinner bowl food toy",
	"tastes":   "bite bites mouthful lick* nosed snout chew* gnaw* nibbled",
	"into":     "into onto in on",
	"flies":    "fly flies", "itself": "itself himself herself themselves helped",
	// ill
	"had": "had have has got caught with", "malady": "bug flu lurgy norovirus squits runs trots",
	"several":  "guests everyone everybody two three four five six seven eight several half people kids colleagues friends many most dozens lots",
	"hospital": "hospital casualty er ambulance ward drip emergency",
	"ate":      "ate eaten eat", "under": "under",
	"ages":     "one two three four five six fives threes twos",
	"symptoms": "nausea nauseous vomit* diarr* retch* squits cramps",
	"privy":    "toilet loo bathroom bog",
	"stuck":    "night hugging spent hours morning",
	// warmed up
	"slowheat": "slowcooker roaster warmer low tealight* candle* chafing burner lamp lamps",
	"over2":    "through up again",
	"sears":    "sear* finish* grill reheat*",
	"chilled":  "cold chilled leftover* fridge refrigerated",
}

// frames are tried in order, and the first one that a sentence meets counts. A frame
// without a meaning marks a harmless sentence, in which no later frame is looked for.
var frames = []frame{
	{"", always, "meat still>elsewhere"},
	{"", always, "'case>burning"},
	{"", always, "'probe|'wire>char"},
	{"", always, "scraps stays cold>resolved"},

	// Raw meat out of the cold: USDA-FSIS, two hours; thawing in the cold or in cold water.
	{LeftOut, before, "thaws forgot !cold"},
	{LeftOut, before, "ought>cold meat|thaws"},
	{LeftOut, before, "supply cutoff cold !keptcold"},
	{LeftOut, before, "cold tepid wrong !pit"},
	{LeftOut, before, "ice|cold watery meat warmish"},
	{LeftOut, before, "meat warmish !cooked !pit"},
	{LeftOut, before, "vessel hotwater lasting"},
	{LeftOut, before, "frozen hotwater"},
	{LeftOut, before, "meat vehicle within lasting !cold !ice"},
	{LeftOut, before, "meat vehicle days !cold !ice"},
	{LeftOut, before, "prep hours warmplace !cold"},
	{LeftOut, before, "ready apart 'finally|'on !cold !night !later"},
	{LeftOut, before, "~supply cold lasting|warmish|fails meat"},
	{LeftOut, before, "meat forgot warmplace lasting !cold"},
	{LeftOut, before, "warmth>touch !pit !cooked"},
	{LeftOut, before, "meat stays|vehicle hotday !ice !brief !pit"},
	{LeftOut, before, "entered 'on|'in|'out|'under>warmplace lasting !cold !keptcold !cleans !pit !person !other"},
	{LeftOut, before, "meat apart vehicle|goes|'home|'picked !cold !pit !night !middle"},
	{LeftOut, before, "ice 'melted|'gone tepid"},
	{LeftOut, before, "meat stays warmplace lasting cold>nospace"},
	{LeftOut, before, "marinade 'warm|'lukewarm meat"},
	{LeftOut, before, "thaws warmplace|'heat !cold !'water"},
	{LeftOut, before, "cold tepid !pit !middle !cooked"},
	{LeftOut, before, "meat stays>beside>fire lasting"},
	{LeftOut, before, "meat hanging lasting !cold"},

	// Cooked meat out of the heat and the cold.
	{Standing, after, "appliance dead lasting meat|cooked|leftover !kepthot"},
	{Standing, after, "still>appliance|warmplace meat|cooked|leftover lasting|later !kepthot !cold"},
	{Standing, after, "cooling>warmplace lasting"},
	{Standing, after, "cold leftover|meat tepid supply|fails"},
	{Standing, after, "laidout apart !hothold !cold"},
	{Standing, after, "meal apart put !kepthot"},
	{Standing, after, "deep cold still>warmth morning"},
	{Standing, after, "stays>warmplace weekday parcel|meat|cooked !cold"},
	{Standing, after, "-plugged appliance lasting"},
	{Standing, after, "'there|'found dawn meat|cooked|leftover !hothold !cold"},
	{Standing, after, "'lukewarm|'tepid lasting !pit"},
	{Standing, after, "stays warmplace event !hothold !cold !person"},
	{Standing, after, "boxes tepid meat !hothold"},
	{Standing, after, "deep cold|'coldroom tepid dawn"},
	{Standing, after, "stays hours meat|cooked|leftover|tool !hothold !pit !person !cold !resting"},
	{Standing, after, "recalled lasting|dawn meat|cooked !hothold"},
	{Standing, after, "stays>within>fire 'overnight cooling"},
	{Standing, after, "shut fire idle lasting !kepthot !cold"},

	// Cooked in two parts, with the cold between.
	{PartCooked, always, "goon later|weekday stopped !marinade !talk !warms"},
	{PartCooked, always, "goon days parttime !marinade !talk !warms"},
	{PartCooked, before, "halfcore 'icebath|cooling sears|again"},
	{PartCooked, before, "heated earlier cooling !talk !warms"},
	{PartCooked, always, "-done cold|cooling again !warms"},

	// Raw on what is eaten.
	{RawTouched, always, "rawish leaks>onto>eats !cleans"},
	{RawTouched, always, "marinade meat reused onto !boils"},
	{RawTouched, during | after, "bastes>dips>raw !heated2"},
	{RawTouched, during | after, "tool>handled>'with !cleans"},
	{RawTouched, during | after, "spent>marinade bastes !heated2"},
	{RawTouched, during | after, "wipes tool raw|bird !cleans"},
	{RawTouched, after, "'back>tool>came !cleans"},
	{RawTouched, always, "'blood eats !cleans !'orange"},
	{RawTouched, during | after, "bird>'had>'been bastes"},
	{RawTouched, during | after, "bastes marinade>'of|'from>meat !heated2"},
	{RawTouched, after, "'same>tool bird !cleans"},
	{RawTouched, during | after, "raw above>done|eats !cleans"},

	// The fire.
	{FireOut, during, "heats>ended ~unaware|bytime|apart|unwarmed !brief"},
	{FireOut, during, "ended>heats ~unaware|bytime !brief"},
	{FireOut, during, "-heat unaware|bytime|unwarmed !brief"},
	{FireOut, during, "-lights unaware|bytime|unwarmed !brief"},
	{FireOut, during, "quench ~unaware|bytime|unwarmed !vents !brief"},
	{FireOut, during, "-alive sometime|unaware|unwarmed !brief"},
	{FireOut, during, "-climbs lasting !brief"},
	{FireOut, during, "'off 'cold unaware !brief"},
	{FireOut, during, "'it>'was|'went>'out|'dead unaware|'check|'look"},
	{FireOut, during, "forgot>refuel"},
	{FireOut, during, "supply>goes ~unaware|bytime !brief"},
	{FireOut, during, "coolpit ~unaware|bytime !brief"},

	// Fat, and what is near, on fire.
	{Flames, always, "fats>goes>'up"},
	{Flames, always, "burning>fats"},
	{Flames, always, "'onfire !fuel"},
	{Flames, always, "tall>'flame|'flames"},
	{Flames, always, "nearby>burning !weather"},
	{Flames, during, "throws fights"},
	{Flames, always, "'paper>'caught|'flames"},
	{Flames, always, "bang"},
	{Flames, always, "nearby>char !ice"},
	{Flames, always, "fats burning|char crisp"},

	// A fire under a roof.
	{UnderRoof, during, "weather cooks>within>roof !person"},
	{UnderRoof, always, "'monoxide|'co alarm rings"},
	{UnderRoof, during, "setup>within>roof weather !person !other"},
	{UnderRoof, always, "within>roof 'keep>'us|'me>'warm"},
	{UnderRoof, during | after, "embers 'took|'brought|'moved>'into|'inside>roof"},
	{UnderRoof, during, "cooks|'finished>'inside|'in>'tent|'awning|'caravan"},
	{UnderRoof, during, "screens>fire sides"},
	{UnderRoof, before | during, "fire used>within>roof !'from"},

	{HotAsh, always, "ashes burns|parcel|warmplace still>glow"},
	{HotAsh, always, "embers>fallings>tinder"},
	{HotAsh, after, "ashes still>glow"},
	{HotAsh, after, "throws|tips ashes bins roof"},
	{HotAsh, after, "throws fire>within>burns"},
	{Fluid, always, "fluid 'got 'going"},

	{Spoiled, always, "smells revolts"},
	{Spoiled, always, "packing swells !pit !sound"},
	{Spoiled, before, "sensory !sound !other"},
	{Spoiled, before, "sensory>smells meat !other"},
	{Spoiled, before, "'colour|'color>'turned|'gone|'changed"},
	{Spoiled, before, "'had>'smell !sound"},
	{Spoiled, after, "bites>flavours"},
	{Spoiled, after, "tasted>sensory"},
	{Spoiled, before, "useby month"},
	{Spoiled, before, "body hues turns"},

	{Spoiled, before, "funk cuts"},
	{Spoiled, before, "body>'ontheturn !every"},

	{Fallen, always, "vermin"},
	{Fallen, always, "'off>into>ground !other !embers"},
	{Fallen, always, "meat drops>dirty !pit"},
	{Fallen, always, "animal chunk 'gone|'missing"},
	{Fallen, always, "animal|pets feeds meat !harmless !scraps"},
	{Fallen, always, "flies 'eggs"},
	{Fallen, after, "animal itself !scraps"},
	{Fallen, always, "animal|pets tastes !scraps"},
	{Fallen, always, "animal>gnaws>wraps"},

	{Ill, after, "symptoms !animal"},
	{Undone, after, "'underdone|'undercooked|'uncooked"},
	{Undone, after, "still>raw|pinkish !'ring"},
	{Ill, after, "several hospital"},
	{Ill, after, "several>'down>'with"},
	{Ill, after, "privy stuck"},
	{Ill, after, "had>malady"},
	{Ill, after, "several ate 'up>night"},
	{Frail, before, "several>under>ages"},
	{WarmedSlow, after, "warms>over2 hours !kepthot"},
	{WarmedSlow, after, "slowheat warmish|lasting meat|cooked|leftover|chilled !other !hothold"},
	{WarmedSlow, after, "slowheat chilled meat|cooked|leftover !kepthot"},
}

// familyOf maps each name of a family to the family.
var familyOf = func() map[string]family {
	out := make(map[string]family, len(families))
	for name := range families {
		n := len(out)
		var f family
		f[n/64] = 1 << (n % 64)
		out[name] = f
	}
	return out
}()
