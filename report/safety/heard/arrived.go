package heard

// iceGone detects that the ice ran out.
func (s *sentence) iceGone() (m Meaning, words string) {
	s.each(ice, func(i int) bool {
		gone := i > 1 && s.words[i-1].text == "of" && s.words[i-2].text == "out" && s.wordsIn("ran", "run", "was", "were") || s.after(i, warm|fails, 4) >= 0 && s.wordsIn("water", "melted", "soup", "liquid") && (s.has(cold) || s.wordsIn("post", "mail", "delivery", "courier")) || s.denied(i) && (s.next(i) == "left" || s.wordsIn("drove", "drive", "home", "car", "hours"))
		gone = gone || s.anyOf(i, min(len(s.words), i+4), "gone", "melted") && s.temps(func(_ int, c float64) bool { return c > coldOver && c < roomMost }) || s.denied(i) && s.has(cold) && s.has(meat) && s.temps(func(_ int, c float64) bool { return c > coldOver && c < roomMost })
		if !gone || !s.has(meat|cold|parcel) && !s.wordsIn("post", "mail", "delivery", "courier") {
			return false
		}
		m, words = LeftOut, s.quote(i)
		return true
	})
	return m, words
}

// tempered detects meat that was left to warm up to room temperature.
func (s *sentence) tempered() (m Meaning, words string) {
	for i, w := range s.words { // "let it warm up all afternoon"
		if next := s.next(i); !s.on && s.lasting() && (w.text == "warm" || w.text == "come" || w.text == "came") && next == "up" && s.before(i, meat, 3) >= 0 && s.wordsIn("let", "leave", "left", "allowed") && !s.denied(i) {
			return LeftOut, s.quote(i, i+1)
		}
	}
	for i, w := range s.words {
		chill := w.text == "chill" && s.wordsIn("off") && s.wordsIn("take", "took", "taking")
		if w.text != "roomtemp" && !(w.text == "tempered" && s.has(meat)) && !chill || s.denied(i) || s.before(i, other, 8) >= 0 && s.before(i, meat, 8) < 0 {
			continue
		}
		if m = s.strength(); m == NightOut {
			m = LeftOut
		}
		if m != "" {
			return m, s.quote(i)
		}
	}
	return "", ""
}

// cameWarm detects meat that came warm out of a parcel or a bag.
func (s *sentence) cameWarm() (m Meaning, words string) {
	if s.on {
		return "", ""
	}
	for i, w := range s.words {
		switch w.text {
		case "lukewarm", "tepid", "warm", "melted", "thawed", "bathwater", "soup":
		default:
			continue
		}
		came := s.next(i) == "water" && s.has(meat) || s.wordsIn("parcel", "package", "delivery", "delivered", "courier", "post", "mail", "shipment", "icepack", "gelpack", "touch", "felt", "feels", "arrived", "came") || (w.text == "bathwater" || w.text == "soup") && s.wordsIn("like") && s.has(ice|parcel|cold) || s.before(i, ice, 3) >= 0 && s.has(cold)
		if came && !s.denied(i) && (w.text != "warm" || !s.hasFire() || s.wordsIn("touch", "felt")) && !s.otherThan(parcel, i, 4) && !s.wordsIn("weather", "hands") {
			return LeftOut, s.quote(i)
		}
	}
	return "", ""
}

// readWarm detects a core temperature that was read before the meat went on.
func (s *sentence) readWarm() (m Meaning, words string) {
	if s.on || s.clock == 0 && s.wordsIn("core", "probe") || s.wordsIn("after", "h", "hour", "hours", "aim", "stall") {
		return "", ""
	}
	s.temps(func(k int, c float64) bool {
		i := s.before(k, meat, 4)
		for n := k - 1; i < 0 && s.clock > 0 && n >= 0 && n >= k-4; n-- {
			if t := s.words[n].text; t == "core" || t == "probe" {
				i = n
			}
		}
		if f := s.before(k, fire, 5); f >= 0 && s.words[f].is&meat == 0 {
			return false
		}
		if i < 0 || c <= coldOver+1 || c >= roomMost || s.before(k, weak, 3) < i && !said[s.words[k-1].text] {
			return false
		}
		m, words = LeftOut, s.quote(i, k)
		return true
	})
	return m, words
}

// waterBath detects meat that was cooked in a water bath. An ice bath does not count.
func (s *sentence) waterBath() (Meaning, string) {
	for i, w := range s.words {
		if (w.text == "waterbath" || w.text == "circulator") && !s.denied(i) && s.before(i, ice|stiff, 2) < 0 && !s.wordsIn("thought", "never", "without", "instead") {
			return WaterBath, s.quote(i)
		}
	}
	return "", ""
}
