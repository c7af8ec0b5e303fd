package merge

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"time"
)

// evening is the content of a cook's two files, without any code of the merge or the
// program. The judge compares a merge with it.
type evening struct {
	values  map[string]string    // front matter by path: "serve", "pieces/large/raw"
	rows    map[string]bool      // rows of lists by path: "tasting/MB"
	entries map[string]*written  // by a name that stays when the entry is corrected
	prose   map[string]bool      // paragraphs by their unique word
	cells   map[string]string    // cells of the table: "23:10/pit_c"
	at      map[string]time.Time // when each path was last changed
}

// written is an entry with three parts that can be corrected.
type written struct {
	clock            int // minutes after 19:00
	pit, core, words string
}

func (l written) String() string {
	t := time.Date(2024, 6, 7, 19, l.clock, 0, 0, time.UTC)
	return fmt.Sprintf("- %s+01:00 pit %s °C, core large %s °C — %s", t.Format("2006-01-02T15:04"), l.pit, l.core, l.words)
}

func (n *evening) clone() *evening {
	c := &evening{maps.Clone(n.values), maps.Clone(n.rows), map[string]*written{}, maps.Clone(n.prose), maps.Clone(n.cells), map[string]time.Time{}}
	for k, e := range n.entries {
		dup := *e
		c.entries[k] = &dup
	}
	return c
}

// evenBefore returns the night that all people start from.
func evenBefore(rng *rand.Rand) *evening {
	n := &evening{map[string]string{
		"title": "t0", "pit": "p0", "supplier": "s0", "change": "c0", "keep": "k0", "heads": "24", "serve": "2024-06-08T13:00+01:00",
		"aim/pit": "110", "aim/core": "94", "pieces/large/raw": "4.6 kg", "pieces/small/raw": "3.1 kg", "wood/oak/mass": "230 g",
		"tasting/RT/moisture": "7", "tasting/RT/bark": "6",
	}, map[string]bool{"pieces/large": true, "pieces/small": true, "wood/oak": true, "tasting/RT": true}, map[string]*written{}, map[string]bool{"q0": true, "q1": true}, map[string]string{}, map[string]time.Time{}}
	for i := range 4 + rng.IntN(6) {
		name := fmt.Sprintf("z%d", i)
		n.entries[name] = &written{15 + 90*i + rng.IntN(60), fmt.Sprint(100 + 3*i), fmt.Sprint(30 + 5*i), name}
	}
	for i := range 8 {
		for _, c := range []string{"pit_c", "core_c"} {
			n.cells[fmt.Sprintf("%02d:%02d/%s", 20+i/6, i%6*10, c)] = fmt.Sprint(60 + i)
		}
	}
	return n
}

// inOrder returns the keys of a map ordered by time or by bytes.
func (n *evening) inOrder() []string {
	return slices.SortedFunc(maps.Keys(n.entries), func(a, b string) int {
		x, y := n.entries[a], n.entries[b]
		if x.clock != y.clock {
			return x.clock - y.clock
		}
		return strings.Compare(a, b)
	})
}

// text returns the cook's file.
func (n *evening) text() string {
	var b strings.Builder
	b.WriteString("---\nashbook: 1\n")
	scalar := func(key string) {
		if v, ok := n.values[key]; ok {
			b.WriteString(key + ": " + v + "\n")
		}
	}
	list := func(key, name string, of ...string) {
		var rows []string
		for _, path := range slices.Sorted(maps.Keys(n.rows)) {
			if id, ok := strings.CutPrefix(path, key+"/"); ok {
				row := name + ": " + id
				for _, k := range of {
					if v, ok := n.values[path+"/"+k]; ok {
						row += ", " + k + ": " + v
					}
				}
				rows = append(rows, "  - {"+row+"}\n")
			}
		}
		if len(rows) > 0 {
			b.WriteString(key + ":\n" + strings.Join(rows, ""))
		}
	}
	scalar("title")
	list("pieces", "name", "raw")
	for _, k := range []string{"pit", "supplier", "heads", "serve"} {
		scalar(k)
	}
	var aim []string
	for _, k := range []string{"pit", "core"} {
		if v, ok := n.values["aim/"+k]; ok {
			aim = append(aim, k+": "+v)
		}
	}
	if len(aim) > 0 {
		b.WriteString("aim: {" + strings.Join(aim, ", ") + "}\n")
	}
	list("wood", "kind", "mass")
	list("tasting", "eater", "moisture", "bark")
	scalar("change")
	scalar("keep")
	b.WriteString("---\n\n# Shearing supper\n")
	for _, p := range slices.Sorted(maps.Keys(n.prose)) {
		b.WriteString("\nSaid " + p + ".\n")
	}
	b.WriteString("\n## Timeline\n\n")
	for _, k := range n.inOrder() {
		b.WriteString(n.entries[k].String() + "\n")
	}
	return b.String()
}

// table returns the CSV file.
func (n *evening) table() string {
	columns := []string{"pit_c", "core_c"}
	rows := map[string]bool{}
	for k := range n.cells {
		at, c, _ := strings.Cut(k, "/")
		rows[at] = true
		if !slices.Contains(columns, c) {
			columns = append(columns, c)
		}
	}
	out := "time," + strings.Join(columns, ",") + "\n"
	for _, at := range slices.Sorted(maps.Keys(rows)) {
		out += "2024-06-07T" + at + "+01:00"
		for _, c := range columns {
			out += "," + n.cells[at+"/"+c]
		}
		out += "\n"
	}
	return out
}

