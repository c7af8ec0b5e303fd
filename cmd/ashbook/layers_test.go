package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"
)

type layer struct {
	pkg    string
	may    []string
	reason string
}

// layers says what each package of ours may import, and why. A pattern that ends in
// "/..." covers a folder and everything below it. The first pattern that matches a
// package is its rule. Every package may import the standard library, except what the
// next table forbids.
var layers = []layer{
	{"journal/measure", nil, "units stand on nothing"},
	{"journal/pattern", nil, "regular expressions, compiled when they are used"},
	{"journal", []string{"journal/measure"}, "the words of a cook know no file and no screen"},
	{"journal/cookfile/blocks", []string{"github.com/yuin/goldmark/..."}, "the blocks of a text; Markdown is read in one place"},
	{"journal/cookfile/front", []string{"journal", "journal/cookfile/blocks", "go.yaml.in/yaml/v4/..."}, "front matter as text, keys and values, and its problems"},
	{"journal/cookfile", []string{"journal", "journal/measure", "journal/cookfile/blocks", "journal/cookfile/front", "go.yaml.in/yaml/v4/..."}, "one file, one cook"},
	{"journal/mixfile", []string{"journal", "journal/measure", "journal/cookfile/blocks", "journal/cookfile/front", "go.yaml.in/yaml/v4/..."}, "one file, one mix"},
	{"journal/shorthand", []string{"journal", "journal/measure"}, "the entry line is words only"},
	{"journal/series", []string{"journal", "journal/measure", "journal/cookfile/blocks"}, "probe series are words only; of the blocks it needs the markers of a merge"},
	{"journal/probefile", []string{"journal", "journal/measure"}, "tables of other programs, as rows; knows no cook but its pieces' names"},
	{"journal/ingest/written", []string{"journal/pattern", "journal", "journal/measure"}, "days, hours and weights as people write them"},
	{"journal/ingest/paper", []string{"journal/pattern", "journal", "journal/measure", "journal/ingest/written", "journal/cookfile"}, "past cooks out of tables and notes; cookfile only in its tests"},
	{"journal/listen", nil, "answers HTTP, within limits"},
	{"journal/ingest", []string{"journal/listen", "journal", "journal/measure", "journal/probefile", "journal/series"}, "readings over HTTP; keeps nothing itself"},
	{"journal/history", []string{"journal/disk", "journal/pattern", "github.com/go-git/...", "golang.org/x/sys/..."}, "git stays behind one package"},
	{"journal/journaltest", []string{"golang.org/x/sys/..."}, "the journal of the tests, and where their files lie"},
	{"journal/packed", nil, "values as few bytes, and back"},
	{"journal/cache", []string{"journal/packed"}, "what was worked out, under a hash; knows nothing of what it keeps"},
	{"journal/disk", []string{"golang.org/x/sys/..."}, "all that writes files, so that a crash can be played back"},
	{"journal/store", []string{"journal", "journal/measure", "journal/disk", "journal/history", "golang.org/x/sys/..."}, "saves bytes; knows no cook but by its name"},
	{"journal/merge", []string{"journal", "journal/cookfile", "journal/cookfile/front", "go.yaml.in/yaml/v4/...", "github.com/sergi/go-diff/..."}, "two versions of a file by what they mean; bytes in, bytes out"},
	{"journal/carrier", []string{"journal/pattern", "journal/history", "github.com/go-git/go-git/..."}, "brings commits to a remote and from it; the wire is go-git's"},
	{"journal/syncer", []string{"journal/cookfile", "journal/disk", "journal/history", "journal/merge", "journal/series", "journal/carrier", "journal/folder", "journal/journaltest"}, "when what is fetched, merged, saved and sent; a folder and carriers only in its tests"},
	{"journal/folder", []string{"journal/pattern", "journal", "journal/measure", "journal/cookfile", "journal/mixfile", "journal/series", "journal/history", "journal/store", "journal/merge", "journal/cache", "journal/packed", "golang.org/x/sys/..."}, "the one place that reads the journal, and has it written"},

	{"report/numeric/...", []string{"gonum.org/..."}, "float64 in, float64 out: nothing of ours, not each other"},
	{"report/page", []string{"report/chart"}, "a report as data"},
	{"report/page/paper", []string{"report/page/html"}, "sheets to be filled in with a pencil"},
	{"report/page/...", []string{"journal/pattern", "report/page", "report/chart/...", "github.com/charmbracelet/x/ansi", "github.com/yuin/goldmark/..."}, "draws a page, computes nothing"},
	{"report/photo", []string{"report/page", "golang.org/x/image/..."}, "photographs made small, with nothing but the picture in them"},
	{"report/chart", []string{"journal/measure"}, "marks and scales; of measure how a clock is written"},
	{"report/course", []string{"journal", "journal/measure", "report/chart"}, "the chart of one cook, for its screen and its page"},
	{"report/chart/...", []string{"report/chart", "github.com/charmbracelet/x/ansi", "github.com/rivo/uniseg"}, "draws a chart, computes nothing"},
	{"report/frame", []string{"journal", "journal/measure", "journal/packed"}, "cooks as columns"},
	{"report/baseline", []string{"journal", "journal/measure", "report/frame", "gonum.org/..."}, "the person's own averages"},
	{"report/forecast/...", []string{"journal", "journal/measure", "journal/cache", "report/frame", "report/forecast/...", "report/numeric/...", "gonum.org/..."}, "the engine of one cook"},
	{"report/hindsight", []string{"journal", "journal/measure", "journal/cache", "report/forecast/...", "report/numeric/...", "gonum.org/..."}, "replays cooks through the engine"},
	{"report/safety/heard", nil, "what the notes say happened; words in, meanings out"},
	{"report/safety", []string{"journal/pattern", "report/safety/heard", "journal", "journal/measure", "report/frame", "report/page", "report/numeric/...", "gonum.org/..."}, "cautions and their sources; judges, never clears"},
	{"report/hold", []string{"journal", "journal/measure", "report/frame", "report/page", "report/safety", "report/numeric/...", "gonum.org/..."}, "the box, from off to the table and after"},
	{"report/pitbook", []string{"journal", "journal/measure", "journal/packed", "report/page", "report/numeric/...", "gonum.org/..."}, "what a pit does, from the cooks on it"},
	{"report/mix", []string{"journal", "journal/measure", "report/frame", "report/page"}, "what goes into a mix, and how it was liked"},
	{"report/fire", []string{"journal", "journal/measure", "report/frame"}, "how a fire does, from what is read at the grate"},
	{"report/drivers", []string{"journal", "journal/measure", "report/frame", "report/page", "report/forecast/...", "report/numeric/...", "gonum.org/..."}, "what changes time and scores"},
	{"report/attribution", []string{"journal", "journal/measure", "report/frame", "report/page", "report/baseline", "report/drivers", "report/forecast/..."}, "early or late, in minutes that add up, by the effects that drivers tells"},
	{"report/provision/...", []string{"journal/pattern", "journal", "journal/measure", "report/frame", "report/page", "report/baseline", "report/safety", "report/hold", "report/pitbook", "report/forecast/...", "report/provision/...", "report/mix", "report/numeric/...", "gonum.org/...", "github.com/arran4/golang-ical"}, "from the meal back to the fire: the engine, the box, the pit, the person's own figures"},
	{"report", []string{"journal/pattern", "journal", "journal/measure", "journal/cookfile", "report/..."}, "chooses sections; draws nothing; of cookfile only how two versions differ"},

	{"tui/intent", nil, "what a person can want"},
	{"tui/keys", []string{"tui/intent", "github.com/charmbracelet/bubbletea"}, "keys to intents"},
	{"tui/style", []string{"github.com/charmbracelet/lipgloss/...", "github.com/muesli/termenv", "github.com/charmbracelet/x/..."}, "the only styles"},
	{"tui/layout", []string{"tui/style", "report/page/...", "github.com/charmbracelet/x/...", "github.com/rivo/uniseg"}, "rectangles of clean text in the styles of tui/style"},
	{"tui/backend", []string{"journal", "journal/measure", "report/chart", "report/course", "report/page", "report/drivers", "tui/intent", "github.com/charmbracelet/bubbletea"}, "all that screens know of the outside"},
	{"tui/component/...", []string{"journal", "journal/measure", "tui/component/...", "tui/layout", "tui/intent", "tui/keys", "tui/style", "tui/backend", "report/page", "report/chart/...", "github.com/charmbracelet/...", "github.com/rivo/uniseg"}, "pieces two screens share; never a screen, the folder or git"},
	{"tui/screen/...", []string{"journal", "journal/measure", "tui/layout", "tui/intent", "tui/keys", "tui/style", "tui/backend", "tui/component/...", "report/page/...", "report/chart/...", "report/course", "report/frame", "report/drivers", "github.com/charmbracelet/...", "github.com/rivo/uniseg"}, "never another screen, the folder or git"},
	{"tui/tuitest", []string{"journal/...", "tui/...", "report/...", "github.com/charmbracelet/...", "github.com/muesli/termenv"}, "the driver of the tests"},
	{"tui/plain", []string{"journal", "journal/measure", "tui/intent", "tui/layout", "tui/backend", "tui/screen/watch", "report/page/..."}, "the screens line by line; tells what they show"},
	{"tui", []string{"journal", "journal/measure", "tui/...", "report/page/...", "github.com/charmbracelet/...", "github.com/muesli/termenv"}, "screens and routing"},

	{"samples", nil, "the invented journal, embedded"},
	{"samples/published", nil, "reads the check tables of the tests"},
	{"samples/...", []string{"journal", "journal/measure", "journal/cookfile", "journal/series", "samples/...", "gonum.org/...", "go.yaml.in/yaml/v4"}, "how the invented journal was made"},
	{"cmd/ashbook/internal/interrupt", nil, "hears signals before any library is ready"},
	{"cmd/ashbook/internal/machine", []string{"report/page", "tui/style", "github.com/charmbracelet/bubbletea", "github.com/charmbracelet/x/term"}, "the person's folders, editor, terminal and alerts; knows no cook"},
	{"cmd/ashbook/internal/typed", []string{"journal", "journal/pattern", "journal/measure", "journal/shorthand", "journal/probefile", "journal/ingest/paper", "report/baseline", "report/mix", "report/provision/..."}, "what a person types, as values; no flag, no file"},
	{"cmd/ashbook/internal/serve", []string{"journal/listen", "report/page", "report/page/html"}, "answers for the running cook; keeps nothing itself"},
	{"cmd/ashbook/internal/manual", []string{"github.com/spf13/..."}, "commands as manual pages"},
	{"cmd/ashbook/internal/lookup", []string{"cmd/ashbook/internal/typed", "journal", "journal/cookfile", "journal/folder", "journal/measure", "journal/shorthand", "report/mix"}, "finds the cooks of a journal; writes nothing"},
	{"cmd/ashbook/internal/app", []string{"cmd/ashbook/internal/lookup", "cmd/ashbook/internal/typed", "journal/...", "report/..."}, "what ashbook does, once: no flags, no printing, no screens"},
	{"cmd/ashbook/internal/pages", []string{"cmd/ashbook/internal/app", "cmd/ashbook/internal/typed", "journal", "journal/cookfile", "cmd/ashbook/internal/serve", "journal/folder", "journal/measure", "report/..."}, "pages that leave the program, from what app says"},
	{"cmd/ashbook/internal/advice", []string{"cmd/ashbook/internal/lookup", "cmd/ashbook/internal/machine", "cmd/ashbook/internal/pages", "cmd/ashbook/internal/typed", "journal/...", "report/provision"}, "what to type next after an error; prints nothing"},
	{"cmd/ashbook/internal/flags", []string{"cmd/ashbook/internal/advice", "cmd/ashbook/internal/typed", "journal/measure", "github.com/spf13/cobra"}, "what all commands check before they run; knows no journal"},
	{"cmd/ashbook/internal/intake", []string{"journal", "journal/listen", "journal/measure", "journal/folder", "journal/history", "journal/ingest", "journal/probefile", "journal/series"}, "the readings of a probe, into a cook"},
	{"cmd/ashbook/internal/jsonout", []string{"cmd/ashbook/internal/app", "cmd/ashbook/internal/lookup", "cmd/ashbook/internal/intake", "journal/...", "report/..."}, "the shapes of --json, filled from results; reads no flag and no file"},
	{"cmd/ashbook/internal/textout", []string{"cmd/ashbook/internal/app", "cmd/ashbook/internal/lookup", "cmd/ashbook/internal/intake", "journal/...", "report/..."}, "what commands say of results, as lines and pages; prints nothing"},
	{"cmd/ashbook/internal/screens", []string{"cmd/ashbook/internal/app", "cmd/ashbook/internal/lookup", "cmd/ashbook/internal/typed", "journal/...", "report/...", "tui/backend", "tui/intent", "github.com/charmbracelet/bubbletea"}, "what the screens ask for, answered by app"},
	{"cmd/ashbook", []string{"cmd/ashbook/internal/...", "journal/...", "report/...", "tui", "tui/intent", "tui/style", "tui/plain", "tui/backend", "samples", "github.com/spf13/...", "github.com/charmbracelet/bubbletea"}, "arguments in, exit code out"},
}

