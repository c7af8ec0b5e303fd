package paper

import (
	"slices"
	"strings"

	"ashbook/journal/ingest/written"
	"ashbook/journal/pattern"
)

// Column says how one column of a table was read.
type Column struct {
	Name    string // heading in the table, or "column 3" if it has none
	As      string // name of the field; "words" if its cells are only kept
	Unit    string // unit named in the heading, such as "lb" or "°F"; "" for none
	Guessed bool   // the field was chosen by the cells, not by the heading
}

// field is one kind of column.
type field struct {
	name  string
	heads []string // headings that name it, in lower case
	// reports whether a cell looks like this field; nil if no cell can show that
	fits func(cell string, d *draft) bool
	take func(cell string, d *draft) bool // stores a cell; returns false to keep the cell as words
}

// Fields returns the names of the fields, in the order they are tried.
func Fields() []string {
	var all []string
	for _, f := range fields {
		all = append(all, f.name)
	}
	return append(all, wordsField)
}

// wordsField is the name of a column whose cells are only kept as words.
const wordsField = "words"

var fields []field

func init() {
	fields = []field{
		{"date", []string{"date", "day", "cook date", "when", "datum", "date of cook", "smoke date", "start date", "cooked", "cooked on", "fecha", "jour", "data", "tag", "día"},
			func(s string, _ *draft) bool { _, rest, ok := written.CutDate(s); return ok && rest == "" }, takeDay},
		{"on", []string{"on", "on at", "start", "started", "start time", "time on", "on pit", "in", "meat on", "put on", "begin", "on time", "time in", "start cook", "inicio", "beginn", "début", "debut", "von", "uhrzeit", "anfang", "comienzo", "auf", "entrada", "aufgelegt"}, isClock, takeOn},
		{"off", []string{"off", "off at", "end", "ended", "finish", "finished", "done", "done at", "end time", "time off", "finish time", "pulled", "out", "time out", "ready", "came off", "pulled at", "meat off", "stop", "fin", "ende", "bis", "runter", "salida", "fertig", "herunter", "abgenommen"}, isClock, takeOff},
		{"took", []string{"took", "hours", "hrs", "duration", "time", "total time", "cook time", "length", "total", "total hours", "how long", "cook hours", "time (h)", "h", "dauer", "duración", "duracion", "durée", "duree", "stunden", "horas", "heures"}, nil, takeTook},
		{"weight", []string{"weight", "wt", "lb", "lbs", "kg", "pounds", "kilos", "size", "mass", "raw", "raw weight", "starting weight", "meat weight", "weight raw", "amount", "gewicht", "how much", "peso", "poids", "menge", "mass g"},
			func(s string, d *draft) bool {
				list, ok := written.ParseMass(s, d.opt.Units)
				return ok && !list[0].Assumed
			}, takeWeight},
		{"trimmed", []string{"trimmed", "trimmed weight", "weight trimmed", "on weight", "after trim", "net"}, nil, takeTrimmed},
		{"pieces", []string{"pieces", "count", "qty", "quantity", "number", "how many", "no", "#", "racks"}, nil, takePieces},
		{"cut", []string{"cut", "meat", "what", "item", "protein", "type", "kind of meat", "meat type", "cut of meat", "main", "corte", "carne", "fleisch", "stück", "stueck", "viande", "morceau", "gericht", "pieza", "piece", "fleischstück"},
			func(s string, _ *draft) bool { return written.CutIn(s) != "" }, takeCut},
		{"title", []string{"title", "name", "occasion", "event", "cook", "for what", "meal", "party"}, nil, func(s string, d *draft) bool {
			if strings.Trim(s, "0123456789#. ") == "" {
				return false // the number of the cook
			}
			d.Title = s
			return true
		}},
		{"pit temperature", []string{"pit temperature", "pit temp", "temp", "temperature", "cook temp", "cooking temp", "smoker temp", "grill temp", "pit t", "grate temp", "cooker temp", "set temp", "avg temp", "pit f", "pit c", "chamber", "temperatura", "temperatur", "température", "gartemperatur", "garraum", "garraumtemperatur"}, nil, takePitTemp},
		{"core", []string{"core", "final temp", "finish temp", "internal", "internal temp", "it", "final it", "finished at", "pull temp", "end temp", "core temp", "final internal", "done temp", "meat temp", "final", "kerntemperatur", "kern", "temperatura interna", "température à coeur", "à coeur"}, nil, takeCore},
		{"wrapped", []string{"wrapped at", "wrap time", "time wrapped", "wrapped time", "when wrapped", "wrap at"}, nil, takeWrapped},
		{"wrap", []string{"wrap", "wrapped", "wrapping", "wrap type", "foil", "paper", "wrapped in", "crutch", "eingewickelt", "envuelto", "emballage"}, func(s string, _ *draft) bool {
			_, _, known := written.WrapOf(s)
			return known && len(strings.Fields(s)) < 3 && len(s) > 2 && !strings.Contains(s, ",")
		}, takeWrap},
		{"rest", []string{"rest", "rested", "rest time", "hold", "resting", "rest hours", "held", "ruhe", "ruhezeit", "reposo", "repos"}, nil, takeRest},
		{"rest until", []string{"rested until", "rest to", "held until", "ruhe bis", "box until"}, nil, takeRestUntil},
		{"served", []string{"served", "served at", "ate", "serve", "eat", "serving time", "dinner", "eaten"}, nil, takeServed},
		{"pit", []string{"pit", "smoker", "cooker", "grill", "cooked on what", "rig", "equipment"}, nil, takePit},
		{"wood", []string{"wood", "woods", "smoke wood", "chunks", "smoke", "holz", "räucherholz", "leña", "madera", "bois", "wood used"},
			func(s string, _ *draft) bool { return woodText.FindString(s) == s }, takeWood},
		{"fuel", []string{"fuel", "charcoal", "coal"}, nil, func(s string, d *draft) bool { d.Fuel.Kind = s; return true }},
		{"rub", []string{"rub", "seasoning", "rub used", "spice"}, nil, func(s string, d *draft) bool { d.Rub.Mix = s; return true }},
		{"people", []string{"people", "guests", "heads", "served people", "fed", "number of people", "eaters", "persons", "for how many", "pax", "personen", "gäste", "personas", "invitados", "personnes", "invités"}, nil, takeHeads},
		{"air", []string{"air", "outside", "outside temp", "ambient", "weather temp", "outdoor temp", "air temp"}, nil, takeAir},
	}
}

