package written

import (
	"slices"
	"strconv"
	"strings"

	"ashbook/journal/measure"
	"ashbook/journal/pattern"
)

// cuts are the cuts that notes name. A name that contains another comes before it.
var cuts = []string{
	"boneless pork shoulder", "pork shoulder", "pork butts", "pork butt", "boston butt", "picnic shoulder", "pork belly", "pork loin", "pork ribs", "spare ribs", "spareribs", "baby back ribs", "baby backs", "st louis ribs",
	"beef short ribs", "short ribs", "beef ribs", "plate ribs", "beef cheeks", "chuck roast", "chuckie", "beef shoulder", "packer brisket", "whole brisket", "full packer", "brisket flat", "brisket point", "brisket", "packer", "lamb shoulder", "leg of lamb",
	"turkey breast", "turkey legs", "turkey", "chicken thighs", "chicken", "duck", "goose", "ham", "butts", "butt", "shoulders", "shoulder", "ribs", "belly", "hog", "venison", "goat",
	"rinderbrust", "schweineschulter", "schweinenacken", "lammschulter", "pulled pork", "paleta de cerdo", "pecho de res", "épaule de porc", "poitrine de boeuf", "nacken", "schulter",
}

var cutText = pattern.New(`(?i)(?:^|[^\pL\pN])(` + strings.Join(cuts, "|") + `)(?:$|[^\pL\pN])`)

// CutIn returns the cut that a text names, in lower case; "" for none.
func CutIn(s string) string {
	if m := cutText.FindStringSubmatch(s); m != nil {
		return strings.ToLower(m[1])
	}
	return ""
}

const massUnits = `(?:lbs?\.?|pounds?|pounders?|#|kgs?|kilos?)`

var massText = pattern.New(`(?i)(?:\b(\d{1,2}|two|three|four)\s*[x×]?\s+)?(?:~|about |approx )?\b(\d{1,3}(?:[.,]\d{1,2})?(?: ?½| [13]/[24])?)\s*-?\s*(` + massUnits + `)(?:\s*(\d{1,2}(?:\.\d)?)\s*oz)?(?:\s+each)?(?:\s|$|[,;.)])`)

var twoMasses = pattern.New(`(?i)(?:^|\s)(\d{1,3}(?:[.,]\d{1,2})? (?:and|&|\+) \d{1,3}(?:[.,]\d{1,2})?\s*(?:lb|kg))s?(?:$|[\s,;.)])`)

// CutMass removes the first weight from s. A number before it gives several weights: "2
// 8 lb butts", "two 4 kg shoulders".
func CutMass(s string, sys measure.System) (list []measure.Mass, rest string) {
	if m := twoMasses.FindStringSubmatch(s); m != nil { // "8.1 and 8.9 lb"
		if list, ok := ParseMass(m[1], sys); ok && !list[0].Assumed {
			return list, strings.Join(strings.Fields(strings.Replace(s, m[1], " ", 1)), " ")
		}
	}
	m := massText.FindStringSubmatchIndex(s)
	if m == nil {
		return nil, s
	}
	group := func(k int) string {
		if m[2*k] < 0 {
			return ""
		}
		return s[m[2*k]:m[2*k+1]]
	}
	unit := "lb"
	if strings.HasPrefix(strings.ToLower(group(3)), "k") {
		unit = "kg"
	}
	number := group(2)
	for part, decimal := range map[string]string{" ½": ".5", "½": ".5", " 1/2": ".5", " 1/4": ".25", " 3/4": ".75"} {
		if whole, ok := strings.CutSuffix(number, part); ok && !strings.HasSuffix(whole, " ") {
			number = whole + decimal
			break
		}
	}
	text := number + " " + unit
	if ounces := group(4); ounces != "" && unit == "lb" {
		text += " " + ounces + " oz"
	}
	q, err := measure.ParseMass(text, sys)
	if err != nil || q.Base <= 0 {
		return nil, s
	}
	n := 1
	switch count := strings.ToLower(group(1)); count {
	case "":
	case "two", "three", "four":
		n = map[string]int{"two": 2, "three": 3, "four": 4}[count]
	default:
		n, _ = strconv.Atoi(count)
	}
	return slices.Repeat([]measure.Mass{q}, max(1, n)), strings.Join(strings.Fields(s[:m[0]]+" "+strings.TrimPrefix(s[m[1]:], " of ")), " ")
}
