package typed

import (
	"testing"

	"ashbook/journal/measure"
)

// Pounds and ounces are one weight: 13 lb 4 oz is 212 oz, of 28.349523125 g each (NIST
// Handbook 44, appendix C).
func TestPoundsAndOunces(t *testing.T) {
	for _, text := range []string{"packer 13lb 4oz 38F", "packer 13 lb 4 oz 38F", "packer 13 lb 4oz 12 lb 38F", "packer 13 lb 4 oz 11 lb 15.5 oz 38F"} {
		all, err := Pieces([]string{text}, measure.US)
		if err != nil || len(all) != 1 {
			t.Errorf("%q: %v, %v", text, all, err)
			continue
		}
		p := all[0]
		if got := p.Raw.Base; got < 6.0100 || got > 6.0102 {
			t.Errorf("%q: %.4f kg raw", text, got)
		}
		if got := p.Trimmed.Base; p.Trimmed.Known && (got < 5.4 || got > 5.5) {
			t.Errorf("%q: %.4f kg trimmed", text, got)
		}
		if p.Name != "packer" || !p.Core.Known {
			t.Errorf("%q: %+v", text, p)
		}
	}
	all, err := Pieces([]string{"rack 3 lb 18 oz"}, measure.US) // more than a pound of ounces is a weight of its own
	if err != nil || all[0].Trimmed.Base > 0.52 || all[0].Trimmed.Base < 0.51 {
		t.Errorf("18 oz: %+v, %v", all, err)
	}
}