// separator returns the character that separates the columns of text, or 0 if text is
// not a table.
func separator(text string) rune {
	var lines []string
	for l := range strings.SplitSeq(text, "\n") {
		if strings.TrimSpace(l) != "" && len(lines) < 60 {
			lines = append(lines, l)
		}
	}
	for _, sep := range "\t;|," {
		if turned(lines, sep) {
			return sep
		}
		counts := map[int]int{}
		head := 0 // the most columns with a known heading in one of the first lines
		for i, l := range lines {
			counts[strings.Count(l, string(sep))]++
			if i < 5 {
				known := 0
				for c := range strings.SplitSeq(l, string(sep)) {
					if name, _ := headUnit(strings.Trim(c, `" `)); byHead(name) != nil {
						known++
					}
				}
				head = max(head, known)
			}
		}
		most := 0
		for n, times := range counts {
			if n > 0 && times > counts[most] {
				most = n
			}
		}
		if most == 0 {
			continue
		}
		if head >= 2 || len(lines) > 1 && counts[most] == len(lines) && most >= 2 && allDated(lines, sep) || sep != ',' && len(lines) > 1 && counts[most]*5 >= len(lines)*4 && most >= 2 {
			return sep
		}
	}
	return 0
}

// allDated reports whether every line begins with a cell that is only a date, and has
// no cell of more than four words.
func allDated(lines []string, sep rune) bool {
	return !slices.ContainsFunc(lines, func(l string) bool {
		cells := strings.Split(l, string(sep))
		_, rest, ok := written.CutDate(strings.Trim(cells[0], `" `))
		return !ok || rest != "" || slices.ContainsFunc(cells, func(c string) bool { return len(strings.Fields(c)) > 4 })
	})
}

