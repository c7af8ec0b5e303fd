package invent

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
)

// file writes the cook as the people at the hall would type it.
func (c *course) file(quality map[string]float64) []byte {
	var sb strings.Builder
	sb.WriteString("---\nashbook: 1\n")
	put := func(key, format string, a ...any) {
		if strings.Contains(" "+c.Omit+" ", " "+key+" ") {
			return
		}
		fmt.Fprintf(&sb, "%s: %s", key, fmt.Sprintf(format, a...))
		if r := c.Remark[key]; r != "" {
			sb.WriteString(" # " + r)
		}
		sb.WriteByte('\n')
	}
	put("title", "%s", c.Title)
	put("cut", "%s", c.Cut)
	c.pieces(&sb)
	if c.Supplier != "" {
		put("supplier", "%s", c.Supplier)
	}
	if c.Salt > 0 {
		put("salted", "{rate: %.0f g/kg, ahead: %d h}", c.Salt, 10+2*c.pen.IntN(7))
	}
	put("rub", "{mix: hall-rub, rate: %d g/kg}", 18+2*c.pen.IntN(4))
	if c.Form == "planned" {
		put("wood", "[{kind: %s}]", c.Wood)
	} else {
		put("wood", "[{kind: %s, mass: %s}]", c.Wood, c.chunk(c.woodNoted))
	}
	put("fuel", "%s", c.fuel())
	put("pit", "%s", c.Pit)
	if c.Pan != "" {
		put("pan", "%s", c.Pan)
	}
	aim := fmt.Sprintf("pit: %s", c.temp(c.Aim))
	aim += fmt.Sprintf(", core: %s", c.temp(c.meat.Off))
	if kind, at, ok := strings.Cut(c.Wrap, "@"); ok {
		var deg float64
		fmt.Sscan(at, &deg)
		kind, _, _ = strings.Cut(kind, " ") // a plan does not say "loose"
		aim += fmt.Sprintf(", wrap: %s at %s", kind, c.temp(deg))
	}
	put("aim", "{%s}", aim)
	put("serve", "%s", atZone(c.on.Add(time.Duration(c.serve)*time.Minute)).Format(journal.TimeLayout))
	if c.Heads > 0 {
		put("heads", "%d", c.Heads)
	}
	if c.Form != "planned" {
		put("weather", "%s", c.sky())
	}
	if c.Form == "" {
		put("yield", "%s", c.yields())
		if !strings.Contains(" "+c.Omit+" ", " tasting ") {
			sb.WriteString(c.tasting(quality))
		}
	}
	if c.Keep != "" {
		put("keep", "%s", c.Keep)
	}
	if c.Change != "" {
		put("change", "%s", c.Change)
	}
	fmt.Fprintf(&sb, "---\n\n# %s\n", c.Title)
	if c.Prose != "" {
		sb.WriteString("\n" + strings.TrimSpace(c.Prose) + "\n")
	}
	if c.Form != "planned" {
		sb.WriteString("\n## Timeline\n\n")
		for i, e := range c.log {
			sb.WriteString(c.line(e, i == 0) + "\n")
		}
	}
	return []byte(sb.String())
}

// boned reports whether the cut contains a bone.
func (p plan) boned() bool { return p.Cut != "brisket" && p.Cut != "turkey breast" }

// line writes an entry. In a list typed from memory only the first entry has a date,
// the dash is two hyphens and units are short.
func (c *course) line(e entry, first bool) string {
	at := atZone(c.on.Add(time.Duration(e.at) * time.Minute))
	stamp, dash, items := at.Format(journal.TimeLayout), " — ", strings.Join(e.items, ", ")
	if c.Form == "bare" {
		dash, items = " -- ", strings.ReplaceAll(items, " °C", "C")
		if !first {
			stamp = at.Format(measure.Clock)
		}
	}
	s := "- " + stamp
	if items != "" {
		s += " " + items
	}
	if e.words != "" {
		s += dash + e.words
	}
	return s
}

func (c *course) pieces(sb *strings.Builder) {
	sb.WriteString("pieces:\n")
	for _, p := range c.Pieces {
		var cells []string
		add := func(key, value string) {
			if !strings.Contains(" "+c.Omit+" ", " "+key+" ") {
				cells = append(cells, key+": "+value)
			}
		}
		if p.Name != "" {
			add("name", p.Name)
		}
		add("raw", c.mass(p.Raw))
		if c.Form != "planned" {
			add("trimmed", c.mass(p.trim))
			if c.US {
				add("thick", fmt.Sprintf("%.1f in", p.Thick/2.54))
			} else {
				add("thick", fmt.Sprintf("%.0f cm", p.Thick))
			}
		}
		if c.boned() {
			add("bone", "in")
		}
		if c.Form != "planned" {
			add("core", c.temp(p.core))
		}
		sb.WriteString("  - {" + strings.Join(cells, ", ") + "}\n")
	}
}

