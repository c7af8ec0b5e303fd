package journal

import (
	"fmt"
	"strings"
)

// Trait is one quality that is scored at the table.
type Trait uint8

// The traits, in the order they are asked for.
const (
	Tenderness Trait = iota
	Moisture
	BarkTaste
	Smoke
	Salt
	Overall
	traits
)

// Traits lists them in order.
var Traits = [traits]Trait{Tenderness, Moisture, BarkTaste, Smoke, Salt, Overall}

var traitNames = [traits]string{"tenderness", "moisture", "bark", "smoke", "salt", "overall"}

func (t Trait) String() string { return traitNames[t] }

// Score is one eater's answer about one trait: how much it is liked, 1 to 9 (the
// hedonic scale of Peryam and Pilgrim, Food Technology 11:9, 1957), and whether there
// was too much or too little of it (the just-about-right question). The zero value
// means "not given".
type Score struct {
	Liked int // 1 dislike extremely to 9 like extremely; 0 for not given
	Lean  int // +1 too much, −1 too little, 0 about right
}

// ParseScore parses "8", "6+", "7-".
func ParseScore(s string) (Score, error) {
	text := strings.TrimSpace(s)
	sc := Score{}
	body := text
	switch {
	case strings.HasSuffix(body, "+"):
		sc.Lean, body = 1, strings.TrimSuffix(body, "+")
	case strings.HasSuffix(body, "-"):
		sc.Lean, body = -1, strings.TrimSuffix(body, "-")
	case strings.HasSuffix(body, "−"):
		sc.Lean, body = -1, strings.TrimSuffix(body, "−")
	}
	if len(body) != 1 || body[0] < '1' || body[0] > '9' {
		return Score{}, fmt.Errorf("score %q: expected 1 to 9, with + for too much or - for too little", text)
	}
	sc.Liked = int(body[0] - '0')
	return sc, nil
}

// String formats the score as typed; "" if not given.
func (s Score) String() string {
	if s.Liked == 0 {
		return ""
	}
	return fmt.Sprint(s.Liked) + map[int]string{1: "+", -1: "-"}[s.Lean]
}

// Taste is one eater's scores of one cook.
type Taste struct {
	Eater  string // initials
	Scores [traits]Score
	Words  string
}

// Keys lists the keys of a row of scores.
func (t *Taste) Keys() []Key {
	keys := []Key{{"eater", &t.Eater, unlimited, "initials"}}
	for _, trait := range Traits {
		keys = append(keys, Key{trait.String(), &t.Scores[trait], unlimited, "1 to 9, perhaps with + for too much or - for too little"})
	}
	return append(keys, Key{"words", &t.Words, unlimited, ""})
}

// MeanScore returns the mean of a trait's scores, and how many eaters gave one.
func (c *Cook) MeanScore(t Trait) (mean float64, n int) {
	for _, taste := range c.Tasting {
		if s := taste.Scores[t]; s.Liked > 0 {
			mean += float64(s.Liked)
			n++
		}
	}
	if n == 0 {
		return 0, 0
	}
	return mean / float64(n), n
}
