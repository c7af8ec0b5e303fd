package folder

import (
	"bytes"
	"cmp"
	"context"
	"path"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// Hit is a cook whose file has all words.
type Hit struct {
	ID   string
	Path string // below the journal's folder, with slashes
	Line int    // from 1: the first of the lines with the most words
	Text string // that line, without its line end
}

// Search returns those of the listed cooks whose file has every one of the words
// anywhere, ignoring case, newest first. A month or a year also counts as found where it
// is that of the cook's day: "brisket may 2025". Without words it returns none. It skips files
// that cannot be read, which List has reported. It fails with ctx's error.
func (f *Folder) Search(ctx context.Context, words []string, all []Summary) ([]Hit, error) {
	q := newQuery(words)
	if len(q.words) == 0 {
		return nil, nil
	}
	s := search{query: q, all: all, dated: datedWords(words)}
	rest := s.kept(f.textsPath())
	if len(rest) > keepTexts {
		s.hits, rest = nil, rest[:0]
		for i := range all {
			rest = append(rest, i)
		}
		s.fresh = newTexts(f.opt.Cache)
	}
	s.files(ctx, f, rest)
	if err := ctx.Err(); err != nil {
		s.fresh.drop()
		return nil, err
	}
	s.fresh.replace(f.textsPath())
	slices.SortFunc(s.hits, func(a, b Hit) int { return cmp.Or(strings.Compare(b.ID, a.ID), strings.Compare(b.Path, a.Path)) })
	return s.hits, nil
}

// search is one search and what it has found so far.
type search struct {
	query
	dated []dated
	all   []Summary

	mu    sync.Mutex
	hits  []Hit
	fresh *texts // collects the texts read, to store them; nil for no storing
}

// look searches the text of the cook with index i.
func (s *search) look(i int, text []byte) {
	line, found := s.in(text)
	ofDay := false
	if line == 0 {
		if rest := s.besides(&s.all[i]); rest != nil {
			if ofDay = len(rest.words) == 0; !ofDay {
				line, found = rest.in(text)
			}
		}
	}
	if line > 0 || ofDay {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.hits = append(s.hits, Hit{s.all[i].ID, s.all[i].Path, line, found})
	}
}

// kept searches the stored texts, and returns the indexes of the cooks that have none.
func (s *search) kept(name string) (rest []int) {
	at := make(map[string]int, len(s.all)) // index plus one, by hash
	for i := range s.all {
		if sum := s.all[i].Sum; sum != "" && at[sum] == 0 {
			at[sum] = i + 1
		}
	}
	done := make([]bool, len(s.all))
	readTexts(name, func(sum, text []byte) {
		if i := at[string(sum)] - 1; i >= 0 && !done[i] {
			done[i] = true
			s.look(i, text)
		}
	})
	for i := range done {
		if !done[i] {
			rest = append(rest, i)
		}
	}
	return rest
}

// files searches the files of the cooks with these indexes.
func (s *search) files(ctx context.Context, f *Folder, places []int) {
	if len(places) == 0 {
		return
	}
	years, _, close := f.years()
	defer close()
	in := make(map[string]*yearFiles, len(years))
	for _, y := range years {
		in[y.dir] = y
	}
	each(ctx, len(places), share, func(k int) {
		c := &s.all[places[k]]
		dir, name := path.Split(c.Path)
		year := in[strings.TrimSuffix(dir, "/")]
		if year == nil {
			return
		}
		buf := buffers.Get().(*[]byte)
		defer buffers.Put(buf)
		if data, err := f.read(cookFile{year: year, name: name}, buf); err == nil {
			s.look(places[k], data)
			s.fresh.add(c.Sum, data)
		}
	})
}

// query is a set of words to search for, in lower case.
type query struct {
	words []word // the word that is fastest to find comes first
	ascii bool   // all words are ASCII, so other letters need not be folded
}

// word is a word in lower case, and its rarest letter, which is searched for first.
type word struct {
	text    []byte
	at      int // offset of the rarest letter
	rarity  int
	low, up byte
}

func newQuery(words []string) query {
	q := query{ascii: true}
	for _, w := range words {
		if w = strings.ToLower(strings.TrimSpace(w)); w != "" {
			q.words = append(q.words, newWord(w))
			q.ascii = q.ascii && len(w) == utf8.RuneCountInString(w)
		}
	}
	slices.SortStableFunc(q.words, func(a, b word) int {
		return cmp.Or(cmp.Compare(b.rarity, a.rarity), cmp.Compare(len(b.text), len(a.text)))
	})
	return q
}

// common letters of English, the commonest first (Lewand, Cryptological Mathematics,
// 2000); digits, dashes and spaces are as common in a cook.
const commonLetters = " 0123456789-:+etaoinshrdlcumwfgypbvkjxqz"

func newWord(text string) word {
	w := word{text: []byte(text)}
	w.rarity = -1
	for i := range w.text {
		rank := strings.IndexByte(commonLetters, w.text[i])
		if rank < 0 {
			rank = len(commonLetters)
		}
		if rank > w.rarity {
			w.rarity, w.at = rank, i
		}
	}
	w.low, w.up = w.text[w.at], upper(w.text[w.at])
	return w
}

// in returns the line to show and its number; 0 if a word is missing.
func (q query) in(data []byte) (int, string) {
	text := data
	if !q.ascii {
		text = bytes.ToLower(data)
	}
	for _, w := range q.words {
		if q.find(text, w) < 0 {
			return 0, ""
		}
	}
	if len(q.words) == 1 && q.ascii {
		at := q.find(data, q.words[0])
		from := bytes.LastIndexByte(data[:at], '\n') + 1
		return bytes.Count(data[:from], []byte("\n")) + 1, line(data[from:])
	}
	best, most, n := 0, 0, 0
	for l := range bytes.Lines(text) {
		n++
		count := 0
		for _, w := range q.words {
			if q.find(l, w) >= 0 {
				count++
			}
		}
		if count > most {
			best, most = n, count
		}
	}
	for range best - 1 {
		data = data[bytes.IndexByte(data, '\n')+1:]
	}
	return best, line(data)
}

// line returns the first line of text, without its line end.
func line(text []byte) string {
	if end := bytes.IndexByte(text, '\n'); end >= 0 {
		text = text[:end]
	}
	return string(bytes.TrimSuffix(text, []byte("\r")))
}

// find returns the offset of the word in text, −1 for none. text must be folded unless
// the words are ASCII.
func (q query) find(text []byte, w word) int {
	if q.ascii {
		return w.fold(text)
	}
	return bytes.Index(text, w.text)
}

// fold returns the offset of a word of ASCII letters, ignoring case; −1 for none.
func (w word) fold(text []byte) int {
	// the rarest letter of the last possible match is before this
	end := len(text) - len(w.text) + w.at + 1
	for at := w.at; at < end; at++ {
		i := bytes.IndexByte(text[at:end], w.low)
		if w.up != w.low {
			rest := text[at:end]
			if i >= 0 {
				rest = rest[:i]
			}
			if k := bytes.IndexByte(rest, w.up); k >= 0 {
				i = k
			}
		}
		if i < 0 {
			return -1
		}
		at += i
		if from := at - w.at; w.is(text[from : from+len(w.text)]) {
			return from
		}
	}
	return -1
}

func (w word) is(text []byte) bool {
	for i, b := range text {
		if b != w.text[i] && b != upper(w.text[i]) {
			return false
		}
	}
	return true
}

func upper(b byte) byte {
	if 'a' <= b && b <= 'z' {
		return b - 'a' + 'A'
	}
	return b
}
