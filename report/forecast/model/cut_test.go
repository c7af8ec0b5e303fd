package model

import (
	"math"
	"testing"
)

// A name finds its cut, the narrowest word first; cuts that are tender raw have no usual
// core. Thickness of a usual piece as butchers sell it, cm (common practice, no source).
func TestCutsByName(t *testing.T) {
	for _, tt := range []struct {
		name  string
		usual bool
		off   float64
		thick [2]float64
	}{
		{"pork shoulder", true, 94, [2]float64{9, 13}}, {"", false, 94, [2]float64{9, 13}}, {"kangaroo", false, 94, [2]float64{9, 13}},
		{"brisket flat", true, 93, [2]float64{4, 7}}, {"beef brisket", true, 94, [2]float64{7, 10}}, {"Spare-Ribs", true, 93, [2]float64{2, 4}}, {"loin ribs", true, 93, [2]float64{2, 4}},
		{"beef short ribs", true, 95, [2]float64{4, 7}}, {"rack of lamb", false, 63, [2]float64{4, 6}}, {"rack of ribs", true, 93, [2]float64{2, 4}}, {"rack", true, 93, [2]float64{2, 4}},
		{"beef rib roast", false, 63, [2]float64{11, 14}}, {"pork loin", false, 63, [2]float64{6, 9}}, {"pork tenderloin", false, 63, [2]float64{4, 5.5}}, {"sirloin", false, 63, [2]float64{4, 6.5}},
		{"tri-tip", false, 63, [2]float64{4, 6.5}}, {"salmon side", false, 63, [2]float64{2, 4}}, {"pork and apple burgers", false, 71, [2]float64{2, 4}}, {"pork belly", false, 63, [2]float64{3, 6}},
		{"leg of lamb", false, 63, [2]float64{9, 13}}, {"lamb shoulder", true, 92, [2]float64{7, 11}}, {"duck", true, 74, [2]float64{8, 12}}, {"wild boar shoulder", false, 71, [2]float64{8, 11}},
		{"beef roast", false, 94, [2]float64{8, 11}}, {"chuck roast", true, 94, [2]float64{8, 11}}, {"steel-cut", false, 94, [2]float64{9, 13}},
	} {
		c, _ := findCut(tt.name)
		thick := 100 * math.Cbrt(c.usualWeight/c.food.Density(60)/(c.width*c.length*c.fill))
		if Usual(tt.name) != tt.usual || UsualOff(tt.name) != tt.off || thick < tt.thick[0] || thick > tt.thick[1] {
			t.Errorf("%q: usual %v, off %g, %.1f cm thick", tt.name, Usual(tt.name), UsualOff(tt.name), thick)
		}
	}
}
