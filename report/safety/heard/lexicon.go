package heard

// class is a set of classes: what a word stands for. A word may be in several.
type class uint64

const (
	meat     class = 1 << iota // the meat, or "it"
	other                      // what is not the meat
	cold                       // a place that keeps food cold
	ice                        // what keeps such a place cold
	power                      // what a fridge runs on
	fails                      // what such things do when they stop
	rests                      // how something stays where it is
	steeps                     // lying in salt or brine
	weak                       // says where it is, but little alone
	warm                       // a place that is not cold
	out                        // out
	night                      // for a night or a day
	long                       // for long, from some hour on
	thaws                      // thawing
	cooked                     // what only cooked meat is
	leftover                   // what was not eaten
	partly                     // partly
	cooking                    // cooking
	later                      // another day
	weekday                    // a day of the week
	cools                      // cooling, or put into the cold
	parcel                     // what meat is carried in
	raw                        // raw
	juice                      // what drips from it
	tool                       // what touches meat
	cleans                     // what makes a tool clean, or another one
	marinade                   // what raw meat lay in
	uses                       // putting a liquid on
	again                      // used before
	boils                      // boiling it
	falls                      // falling
	ground                     // where it falls to
	animal                     // animals
	bites                      // what they do
	person                     // people
	sick                       // being ill
	illness                    // an illness
	frail                      // people whom little makes ill
	home                       // places that feed such people
	warms                      // warming up again
	slow                       // too little heat to warm it up
	fire                       // the pit, or what burns in it
	moves                      // putting it somewhere
	roof                       // a place with a roof
	within                     // in, into, under
	embers                     // ash and coals
	burns                      // what hot ash sets alight
	tips                       // getting rid of ash
	quenched                   // ash that is cold
	fluid                      // what flares
	pours                      // putting it on
	bad                        // how what is spoiled smells or feels
	foul                       // the same, whatever is near
	sound                      // what may smell of anything
	smell                      // smelling, or a smell
	negative                   // no, not
	still                      // still
	stiff                      // hard, frozen, cold
	pink                       // what is not cooked through looks like
	middle                     // inside
	holds                      // kept hot
	fumes                      // what carbon monoxide does to people
	the                        // the, our, my
)