// forbidden lists packages of the standard library that only some of our packages may
// import.
var forbidden = []struct {
	pkg, std string
	reason   string
}{
	{"journal", "os", "the words do no input or output"},
	{"tui/screen/...", "os", "screens speak through tui/backend"},
	{"cmd/ashbook/internal/app", "os", "the use cases know no machine but the journal"},
	{"cmd/ashbook/internal/jsonout", "os", "shapes are filled from results"},
	{"cmd/ashbook/internal/textout", "os", "lines are made from results"},
	{"cmd/ashbook/internal/screens", "os", "the screens' answers come from app"},
	{"report/...", "os", "reports are made of what they are given"},
	{"report/...", "regexp", "journal/pattern compiles when first used"},
	{"cmd/...", "regexp", "journal/pattern compiles when first used"},
	{"journal/shorthand", "os", "the words do no input or output"},
	{"journal/cookfile", "os", "files are read in journal/folder"},
}

// TestLayers keeps imports running one way.
func TestLayers(t *testing.T) {
	for _, p := range listPackages(t) {
		i := slices.IndexFunc(layers, func(l layer) bool { return match(l.pkg, p.name) })
		if i < 0 {
			t.Errorf("%s has no line in the table of layers", p.name)
			continue
		}
		rule := layers[i]
		for _, imp := range p.imports {
			own := strings.HasPrefix(imp, module+"/")
			name := strings.TrimPrefix(imp, module+"/")
			if !own && !strings.Contains(strings.Split(imp, "/")[0], ".") {
				for _, f := range forbidden {
					if match(f.pkg, p.name) && f.std == imp {
						t.Errorf("%s imports %s: %s", p.name, imp, f.reason)
					}
				}
				continue
			}
			if !slices.ContainsFunc(rule.may, func(pattern string) bool { return match(pattern, name) }) {
				t.Errorf("%s may not import %s: %s", p.name, name, rule.reason)
			}
		}
	}
}

const module = "ashbook"

func match(pattern, name string) bool {
	if below, ok := strings.CutSuffix(pattern, "/..."); ok {
		return name == below || strings.HasPrefix(name, below+"/")
	}
	return pattern == name
}

type goPackage struct {
	name    string
	imports []string
}

func listPackages(t *testing.T) []goPackage {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "../../...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []goPackage
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, goPackage{path.Clean(strings.TrimPrefix(p.ImportPath, module+"/")), p.Imports})
	}
	if len(all) < 10 {
		t.Fatalf("go list found only %d packages", len(all))
	}
	return all
}
