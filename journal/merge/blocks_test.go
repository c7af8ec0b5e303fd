package merge

import (
	"strings"
	"testing"
	"time"

	"ashbook/journal/cookfile"
)

// A merged entry goes below the timeline's heading, which may be underlined (CommonMark
// 0.31, section 4.3). A heading in a comment or in code does not count.
func TestEntryBelowTheTimeline(t *testing.T) {
	const entry = "- 2024-06-07T19:15+01:00 lit\n"
	for name, body := range map[string]string{
		"a comment above":  "<!--\n## Timeline\n\nfor later\n-->\n\n## Timeline\n\n",
		"code above":       "```\n## Timeline\n```\n\n## Timeline\n\n",
		"underlined":       "Timeline\n--------\n\n",
		"nothing but code": "```\n## Timeline\n```\n",
	} {
		for _, words := range []string{"!", "~", "# a", "\\n"} {
			base := "---\ntitle: x\n---\n\nbefore\n\n" + body
			with := base + entry
			if name == "nothing but code" {
				with = base + "\n## Timeline\n\n" + entry
			}
			got, _ := both(t, base, with, strings.Replace(base, "before", words, 1))
			f, err := cookfile.Parse("x.md", []byte(got), cookfile.Options{Zone: time.UTC})
			if err != nil || len(f.Cook.Entries) != 1 || len(f.Problems) != 0 {
				t.Errorf("%s: %d entries, %v, %v in\n%s", name, len(f.Cook.Entries), f.Problems, err, got)
			}
			if was := strings.Count(strings.ToLower(with), "timeline"); strings.Count(strings.ToLower(got), "timeline") != was {
				t.Errorf("%s: not %d times a timeline in\n%s", name, was, got)
			}
		}
	}
}