// lexicon lists the words of each class. A word that ends in * stands for all words
// with that beginning.
var lexicon = map[class]string{
	meat:     "meat snag* banger* brat brats links kebab* kebap* ribeye* tri-tip it they them everything lot shoulder* butt butts brisket* flat rib ribs rack racks bird* turkey* chicken* hen hens duck* goose geese pork beef lamb mutton goat joint* roast piece* loin* belly ham hams sausage* burger* patties wings thighs legs picnic neck chuck venison boar fish salmon trout steak* chop chops pieces packer both boston hog hogs pig pigs carcass carcase clod shank* cheeks oxtail* tongue* tenderloin* sirloin* rump topside silverside collar hock* trotters gammon bacon pastrami drumstick* breast* saddle haunch crown slab slabs hunk* batch food thigh wing leg flank flanks skirt hanger patty meatball* meatloaf rissole* kebab* skewers",
	other:    "moon stars clock clocks paprika sauce* slaw bean* bun buns bread rolls potato* rub rubs salt sugar charcoal briquette* wood log logs split splits chunk* kindling beer* wine drink* drinks chair* table* thermometer* probe* knife knives tongs glove* lid lids towel* foil butter cheese egg eggs salad* salads vegetable* corn onion* garlic pepper* spice* vinegar mustard honey syrup mop spritz water vent vents damper door doors window* rain paper string dog dogs kids guests people neighbour* neighbor* wife husband friend* cake pie dough lemon* lime apple* peach* tomato* pickle* coleslaw mayo mayonnaise phone alarm batteries battery list tray trays tools tool bottle bag bags invitations lamp light lights stool book music radio paperwork recipe stock gravy binder gravies veg gloves coffee tea cups cup plates* sofa rug binoculars candle* flowers toys clothes coat coats boots hat hats shoes jacket",
	cold:     "fridge* freezer* chiller larder coolbox icebox coldroom cooler frig coldstore coldbox coolbag deepfreeze refrigerator refrigerat*",
	ice:      "ice icepack* gelpack* packs icicles gelbag coldpack*",
	power:    "power electricity electric mains breaker fuse",
	fails:    "off dead died dying broke broken unplugged tripped trips failed fails failure failing cut outage blackout stopped quit conked gone down lost blew warm lukewarm melted ajar open packed bust kaput knackered fritz croaked switched liquid soup",
	rests:    "left leave leaving lay lain laid lying sat sit sits sitting stood stand stands standing stayed stay forgot forgotten spent waited waiting remained hung hanging sweated rode ride travelled traveled lived lingered dozed parked",
	steeps:   "brined brining marinated marinating salted cured curing soaked soaking aged dried drying",
	weak:     "was were been is kept had got put being",
	warm:     "bar trestle* counter* worktop* workbench table kitchen car boot trunk van truck porch bench sideboard shed garage sun sunshine sunlight sink doorstep step steps patio deck garden hall hallway stove hob radiator heater fireplace seat backseat room roomtemp outside outdoors balcony windowsill pantry scullery utility conservatory tent marquee grocery shopping drive pavement lawn side board stairs bonnet dashboard warm island drainer drainingboard tailgate truckbed ute lorry suv pickup wagon trailer camper campervan caravan rv boat dock jetty driveway yard backyard terrace veranda verandah stoop landing lobby foyer corridor mudroom laundry bathroom bath basement attic loft shop office desk chair stool floor wall hood dash hatch stump cupboard countertop* worksurface draining vehicle minivan jeep taxi train dresser nightstand mantel mantelpiece sill ledge pallet trolley locker rucksack backpack pannier saddlebag bedroom lounge livingroom dining den nook islands cart barn stable carport greenhouse lodge cabin campsite beach park lot",
	out:      "out",
	night:    "overnight night nights day days",
	long:     "dusk dark nightfall sunset lunchtime since till until noon midday midnight morning afternoon evening breakfast lunch dinner supper yesterday ages forever long dawn sunrise sunup sundown teatime tea brunch toolong",
	thaws:    "thaw* defrost*",
	cooked:   "rested resting sliced slicing slices carved carving pulled pulling cooked served serving eaten ate unwrapped burnt done",
	leftover: "leftover* remains remainder buffet platter* spread carvery fillings",
	partly:   "halfway part par half semi partially partly parboil* parcook* precook* parbake* parsmoke* preboil*",
	cooking:  "cook* bake* baked smoke* smoking boil* roasted roasting grilled braised done pit grill heat blanch* poach* steam* fried fry griddled seared sear barbecued parboil* precook* parcook* parbake* parsmoke* preboil*",
	later:    "tomorrow yesterday overnight ahead later",
	weekday:  "monday tuesday wednesday thursday friday saturday sunday weekend",
	cools:    "fridge* refrigerat* chill* cool cooled cooling cold freezer overnight",
	parcel:   "bag bags box boxes parcel* packet tray trays tub dish",
	raw:      "raw uncooked",
	juice:    "juice juices blood drip drips dripped dripping drippings purge leaked leaking leaks ran splashed liquid touching touched touches",
	tool:     "dish dishes tin board boards block knife knives tongs plate plates tray trays bowl brush mop gloves glove cloth towel bottle spoon fork hands hand platter counter sink scissors cleaver sponge tub pan basket rack hook hooks syringe probe thermometer shears tweezers spatula* turner ladle skewer* claws apron rag rags cloths bench worktop trivet mitts mitt",
	cleans:   "wash* clean* scrub* rinsed fresh another separate* different new bleach* swapped changed disinfected sanitised sanitized scalded dishwasher own second other lined sterilised replaced soap* sanitise* sanitize* boiled",
	marinade: "marinade* brine injection cure pickle soak",
	uses:     "mop* baste* basted basting brush* glaze* glazed glazing sauce sauced spritz* spray* sprayed dip dipped drizzle* pour poured pouring gravy serve* served dressed spoon* spooned reuse* finish* painted doused dunk* dredge* toss* tossed ladle* ladled",
	again:    "leftover* rest same used old spent remaining left drained lay sat soaked from had reused yesterday spare",
	boils:    "boil* simmer* reduced cooked scald* heated kept reserved aside fresh new bottled",
	falls:    "fell fall falls falling dropped drop drops dropping slid slipped rolled landed tipped tumbled toppled spilled flipped flew flopped knocked toppling tumbling tipping spilt bounced plopped hit skidded crashed scattered ended fumbled flung slide sliding slip slipping lost",
	ground:   "floor ground grass dirt soil gravel lawn sand mud earth concrete paving pavement leaves tiles patio deck drive yard ash ashes driveway path pathway sidewalk kerb curb road street lino carpet rug mat doormat sawdust straw hay snow puddle ditch garden bushes flowerbed terrace flagstone* cement asphalt tarmac gutter stairs steps decking turf field tile step stair path paths",
	animal:   "dog dogs cat cats fox foxes gull* crow* bird rat rats mouse mice raccoon* badger* flies fly wasps wasp puppy hound labrador terrier magpie* ants maggot* hens possum* opossum* coon coons squirrel* skunk* coyote* hedgehog* jackdaw* rook rooks seagull* raven* pigeon* ferret* rodent* insect* beetle* roach* cockroach* spider* bluebottle* hornet* pup pups mutt retriever spaniel collie kitten* tomcat kitty vermin critter* pooch doggo terrier* bear bears magpies",
	bites:    "lick* ate eat eaten got had took bit bitten chew* nibble* gnaw* peck* stole grabbed mouth crawl* laid landed sniff* at swarm* eggs all licked into helped dragged raided pinched nicked snatched tasted drool* walked feasted gobbled scoffed wolfed dug tore hold slobber* pawed snout nose pulled chewed chew face head paw paws tongue whiskers cleared emptied chewing gnawing licking eating ran",
	person:   "us me guest guests people everybody everyone somebody someone kid kids child children wife husband he she they we i family party friend friends neighbour* neighbor* half three two four several some mum mom dad uncle aunt gran granny nan nana grandma grandmother grandad granddad grandpa grandfather wifey missus hubby mother father sister brother son daughter niece nephew cousin* colleague* mate mates lads lad crew team boss office crowd punter* customer* partner inlaws pal pals bloke blokes folks folk lady ladies gentleman grandson* granddaughter* grandkid* grandchild* folk* inlaw in-law twins triplets",
	sick:     "ill sick vomit* diarrhoea diarrhea diarrhoeal nausea nauseous queasy puk* poorly cramps runs unwell rough ropy nauseated green feverish",
	illness:  "fever* illness norovirus gastro* salmonella* campylobacter stomach bug poisoning poisoned poison vomit* diarrhoea diarrhea diarrhoeal puk* retch* barf* squits listeria listeriosis colitis hepatitis dysentery jaundice tummy gastric trots",
	frail:    "pregnant expecting chemo chemotherapy transplant immune immuno* immunosuppressed dialysis toddler* infant* baby babies newborn elderly frail pensioner* oncology premature preemie leukaemia leukemia due",
	home:     "hospice hospital nursery kindergarten creche crèche nursinghome carehome playgroup daycare respite sheltered dementia almshouse",
	warms:    "microwaved reheat* rewarm* warmed warming heated warm warmup rewarmed zapped nuked micro microwave* nuke* zap* warms heating",
	slow:     "slowcooker lukewarm tepid twice third chafing waterbath candle barely justwarm tealight* candles hotplate radiator sun airing slowly bainmarie",
	fire:     "pit smoker smokers grill grills kettle drum barbecue barbecues braziers bbq cooker fire coals embers charcoal lit ceramic offset it firebox brazier chimney rig kamado barrel stove chiminea chimenea firepit firebowl tandoor hibachi griddle rotisserie spit braai asado pellets brasier oildrum burner",
	moves:    "moved move moving rolled wheeled brought bring carried pulled dragged pushed set setup running runs burning smoking cook cooking stands stood is was are put took taken shifted lit lighting light ran left cooling cool keep warm warming used using parked smoked wheel drag carry tucked squeezed hauled lugged shoved relocated rolling wheeling carrying bringing dragging pushing shifting stuck parking sheltered",
	roof:     "garage indoors inside shed barn house cellar porch van tent marquee camper caravan carport conservatory basement balcony veranda greenhouse gazebo leanto awning workshop hall hallway kitchen stable room outbuilding store hotel motel stairwell entrance passage workroom scullery utility sunroom loft doorway lobby mudroom boathouse lockup outhouse toolshed summerhouse cabin lodge rv boat bathroom laundry lounge bedroom studio apartment polytunnel cowshed byre tunnel bus lorry stables horsebox",
	within:   "floor in into inside under to indoors",
	embers:   "ash ashes coal coals embers cinders glowing clinker",
	burns:    "plastic cardboard paperbag papersack binbag rubbish trash wheelie compost dustbin wooden deck decking leaves bin bucket bag sack crate hedge straw hay mulch skip fence vac vacuum* vacced hoover* shavings sawdust woodpile trashcan heather bracken carton deckboards recycling leaf pile heap garbage refuse dumpster tote toter binliner trailer pickup landfill",
	tips:     "tipped tip emptied empty dumped dump threw thrown throw shovelled shoveled shovel swept put binned bagged scooped poured chucked moved went into in vac vacced vacuum* vacuumed hoover* sweeping scraped raked dumping tipping emptying chuck scattered scatter spread buried kicked left stood sat toss* rake",
	quenched: "cold metal steel tin galvanised galvanized soaked drowned wet dead lidded unburnt unused",
	fluid:    "fluid petrol gasoline paraffin kerosene methylated spirits spirit accelerant diesel turpentine thinner alcohol meths naphtha ethanol isopropyl turps firegel",
	pours:    "pour* splash* squirt* add* spray* douse* doused threw used dribble* on onto over more with adding tipped tip sloshed dash glug topped chucked",
	bad:      "sickly slick slippery skanky sour ammonia nasty foul funny strange sulphur sulfur tacky sticky green grey greyish iridescent off bad weird odd peculiar unusual suspicious iffy dodgy suspect questionable dubious worrying unpleasant wrong cheesy yeasty gassy pongy metallic musty",
	foul:     "rotten rancid eggy putrid slimy mouldy moldy mould mold whiffy stinks stink stank reeks reeked rank minging fetid decayed decaying festering pong pongs whiffs ponged niffs niffy honks honking",
	sound:    "smoke fire charcoal wood splits chimney cherry cream sauce cheese weather dough cabbage log bark mop towel pit smoker grill ash grease",
	smell:    "feel smell* smelt odour* odor* whiff feels felt looks looked bag package packet fat surface smelling sniff* scent* aroma stench nose niff hum hums",
	negative: "fridgefull no not never without nothing nor neither cannot instead didn't wasn't weren't don't couldn't wouldn't isn't can't hasn't hadn't haven't won't doesn't ain't aint didnt wasnt werent dont couldnt wouldnt isnt cant hasnt hadnt havent wont doesnt",
	still:    "still",
	stiff:    "frozen hard solid icy cold stiff rock ice frosty chilled",
	pink:     "pink bloody red raw jelly underdone undercooked translucent rare glassy gelatinous rubbery",
	middle:   "joint joints cavity middle inside centre center bone thigh thighs joint core breast juices juice",
	fumes:    "headache* dizzy dizziness lightheaded light-headed woozy faint fainted giddy",
	holds:    "hot holding oven chafing warmer",
	the:      "the our my his her their a an this that",
}

