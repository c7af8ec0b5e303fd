package style

import (
	"regexp"
	"strings"
	"testing"
)

var coloured = regexp.MustCompile(`(^|[\[;])(3[0-8]|4[0-8]|9[0-7]|10[0-7])([;m]|$)`)

func TestNoneHasNoColour(t *testing.T) {
	for _, night := range []bool{false, true} {
		l := New(Options{Night: night, Dark: true})
		for s := range styles {
			if on, _ := l.Codes(s); coloured.MatchString(on) {
				t.Errorf("style %d: %q", s, on)
			}
		}
		if l.Night {
			t.Error("night without colour")
		}
	}
}

// The chosen row and a banner must be visible without colour.
func TestChosenIsSeenWithoutColour(t *testing.T) {
	l := New(Options{})
	for _, s := range []Style{Chosen, Banner} {
		if on, off := l.Codes(s); !strings.Contains(on, "7") || off == "" {
			t.Errorf("style %d: %q … %q", s, on, off)
		}
	}
}

func TestNightIsRedOnBlack(t *testing.T) {
	for c, want := range map[Colour]string{Sixteen: "40", Many: "48;5;16"} {
		l := New(Options{Colour: c, Night: true})
		for s := range styles {
			on, _ := l.Codes(s)
			if !strings.Contains(on, want) {
				t.Errorf("style %d of %d colours has no black ground: %q", s, c, on)
			}
			if red := regexp.MustCompile(`[;\[](31|38;5;124|38;5;88)[;m]`); !red.MatchString(on) {
				t.Errorf("style %d of %d colours is not red: %q", s, c, on)
			}
		}
	}
}

func TestSixteenUsesNoMore(t *testing.T) {
	for _, dark := range []bool{false, true} {
		l := New(Options{Colour: Sixteen, Dark: dark})
		for s := range styles {
			if on, _ := l.Codes(s); strings.Contains(on, "38;") {
				t.Errorf("style %d: %q", s, on)
			}
		}
	}
}
