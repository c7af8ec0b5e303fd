package safety

// Limits of published documents, in °C, hours and log10.
const (
	ColdHold  = 5.0  // keep cold food at or below; FDA Food Code 2022, 3-501.16(A)(2): 41 °F
	CoolHalf  = 21.0 // first step of cooling; 3-501.14(A)(1): 70 °F
	ReheatTo  = 74.0 // reheated for hot holding; 3-403.11: 165 °F within 2 h
	WholeCut  = 62.8 // 145 °F and three minutes' rest; USDA-FSIS minimum internal temperature chart
	MincedCut = 71.1 // 160 °F, minced meat; same chart
	BirdCore  = 73.9 // 165 °F, all poultry and stuffing; same chart
	HamCore   = 60.0 // 140 °F, a ham that was fully cooked and packed under inspection; USDA-FSIS on hams [from memory]
	GameCore  = 71.1 // 160 °F; USDA-FSIS on game from the wild [from memory]

	FirstCooling = 2.0 // h from SafeHold to CoolHalf; 3-501.14(A)(1)
	WholeCooling = 6.0 // h from SafeHold to ColdHold; 3-501.14(A)(2)
	FourHours    = 4.0 // h out of temperature control before it is thrown away; 3-501.19(B)
	ReheatWithin = 2.0 // h; 3-403.11
	outInAir     = 2.0 // h out of refrigeration in air up to hotAir; USDA-FSIS
	outInHotAir  = 1.0 // h in hotter air
	hotAir       = 32.0
	comeUpFrom   = 10.0 // °C: 50 °F
	comeUpTo     = 54.4 // °C: 130 °F
	comeUp       = 6.0  // h between the two
	growthLimit  = 1.0  // log10 of Clostridium perfringens while cooling; 9 CFR 318.17(a)(2)
)

// Sources, as printed below a finding.
const (
	sourceHold     = "FDA Food Code 2022, 3-501.16(A): hot food at 57 °C (135 °F) or above, cold at 5 °C (41 °F) or below"
	sourceCool     = "FDA Food Code 2022, 3-501.14(A): 57 to 21 °C within 2 h, to 5 °C within 6 h in all"
	sourceTime     = "FDA Food Code 2022, 3-501.19(B): time as the only control, at most 4 h, and with written procedures"
	sourceReheat   = "FDA Food Code 2022, 3-403.11 [from memory]: reheated to 74 °C (165 °F) within 2 h"
	sourceZone     = "USDA-FSIS, danger zone; FDA Food Code 2022, 3-501.16 and 3-501.19: 5 to 57 °C (41 to 135 °F), 4 h"
	sourceOut      = "USDA-FSIS: 2 h out of refrigeration, 1 h in air over 32 °C (90 °F)"
	sourceMeat     = "USDA-FSIS Appendix A (64 FR 732, 1999): 6.5 log10 of Salmonella in meat, D 0.172 min at 65.6 °C (150 °F), z 5.6 K"
	sourceBird     = "USDA-FSIS, time-temperature tables for cooking ready-to-eat poultry products (2005): 7 log10, chicken of 12 % fat"
	sourceChart    = "USDA-FSIS minimum internal temperature chart: whole cuts 62.8 °C (145 °F) and 3 min rest, minced 71.1 °C (160 °F), poultry and stuffing 73.9 °C (165 °F)"
	sourceOpened   = "USDA-FSIS on pierced and injected meat (9 CFR 317.2(e)(3)) [from memory]: what was on the surface may be inside"
	sourceComeUp   = "USDA-FSIS cooking guideline, revised Appendix A (2021) [from memory]: at most 6 h between 10 and 54.4 °C (50 and 130 °F)"
	sourceGrowth   = "Juneja, Marks, Huang, Thippareddi, Food Microbiology 28:791 (2011); at most 1 log10 while cooling: 9 CFR 318.17(a)(2)"
	sourceGame     = "USDA-FSIS on game from the wild [from memory]: 71 °C (160 °F); freezing does not kill every kind of trichinella"
	sourceHam      = "USDA-FSIS on hams [from memory]: fully cooked and packed under inspection 60 °C (140 °F), any other 73.9 °C (165 °F)"
	sourceJerky    = "USDA-FSIS on jerky [from memory]: 71 °C (160 °F), poultry 74 °C (165 °F), before it is dried"
	sourceTender   = "collagen turns to gelatine from 70 to 80 °C: Encyclopedia of Meat Sciences [from memory]"
	sourceSpoiled  = "USDA-FSIS [from memory]: do not taste it to find out; when in doubt, throw it out"
	sourceFluid    = "NFPA on grilling [from memory]: never lighter fluid, nor any other, on a fire that burns"
	sourceFat      = "NFPA and US Fire Administration on grease fires [from memory]: smother it, turn off the heat, never water"
	sourceRaw      = "USDA-FSIS on marinades and grilling [from memory]: what touched raw meat is boiled before it touches cooked meat, or thrown away"
	sourcePart     = "USDA-FSIS [from memory]: never part-cook meat, cool it, and finish it later"
	sourceFallen   = "FDA Food Code 2022, 3-307.11 [from memory]: food is kept from other contamination"
	sourceIll      = "FDA Food Code 2022, 2-201.11 to 2-201.13 [from memory]: who vomits or has diarrhoea does not work with food until 24 h after; two days: CDC on norovirus [from memory]"
	sourceFrail    = "FDA Food Code 2022, 3-801.11 [from memory]; USDA-FSIS on people at risk [from memory]"
	sourceColdSm   = "FDA Food Code 2022, 3-502.11 [from memory]: smoking as a way of keeping food asks for a plan approved by the local authority"
	sourceThaw     = "FDA Food Code 2022, 3-501.13 [from memory]: thawed cold before cooking; probe read in the part that was ice last: common practice, no source"
	sourceMonoxide = "US CPSC document 5012 and release 99-051: charcoal gives off carbon monoxide until it is out; no indoor use, an open window does not help"
	sourceAsh      = "US CPSC release 99-051: carbon monoxide until completely extinguished; lidded metal bin, away from buildings: US Fire Administration [from memory]"
	sourcePractice = "common practice, no source"
)
