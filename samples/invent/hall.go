package invent

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// hallText is the script of the sample journal: plans, events of the fire, and remarks.
// The rest is simulated.
//
//go:embed hall.yaml
var hallText string

// hallSeed is the seed of the sample journal (chosen so that the running cook stalls at
// the hour that the script needs).
const hallSeed = 1918

// script is the content of hall.yaml.
type script struct {
	Files map[string]string // other files of the journal, by path
	Cooks []plan
}

// Hall returns the sample journal: every file by its path, and the cooks with their
// truth. The error says what is wrong in the script.
func Hall() (files map[string][]byte, cooks []Cook, err error) {
	var s script
	if err := yaml.Unmarshal([]byte(hallText), &s); err != nil {
		return nil, nil, fmt.Errorf("hall.yaml: %w", err)
	}
	files = map[string][]byte{}
	for path, text := range s.Files {
		files[path] = []byte(text)
	}
	words := newPhrases(stream(hallSeed, "phrases"))
	for _, p := range s.Cooks {
		if err := p.check(); err != nil {
			return nil, nil, fmt.Errorf("hall.yaml: %w", err)
		}
		c := p.cook(hallSeed, words, true)
		cooks = append(cooks, c)
		files[c.Path()+".md"] = c.File
		if c.Series != nil {
			files[c.Path()+".csv"] = c.Series
		}
	}
	return files, cooks, nil
}

// TruthCSV writes the constants and the truth of the cooks, one value a line: cook
// ("all" for a constant), name, value.
func TruthCSV(cooks []Cook) string {
	var sb strings.Builder
	w := csv.NewWriter(&sb)
	put := func(cook, what string, v float64, decimals int) {
		w.Write([]string{cook, what, strconv.FormatFloat(math.Round(v*1e4)/1e4+0, 'f', decimals, 64)})
	}
	w.Write([]string{"cook", "what", "value"})
	for _, k := range constants() {
		put("all", k.name, k.value, 3)
	}
	for _, c := range cooks {
		if c.Truth.Ready == 0 && len(c.Truth.Else) == 0 {
			continue
		}
		put(c.ID, "ready, min", c.Truth.Ready, 0)
		put(c.ID, "off, min", c.Truth.Off, 0)
		for _, k := range Otherwise {
			put(c.ID, "ready, min, "+k, c.Truth.Else[k], 0)
		}
		for _, k := range slices.Sorted(maps.Keys(c.Truth.LnTime)) {
			put(c.ID, "ln time, "+k, c.Truth.LnTime[k], 4)
		}
		for _, k := range traits {
			if v, ok := c.Truth.Quality[k]; ok {
				put(c.ID, k, v, 2)
			}
		}
	}
	w.Flush()
	return sb.String()
}

//go:embed phrases.txt
var phraseText string

// phrases are remarks by occasion. Each is used once before any is repeated.
type phrases struct {
	rng  *rand.Rand
	all  map[string][]string
	left map[string][]string
}

func newPhrases(rng *rand.Rand) *phrases {
	p := &phrases{rng: rng, all: map[string][]string{}, left: map[string][]string{}}
	kind := ""
	for line := range strings.Lines(phraseText) {
		line = strings.TrimSpace(line)
		if head, ok := strings.CutPrefix(line, "["); ok {
			kind = strings.TrimSuffix(head, "]")
		} else if line != "" {
			p.all[kind] = append(p.all[kind], line)
		}
	}
	return p
}

func (p *phrases) pick(kind string) string {
	left := p.left[kind]
	if len(left) == 0 {
		left = append(left, p.all[kind]...)
		p.rng.Shuffle(len(left), func(i, j int) { left[i], left[j] = left[j], left[i] })
	}
	if len(left) == 0 {
		return ""
	}
	p.left[kind] = left[1:]
	return left[0]
}