// senses lists words with several senses. Such a word has the sense of its class only
// beside one of the words in with, and not beside any of those in not.
var senses = map[string]struct{ with, not string }{
	"stomach":   {with: "ache upset bad cramps pains bug hurt hurts"},
	"bug":       {with: "stomach tummy caught"},
	"poisoning": {not: "carbon monoxide"},
	"fever":     {not: "pitch cabin hay"},
	"expecting": {with: "baby child she"},
	"baby":      {not: "back backs shower sitter"},
	"nursery":   {not: "cherry tree trees plants"},
	"tummy":     {with: "ache upset bad cramps pains bug hurt hurts dodgy bad"},
	"green":     {with: "gills"},
	"due":       {with: "baby lady wife daughter sister her she"},
	"rough":     {with: "feel felt feeling feels"},
}

// joined maps words that are written separately to the one word that they count as.
var joined = map[string]string{
	"cool box": "coolbox", "ice box": "icebox", "ice chest": "icebox", "cold room": "coldroom", "walk in": "coldroom", "ice pack": "icepack", "ice packs": "icepack", "gel pack": "gelpack", "gel packs": "gelpack",
	"room temperature": "roomtemp", "room temp": "roomtemp", "slow cooker": "slowcooker", "water bath": "waterbath", "ice bath": "icebath", "cold bath": "icebath", "back seat": "backseat", "side board": "sideboard", "work top": "worktop",
	"paper bag": "paperbag", "paper sack": "papersack", "bin bag": "binbag", "bin liner": "binbag", "rubbish bag": "binbag", "lean to": "leanto", "nursing home": "nursinghome", "care home": "carehome", "old people home": "carehome", "old folks home": "carehome", "children ward": "hospital", "car port": "carport", "retirement home": "carehome",
	"power cut": "blackout", "power outage": "blackout", "power failure": "blackout", "lighter fluid": "fluid", "white spirit": "spirit", "paint thinner": "thinner", "lighter gel": "fluid",
	"carry on": "continue", "carried on": "continue", "carrying on": "continue", "pick up": "continue", "picked up": "continue", "keep going": "continue", "kept going": "continue", "go again": "continue", "going again": "continue", "went again": "continue",
	"threw up": "vomited", "throwing up": "vomiting", "throw up": "vomit", "thrown up": "vomited", "being sick": "vomiting", "been sick": "vomited",
	"lighter fuel": "fluid", "burnt ends": "cubes", "white gas": "fluid", "camp fuel": "fluid", "lamp oil": "fluid", "fire gel": "firegel", "meth spirits": "meths",
	"just warm": "lukewarm", "barely warm": "lukewarm", "hardly warm": "lukewarm",
	"sous vide": "waterbath", "fire basket": "coals", "ash pan": "ash", "ash tray": "ash", "ash drawer": "ash", "horse box": "horsebox", "hot plate": "hotplate", "bain marie": "bainmarie", "flower bed": "flowerbed", "fridge full": "fridgefull", "freezer full": "fridgefull", "hot air": "air", "blood warm": "lukewarm", "hand warm": "lukewarm",
	"cool bag": "coolbag", "cold store": "coldstore", "deep freeze": "deepfreeze", "cold box": "coldbox", "draining board": "drainingboard",
	"evening before": "yesterday", "night prior": "yesterday", "day prior": "yesterday", "afternoon before": "yesterday", "morning after": "tomorrow", "day later": "tomorrow", "days later": "tomorrow", "following day": "tomorrow", "following morning": "tomorrow", "next evening": "tomorrow", "next afternoon": "tomorrow", "next weekend": "tomorrow",
	"straight back": "straightback", "at once": "atonce", "in time": "intime", "threw it out": "threwaway", "threw it away": "threwaway", "threw away": "threwaway", "thrown out": "threwaway", "thrown away": "threwaway", "threw them out": "threwaway",
	"should have": "shouldhave", "meant to": "meantto", "was to": "wasto", "no longer cold": "notcold", "not cold": "notcold", "wasn't cold": "notcold", "hardly cold": "notcold", "not really cold": "notcold", "semi soft": "semisoft",
	"warm water": "warmwater", "hot water": "hotwater", "hot tap": "hottap", "use by": "useby", "sell by": "sellby", "best before": "bestbefore",
	"on the turn": "ontheturn", "set fire to": "ablaze", "set light to": "ablaze", "on fire": "onfire", "warm setting": "warmer", "some time": "sometime", "drying rack": "dryingrack",
	"no more than": "atmost", "not more than": "atmost", "no longer than": "atmost", "not longer than": "atmost", "at most": "atmost", "too long": "toolong",
	"next saturday": "saturday", "next sunday": "sunday", "out of this": "excellent", "passed out": "asleep", "zonked out": "asleep", "zonking out": "asleep", "dozed off": "asleep", "nodded off": "asleep", "crashed out": "asleep", "dropped off": "asleep", "one day": "one", "the next": "tomorrow",
	"lit again":  "relit",
	"over night": "overnight", "half way": "halfway", "next day": "tomorrow", "next morning": "tomorrow", "day before": "yesterday", "night before": "yesterday", "last night": "yesterday", "another day": "tomorrow", "day after": "tomorrow",
}