// mass formats kg in the unit in which this person weighs.
func (c *course) mass(kg float64) string {
	if c.US {
		oz := math.Round(kg / .45359237 * 16)
		return strings.TrimPrefix(strings.TrimSuffix(fmt.Sprintf("%.0f lb %.0f oz", math.Floor(oz/16), math.Mod(oz, 16)), " 0 oz"), "0 lb ")
	}
	return fmt.Sprintf("%.1f kg", kg)
}

// fuel writes what was loaded and what was left in the morning.
func (c *course) fuel() string {
	sort := map[string]string{"brick": "lump", "drum": "briquettes"}[c.Pit]
	burned := c.burned
	loaded := math.Ceil((burned-c.fuelKg)*2.4) / 2
	if c.Form == "running" || c.Form == "open" {
		return fmt.Sprintf("{kind: %s, loaded: %s}", sort, c.mass(math.Ceil(c.fire.Burn*28)/2))
	}
	if c.Form == "planned" {
		return fmt.Sprintf("{kind: %s}", sort)
	}
	return fmt.Sprintf("{kind: %s, loaded: %s, left: %s}", sort, c.mass(max(2, loaded)), c.mass(max(0, max(2, loaded)+c.fuelKg-burned)))
}

func (c *course) sky() string {
	w := c.weather
	if c.US {
		return fmt.Sprintf("{air: %s, wind: %.0f mph}", c.temp(w.Air), w.Wind/.44704)
	}
	if c.pen.Float64() < .35 {
		return fmt.Sprintf("{air: %s}", c.temp(w.Air))
	}
	return fmt.Sprintf("{air: %s, wind: %.0f m/s, humidity: %.0f %%}", c.temp(w.Air), w.Wind, 5*math.Round(w.Damp/5))
}

func (c *course) yields() string {
	var off, raw float64
	for i, b := range c.bodies {
		off += b.Mass * b.Yield()
		raw += c.Pieces[i].Raw
	}
	s := "off: " + c.mass(off)
	if c.pen.Float64() < .75 {
		s += ", discard: " + c.mass(raw*c.meat.Waste*(.8+.4*c.pen.Float64()))
	}
	if c.pen.Float64() < .6 {
		s += ", left: " + c.mass(off*(.03+.2*c.pen.Float64()))
	}
	return "{" + s + "}"
}

// name returns the name of a piece followed by a blank, or "" for the only piece of a
// cook.
func (c *course) name(i int) string {
	if len(c.Pieces) == 1 {
		return ""
	}
	return c.Pieces[i].Name + " "
}

// scoop formats the mass of fuel or of a chunk of wood as this person weighs it.
func (c *course) scoop(kg float64) string {
	if c.US {
		return fmt.Sprintf("%.0f lb", kg/.45359237)
	}
	return strconv.FormatFloat(kg, 'f', -1, 64) + " kg"
}

func (c *course) chunk(g float64) string {
	if c.US {
		return fmt.Sprintf("%.0f oz", g/28.35)
	}
	return fmt.Sprintf("%.0f g", g)
}

// temp formats a temperature as this person types it.
func (c *course) temp(celsius float64) string {
	if c.US {
		return fmt.Sprintf("%.0f °F", celsius*1.8+32)
	}
	return fmt.Sprintf("%.0f °C", celsius)
}

const seriesStep = 5 // minutes between the rows of a probe series

// series writes the probe series, in which a few rows are missing.
func (c *course) series() []byte {
	if !c.Probe || c.Form == "planned" {
		return nil
	}
	unit, scale := "c", func(v float64) float64 { return v }
	if c.US {
		unit, scale = "f", func(v float64) float64 { return v*1.8 + 32 }
	}
	var buf bytes.Buffer
	buf.WriteString("time,pit_" + unit)
	for i := range c.Pieces {
		if len(c.Pieces) == 1 {
			buf.WriteString(",core_" + unit)
			continue
		}
		fmt.Fprintf(&buf, ",core_%s_%s", strings.TrimSpace(c.name(i)), unit)
	}
	buf.WriteByte('\n')
	end, gap := 0, 0
	for _, temps := range c.tempsC {
		end = max(end, len(temps))
	}
	for t := 5 * (1 + c.pen.IntN(3)); t < min(end, c.last+1); t += seriesStep {
		if c.pen.Float64() < .004 && c.Form != "running" {
			gap = t + 10*(1+c.pen.IntN(9))
		}
		if t < gap {
			continue
		}
		buf.WriteString(atZone(c.on.Add(time.Duration(t) * time.Minute)).Format(journal.TimeLayout))
		fmt.Fprintf(&buf, ",%.1f", scale(c.pits[t]+.5*c.pen.NormFloat64()))
		for _, temps := range c.tempsC {
			if t >= len(temps) || c.pen.Float64() < .006 {
				buf.WriteByte(',')
				continue
			}
			fmt.Fprintf(&buf, ",%.1f", scale(temps[t]+.15*c.pen.NormFloat64()))
		}
		buf.WriteByte('\n')
	}
	return buf.Bytes()
}
