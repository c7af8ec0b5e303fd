package heard

// retrieved lists verbs for what people do with meat that fell.
var retrieved = []string{"picked", "rinsed", "hosed", "brushed", "wiped", "dusted", "blew", "washed"}

// fell detects meat that fell to the ground, or that was picked up again.
func (s *sentence) fell() (m Meaning, words string) {
	s.each(falls, func(i int) bool {
		if s.denied(i) || s.next(i) == "to" || s.wordsIn("asleep") || s.ofFire(i) || s.words[i].text == "hit" && s.next(i) != "the" {
			return false
		}
		k := s.after(i, ground, 9)
		if k < 0 && s.near(i, meat, 3) >= 0 {
			k = s.beyond(i, ground, other|person, 7)
		}
		if k < 0 {
			if k = s.after(i, meat, 3); k < 0 || s.words[i].text == "lost" || s.hasFire() || !s.wordsIn(retrieved...) {
				return false
			}
		} else if s.words[k].is&embers != 0 && s.before(k, within, 2) < 0 || !s.meatFell(i, k) {
			return false
		}
		m, words = Fallen, s.quote(i, k)
		return true
	})
	return m, words
}

// ofFire reports whether the sentence is about a falling pit temperature, not about
// meat that fell.
func (s *sentence) ofFire(i int) bool {
	k := s.before(i, fire, 2)
	return k >= 0 && s.words[k].is&meat == 0
}

// meatFell reports whether the thing that falls at word i to the ground at word k is
// the meat, or is not named.
func (s *sentence) meatFell(i, k int) bool {
	of := s.before(i, meat|other|embers|person, 5)
	if by := s.after(i, meat|other, 3); by >= 0 && by < k && (of < 0 || s.words[of].is&person != 0 && s.words[of].is&meat == 0) {
		of = by
	}
	return of < 0 || s.words[of].is&meat != 0 && s.words[of].is&(other|embers) == 0
}

// onTheGround detects sentences such as "half the pork on the garage floor".
func (s *sentence) onTheGround() (m Meaning, words string) {
	if s.hasFire() {
		return "", ""
	}
	for i, w := range s.words { // "picked it out of the dirt"
		if k := s.after(i, ground, 7); (w.text == "picked" || w.text == "fished" || w.text == "scraped") && !s.denied(i) && k >= 0 && s.after(i, meat, 3) >= 0 && (s.anyOf(i, k, "out") || s.anyOf(i, k, "off")) {
			return Fallen, s.quote(i, k)
		}
	}
	s.each(ground, func(i int) bool {
		switch s.words[i].text {
		case "floor", "ground", "dirt", "mud", "gravel", "carpet", "lino", "soil":
		case "ash", "ashes":
			if s.before(i, within, 3) < 0 || s.before(i, other|embers, 3) >= 0 {
				return false
			}
		default:
			if !s.wordsIn("onto", "across", "over") {
				return false
			}
		}
		k := s.before(i, within, 4)
		for n := i - 1; k < 0 && n > 0 && n >= i-4; n-- {
			if s.anyOf(n, n+1, "on", "onto", "across", "over") {
				k = n
			}
		}
		if k < 0 || s.denied(k) || s.subject(k)&meat == 0 || s.subject(k)&other != 0 || s.before(k, cooking|cold|parcel|steeps, 5) >= 0 {
			return false
		}
		m, words = Fallen, s.quote(k, i)
		return true
	})
	return m, words
}

// bitten detects an animal that ate from the meat.
func (s *sentence) bitten() (m Meaning, words string) {
	s.each(animal, func(i int) bool {
		if s.denied(i) || s.wordsIn("bone", "bones", "scraps", "trimmings") {
			return false
		}
		for k := s.after(i, bites, 6); k >= 0 && m == ""; k = s.after(k, bites, 9) { // "got up on the bench and helped himself to it"
			if !s.denied(k) && s.after(k-1, meat&^animal, 5) >= 0 && s.after(k-1, other|leftover, 4) < 0 {
				m, words = Fallen, s.quote(i, k)
			}
		}
		return m != ""
	})
	return m, words
}
