package safety

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"ashbook/journal"
	"ashbook/journal/cookfile"
)

// moment is one cook of testdata/moments.txt with the findings that its source asks
// for.
type moment struct {
	name, cook string
	head       map[string]string
}

func moments(t *testing.T) (all []moment) {
	t.Helper()
	text, err := os.ReadFile("testdata/moments.txt")
	if err != nil {
		t.Fatal(err)
	}
	for part := range strings.SplitSeq(string(text), "\n=== ") {
		name, rest, _ := strings.Cut(part, "\n")
		head, cook, ok := strings.Cut(rest, "\n---\n")
		if !ok || strings.HasPrefix(part, "#") {
			continue
		}
		m := moment{name, "---\n" + cook, map[string]string{}}
		for line := range strings.Lines(head) {
			key, value, _ := strings.Cut(line, ":")
			m.head[key] = strings.TrimSpace(value)
		}
		all = append(all, m)
	}
	return all
}

// list splits a line of the header into its parts.
func (m moment) list(key string) (out []string) {
	for w := range strings.SplitSeq(m.head[key], ";") {
		if w = strings.TrimSpace(w); w != "" && w != "none" {
			out = append(out, w)
		}
	}
	return out
}

// settings returns the journal settings named in the header.
func (m moment) settings(t *testing.T) journal.Settings {
	t.Helper()
	s, problems, err := cookfile.ParseSettings("journal.md", []byte("---\nashbook: 1\n"+m.head["in"]+"\n---\n"))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return s
}

func TestMoments(t *testing.T) {
	all := moments(t)
	if len(all) < 30 {
		t.Fatalf("%d moments", len(all))
	}
	for _, m := range all {
		t.Run(m.name, func(t *testing.T) {
			s := m.settings(t)
			f, err := cookfile.Parse("2026/"+m.name+".md", []byte(m.cook), cookfile.Options{Settings: s})
			if err != nil || len(f.Problems) > 0 {
				t.Fatal(err, f.Problems)
			}
			now, err := time.Parse("2006-01-02T15:04Z07:00", m.head["look"])
			if err != nil {
				t.Fatal(err)
			}
			var got, pressed []string
			for _, f := range Look(&f.Cook, s, now).Findings {
				got = append(got, fmt.Sprintf("%s %s", f.Weight, f.Kind))
				if f.Weight == DoNow {
					pressed = append(pressed, string(f.Kind))
				}
			}
			if want := m.list("do now"); !slices.Equal(pressed, want) {
				t.Errorf("presses %q, want %q (%s): %q", pressed, want, m.head["source"], got)
			}
			for _, w := range m.list("says") {
				if !slices.Contains(got, w) {
					t.Errorf("does not say %q (%s): %q", w, m.head["source"], got)
				}
			}
			for _, w := range m.list("silent") {
				if slices.ContainsFunc(got, func(g string) bool { return strings.HasSuffix(g, " "+w) || strings.HasPrefix(g, w+" ") }) {
					t.Errorf("says %q (%s): %q", w, m.head["source"], got)
				}
			}
		})
	}
}
