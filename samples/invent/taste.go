package invent

import (
	"fmt"
	"math"
	"strings"
)

// The true effects. Effects on time are in ln: .045 is 4.5 % longer. They scale the
// speed of all processes in the meat, so each is exact in a steady pit.
const (
	PanHotTime   = .045 // water pan kept hot
	HillFarmTime = -.03 // meat of the hill farm
	CrowdTime    = .025 // each further piece in the pit
	CherryTime   = .0   // cherry rather than oak
	LuckTime     = .06  // standard deviation, a cook
	PieceTime    = .025 // standard deviation, a piece
	TenderLuck   = .5   // standard deviation, points of tenderness a cook
	JuiceLuck    = .022 // standard deviation, share of the weight lost
	HillFarmTend = .4   // points of tenderness
	CherrySmoke  = -.3  // points of smoke
	FoilBark     = -.9  // points of bark
	PaperBark    = -.35 // points of bark
	LongBoxBark  = -.5  // points of bark, over four hours in the box
	BestWood     = 42.  // g wood per kg meat that is liked best
	BestSalt     = 10.  // g salt per kg meat that is liked best
	BestBark     = 2.9  // grade of bark that is liked best
	EaterNoise   = .75  // standard deviation of one answer, points
	wander       = .08  // standard deviation of ln of the heat from the air
	wanderTime   = 150. // minutes over which that decays
)

// Severity is how far an eater scores above or below the others, points.
var Severity = map[string]float64{"RT": -.9, "MB": .5, "JK": 0, "AL": .3, "PW": -.4, "SD": .9}

// constant is an effect with its name in a data file.
type constant struct {
	name  string
	value float64
}

func constants() []constant {
	rows := []constant{
		{"ln time, pan hot", PanHotTime}, {"ln time, hill farm", HillFarmTime}, {"ln time, each further piece", CrowdTime},
		{"ln time, cherry rather than oak", CherryTime}, {"ln time, luck of a cook, sd", LuckTime}, {"ln time, luck of a piece, sd", PieceTime},
		{"tenderness, luck of a cook, sd", TenderLuck}, {"loss, luck of a cook, sd", JuiceLuck}, {"tenderness, hill farm", HillFarmTend},
		{"smoke, cherry rather than oak", CherrySmoke}, {"bark, foil", FoilBark},
		{"bark, paper", PaperBark}, {"bark, over 4 h in the box", LongBoxBark}, {"wood liked best, g/kg", BestWood},
		{"salt liked best, g/kg", BestSalt}, {"bark liked best, grade", BestBark}, {"noise of an answer, sd", EaterNoise},
	}
	for _, e := range []string{"RT", "MB", "JK", "AL", "PW", "SD"} {
		rows = append(rows, constant{"severity of " + e, Severity[e]})
	}
	return rows
}

// traits lists the traits in the order of a file.
var traits = []string{"tenderness", "moisture", "bark", "smoke", "salt", "overall"}

// quality returns the true quality before eaters' differences, points of 1 to 9.
func (c *course) quality() map[string]float64 {
	q := map[string]float64{}
	if c.Form != "" {
		return q
	}
	var tender, yield, mass, dark float64
	for _, b := range c.bodies {
		n := float64(len(c.bodies))
		tender += b.Tender / n
		yield += b.Yield() / n
		dark += b.Dark / n
		mass += b.Mass
	}
	q["tenderness"] = 7.5 - 6*max(0, .95-tender) - .9*max(0, tender-1.7)
	q["moisture"] = 7.3 + 30*min(0, yield-.605) + 10*max(0, yield-.605)
	if c.meat.Collagen == 0 {
		q["tenderness"] = 7
		q["moisture"] = 7.2 - .35*max(0, c.bodies[0].Core()-75)
	}
	if c.Cut == "brisket" {
		q["moisture"] -= .5
	}
	if c.Supplier == "hill farm" {
		q["tenderness"] += HillFarmTend
	}
	q["bark"] = 7.6 - 1.25*math.Abs(dark-BestBark)
	switch c.wrapped {
	case "foil":
		q["bark"] += FoilBark
	case "paper":
		q["bark"] += PaperBark
	}
	if c.holdOff > 4 {
		q["bark"] += LongBoxBark
	}
	q["tenderness"] += c.meatTaste
	wood := c.woodG/mass - BestWood
	q["smoke"] = 7.2 - math.Pow(wood/20, 2)
	if c.Wood == "cherry" {
		q["smoke"] += CherrySmoke
	}
	q["salt"] = 7.3 - math.Pow((c.salt()-BestSalt)/4, 2)
	q["overall"] = .3*q["tenderness"] + .25*q["moisture"] + .2*q["bark"] + .15*q["smoke"] + .1*q["salt"]
	for t, v := range q {
		q[t] = max(1, min(9, v))
	}
	return q
}

// salt returns g of salt per kg of meat, from salting or else from the rub.
func (c *course) salt() float64 {
	if c.Salt > 0 {
		return c.Salt
	}
	return 7
}

// lean returns +1 if most people find too much of a trait, −1 if too little.
func (c *course) lean(trait string) float64 {
	var mass, dark, tender float64
	for _, b := range c.bodies {
		mass += b.Mass
		dark += b.Dark / float64(len(c.bodies))
		tender += b.Tender / float64(len(c.bodies))
	}
	switch trait {
	case "bark":
		return (dark - BestBark) / 1.3
	case "smoke":
		return (c.woodG/mass - BestWood) / 30
	case "salt":
		return (c.salt() - BestSalt) / 4.5
	case "tenderness":
		if c.meat.Collagen > 0 {
			return (tender - 1.35) / .6
		}
	}
	return 0
}

// tasting writes the rows of the eaters; some leave out a score.
func (c *course) tasting(quality map[string]float64) string {
	if len(quality) == 0 || c.Eaters == "" {
		return ""
	}
	var sb strings.Builder
	sb.WriteString("tasting:\n")
	day := .3 * c.pen.NormFloat64()
	for _, eater := range strings.Fields(c.Eaters) {
		cells := []string{"eater: " + eater}
		for _, t := range traits {
			score := math.Round(quality[t] + Severity[eater] + day + EaterNoise*c.pen.NormFloat64())
			lean := c.lean(t) + .35*c.pen.NormFloat64()
			if c.pen.Float64() < .09 {
				continue
			}
			sign := ""
			if t != "overall" && t != "moisture" && math.Abs(lean) > .8 {
				sign = map[bool]string{true: "+", false: "-"}[lean > 0]
			}
			cells = append(cells, fmt.Sprintf("%s: %.0f%s", t, max(1, min(9, score)), sign))
		}
		sb.WriteString("  - {" + strings.Join(cells, ", ") + "}\n")
	}
	return sb.String()
}
