package heard

import "slices"

// warmWords are words which say that something is not cold.
var warmWords = []string{"warm", "tepid", "lukewarm", "roomtemp", "soft", "sweating", "sweaty", "sweated", "thawed", "squishy", "clammy"}

// places are words that come before a place.
var places = []string{"in", "on", "at", "by", "under", "behind", "beside", "inside", "near", "against", "next", "top", "around", "about"}

// carried lists verbs and nouns for a journey.
var carried = []string{"riding", "driving", "travelling", "traveling", "delivering", "carried", "drove", "driven", "hiked", "hike", "cycled", "walked", "flew", "flight", "train", "bus", "rode"}

// unclear detects a sentence about raw meat, about hours or a night, and about staying
// somewhere or warmth, that names neither a cold place nor the pit, and in which no
// other rule found anything. ashbook asks about it.
func (s *sentence) unclear() (Meaning, string) {
	if s.on || s.off || s.stillCold() || s.cookedMeat() || s.hasFire() || s.has(cold|cooking|negative|steeps) || !s.lasting() {
		return "", ""
	}
	m := s.find(meat, 0)
	for m >= 0 && (s.words[m].is&other != 0 || s.clock <= 0 && pronouns[s.words[m].text]) {
		m = s.find(meat, m+1)
	}
	if m < 0 && (s.clock <= 0 || s.has(other|person|sound)) {
		return "", ""
	}
	for i, w := range s.words {
		state := slices.Contains(warmWords, w.text) && (i == 0 || s.words[i-1].text != "to")
		stays := s.has(rests) || s.wordsIn(carried...) || i > 1 && s.words[i-1].is&weak != 0 && s.words[i-2].is&meat != 0 || s.clock > 0 && i > 0 && s.words[i-1].is&meat != 0
		place := i+1 < len(s.words) && s.words[i+1].text != "," && slices.Contains(places, w.text) && stays && !s.isTime(i+1)
		if !state && !place || s.otherThan(parcel, i, 4) && s.before(i, meat, 4) < 0 || place && s.before(i, person, 2) >= 0 {
			continue
		}
		return MaybeWarm, s.quote(max(m, 0), i)
	}
	return "", ""
}

// isTime reports whether a time of day or of the week begins at i: "at 9", "in the night".
func (s *sentence) isTime(i int) bool {
	for n := i; n < len(s.words) && n < i+3; n++ {
		if s.words[n].is&(night|long|weekday|later) != 0 || counts(s.words[n].text) {
			return true
		}
	}
	return false
}
