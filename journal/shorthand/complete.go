package shorthand

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"ashbook/journal"
)

// Complete returns the sorted endings that could complete the last word of line: acts,
// pieces, kinds of wrap, and the woods named in ctx.Cook. line + ending is the
// completed line. After a space, it offers only the names that may follow the act
// before it.
func Complete(line string, ctx Context) []string {
	if printable(line) != nil {
		return nil
	}
	toks, _, _, dashed := scan(line)
	if dashed {
		return nil
	}
	last, _ := utf8.DecodeLastRuneInString(line)
	word := ""
	if n := len(toks); n > 0 && !unicode.IsSpace(last) && !toks[n-1].comma {
		word, toks = toks[n-1].text, toks[:n-1]
	}
	names := expected(toks, ctx.Cook)
	if word != "" && lookupAct(toks) != journal.SetPit {
		for _, w := range actWords {
			names = append(names, w.word)
		}
	}
	var endings []string
	for _, n := range names {
		if rest, ok := ending(n, word); ok && rest != "" {
			endings = append(endings, rest)
		}
	}
	slices.Sort(endings)
	return slices.Compact(endings)
}

// lookupAct returns the act that the last token names, or NoAct if that token ends a
// clause.
func lookupAct(toks []token) journal.Act {
	if len(toks) == 0 || toks[len(toks)-1].comma {
		return journal.NoAct
	}
	return lookup(toks[len(toks)-1].text).act
}

// expected returns the names that may follow the last token.
func expected(toks []token, c *journal.Cook) []string {
	var names []string
	switch act := lookupAct(toks); {
	case act == journal.SetPit:
		return []string{journal.ReadPit.Word(), journal.ReadCore.Word()}
	case act == journal.PutWrap:
		for _, w := range journal.Wraps {
			names = append(names, string(w))
		}
	case act == journal.AddWood && c != nil:
		names = woods(c)
	case act.TakesPiece() && c != nil:
		names = c.PieceNames()
	case len(toks) > 1 && lookupAct(toks[:len(toks)-1]) == journal.PutWrap:
		names = []string{looseWord}
	}
	return names
}

// woods returns the kinds of wood that the cook's plan and its entries name.
func woods(c *journal.Cook) []string {
	var kinds []string
	for _, w := range c.Wood {
		kinds = append(kinds, w.Kind)
	}
	for _, e := range c.Entries {
		for _, it := range e.Items {
			if it.Act == journal.AddWood {
				kinds = append(kinds, strings.TrimSpace(strings.TrimSuffix(it.Detail, it.Amount.Text)))
			}
		}
	}
	return kinds
}