// person changes a night, each change at its own time.
type person struct {
	*evening
	name string
	rng  *rand.Rand
	n    int
	now  time.Time
}

func (p *person) token() string {
	p.n++
	return fmt.Sprintf("%s%d", strings.ToLower(p.name), p.n)
}

func pick[K comparable, V any](rng *rand.Rand, m map[K]V, less func(a, b K) int) (k K, ok bool) {
	if len(m) == 0 {
		return k, false
	}
	return slices.SortedFunc(maps.Keys(m), less)[rng.IntN(len(m))], true
}

func (p *person) did(path string) { p.at[path] = p.now }

// act makes one random change.
func (p *person) act(base *evening) {
	p.now = p.now.Add(time.Duration(1+p.rng.IntN(600)) * time.Second)
	switch kind := p.rng.IntN(16); kind {
	case 0, 1, 2: // add an entry that others may add word for word, or another one
		name := p.token()
		if p.rng.IntN(6) == 0 {
			name = fmt.Sprintf("all%d", p.rng.IntN(3))
			p.entries[name] = &written{500 + len(name), "101", "81", name}
			return
		}
		p.entries[name] = &written{p.rng.IntN(900), fmt.Sprint(90 + p.rng.IntN(40)), fmt.Sprint(40 + p.rng.IntN(50)), name}
	case 3:
		if k, ok := pick(p.rng, p.entries, strings.Compare); ok && !strings.HasPrefix(k, "all") {
			delete(p.entries, k)
		}
	case 4, 5: // correct one part of an entry that all had
		k, _ := pick(p.rng, base.entries, strings.Compare)
		if e := p.entries[k]; e != nil {
			switch p.rng.IntN(3) {
			case 0:
				e.pit = fmt.Sprintf("%d.%d", 130+p.rng.IntN(60), 1+int(p.name[0])%9)
			case 1:
				e.core = fmt.Sprintf("%d.%d", 20+p.rng.IntN(9), 1+int(p.name[0])%9)
			default:
				e.words = k + " " + p.token()
			}
		}
	case 6, 7, 8: // set a value
		k, _ := pick(p.rng, base.values, strings.Compare)
		v := p.token()
		switch {
		case k == "serve":
			v = fmt.Sprintf("2024-06-08T%02d:%02d+01:00", 10+p.rng.IntN(8), p.rng.IntN(60))
		case k == "heads":
			v = fmt.Sprint(30 + p.rng.IntN(3)) // sometimes the same value as another person's
		}
		if i := strings.LastIndexByte(k, '/'); i >= 0 && !strings.HasPrefix(k, "aim") && !p.rows[k[:i]] {
			return
		}
		if v == base.values[k] {
			return
		}
		p.values[k] = v
		p.did(k)
	case 9: // remove a value
		k, _ := pick(p.rng, base.values, strings.Compare)
		if strings.HasPrefix(k, "pieces") {
			return
		}
		delete(p.values, k)
	case 10: // add a row
		path := []string{"tasting/", "wood/", "pieces/"}[p.rng.IntN(3)] + strings.ToUpper(p.token())
		p.rows[path] = true
		p.values[path+map[byte]string{'t': "/moisture", 'w': "/mass", 'p': "/raw"}[path[0]]] = p.token()
	case 11: // remove a row
		k := []string{"tasting/RT", "wood/oak"}[p.rng.IntN(2)]
		delete(p.rows, k)
		maps.DeleteFunc(p.values, func(v, _ string) bool { return strings.HasPrefix(v, k+"/") })
	case 12:
		if p.rng.IntN(3) == 0 {
			delete(p.prose, "q1")
		} else {
			p.prose["r"+p.token()] = true
		}
	case 13: // add a row to the table
		at := fmt.Sprintf("%02d:%02d", 20+p.rng.IntN(3), p.rng.IntN(60))
		if _, taken := base.cells[at+"/pit_c"]; taken {
			return
		}
		for _, c := range []string{"pit_c", "core_c"} {
			if p.cells[at+"/"+c] == "" {
				p.cells[at+"/"+c] = fmt.Sprint(100 + p.rng.IntN(50))
				p.did(at + "/" + c)
			}
		}
	case 14: // set a cell
		k, _ := pick(p.rng, base.cells, strings.Compare)
		if _, there := p.cells[k]; there {
			p.cells[k] = fmt.Sprintf("%d.%d", 150+p.rng.IntN(50), 1+int(p.name[0])%9)
			p.did(k)
		}
	case 15: // remove rows of the table, or add a column
		k, _ := pick(p.rng, base.cells, strings.Compare)
		at, _, _ := strings.Cut(k, "/")
		if p.rng.IntN(2) == 0 {
			maps.DeleteFunc(p.cells, func(c, _ string) bool { return strings.HasPrefix(c, at+"/") })
		} else if _, there := p.cells[at+"/pit_c"]; there {
			p.cells[at+"/core_"+strings.ToLower(p.name)+"_c"] = fmt.Sprint(p.rng.IntN(90))
		}
	}
}