var inBrackets = pattern.New(`^(.*?)[\s_]*[\[(]([^\])]*)[\])]\s*(.*)$`)

// headUnit splits a heading into its name and its unit: "Weight (lb)", "Temp °F".
func headUnit(head string) (name, unit string) {
	name = strings.ToLower(strings.TrimSpace(head))
	if m := inBrackets.FindStringSubmatch(name); m != nil {
		name, unit = strings.TrimSpace(m[1]+" "+m[3]), unitOf(m[2])
	}
	fields := strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '_' || r == '.' || r == '/' })
	if n := len(fields); unit == "" && n > 1 {
		if u := unitOf(fields[n-1]); u != "" {
			unit, fields = u, fields[:n-1]
		}
	}
	return strings.TrimRight(strings.Join(fields, " "), ":?"), unit
}

func unitOf(s string) string {
	switch strings.ToLower(strings.Trim(s, " .")) {
	case "lb", "lbs", "pounds":
		return "lb"
	case "kg", "kgs", "kilos", "kilo":
		return "kg"
	case "g", "oz":
		return strings.ToLower(s)
	case "f", "°f", "deg f", "degf", "fahrenheit":
		return "°F"
	case "c", "°c", "deg c", "degc", "celsius":
		return "°C"
	case "h", "hr", "hrs", "hours", "hh:mm", "h:mm":
		return "h"
	case "min", "mins", "minutes":
		return "min"
	}
	return ""
}

// byHead returns the field that a heading names. It tries the whole heading first, then
// pairs of words in it. It returns nil for none.
func byHead(name string) *field {
	for i := range fields {
		if slices.Contains(fields[i].heads, name) || fields[i].name == name {
			return &fields[i]
		}
	}
	words := strings.Fields(name)
	if strings.ContainsAny(name, "0123456789") || len(words) > 4 {
		return nil // words and no heading
	}
	has := func(any string) bool {
		return slices.ContainsFunc(strings.Split(any, "|"), func(w string) bool { return slices.Contains(words, w) })
	}
	for _, h := range headWords {
		if len(words) > 1 && has(h.all) && (h.and == "" || has(h.and)) {
			return byHead(h.field)
		}
	}
	return nil
}

// headWords are pairs of words that together name a field. The first pair that matches
// counts.
var headWords = []struct{ all, and, field string }{
	{"lb|lbs|kg|pounds", "in|raw|start|before", "weight"},
	{"pit|smoker|grill|cooker|chamber|grate", "avg|average|mean|target|aim", "pit temperature"},
	{"weight|wt", "trim|trimmed|net|after", "trimmed"},
	{"weight|wt|mass", "", "weight"},
	{"core|internal", "final|end|pull|done|temp|last", "core"},
	{"temp|temperature", "meat|internal|final|pull|finish|done|end|core|it", "core"},
	{"temp|temperature", "outside|air|outdoor|ambient|weather", "air"},
	{"temp|temperature", "pit|smoker|grill|cooker|chamber|grate|set|cook|cooking|avg|average", "pit temperature"},
	{"time|hour", "rest|hold|held|resting", "rest"},
	{"time|hour", "wrap|wrapped", "wrapped"},
	{"time|hour", "start|on|in|begin", "on"},
	{"time|hour", "pull|pulled|off|out|end|finish|done|stop", "off"},
	{"time|hour", "serve|served|serving|dinner|eat|meal", "served"},
	{"time|hours", "cook|total|smoke|cooking", "took"},
	{"date|day", "", "date"},
	{"guests|people|heads", "", "people"},
}
