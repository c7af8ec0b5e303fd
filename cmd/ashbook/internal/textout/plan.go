package textout

import (
	"strings"

	"ashbook/cmd/ashbook/internal/app"
)

// Planned says where a plan was saved: the calendar file ("" for none), the cooks, and
// the files of the pits.
func Planned(calendar string, saved []string, fits []app.Remembered) []string {
	var out lines
	if calendar != "" {
		out = append(out, "", "wrote "+calendar+": open it with a calendar")
	}
	if len(saved) > 0 {
		out = append(out, "", "saved: "+strings.Join(saved, ", "), "next: ashbook ready "+saved[0])
	}
	for _, r := range fits {
		said := "look: the pit has no name, so ashbook cannot remember how many pieces fit; name it with --pit NAME"
		if r.Path != "" {
			said = "remembered in " + r.Path + ": fits: " + r.Fits.String()
		}
		out = append(out, "", said)
	}
	return out
}
