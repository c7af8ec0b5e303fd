package shorthand

import (
	"slices"
	"strings"
)

// joints are the words between two clauses of a sentence. After sentenceJoints comes a
// whole sentence with a verb of its own; the others may also join two verbs of one object.
var (
	joints         = newWords("and|then|plus|so|but|because|while|since|cause|cos|cuz")
	sentenceJoints = newWords("so|but|because|while|since|cause|cos|cuz")
)

// parted splits the clause at its first joint from the list and reports whether it did.
func (p *parser) parted(c *clause, list *wordSet) bool {
	for k := c.lo + 1; k+1 < c.hi; k++ {
		low := p.all[k].low
		if !list.has(low) && !(low == "when" && p.readThen(c.lo, k, c.hi)) && !(low == "after" && strings.HasSuffix(p.all[k+1].low, "ing") && slices.ContainsFunc(p.all[c.lo:k], func(t token) bool { return happened(t) || isDigit(t.text[0]) })) || low == "since" && (p.all[k+1].bare() || k+2 == c.hi) || low == "so" && p.all[k+1].low == "far" {
			continue
		}
		if k == c.lo+1 && p.all[c.lo].bare() || k == c.lo+2 && p.all[c.lo].bare() && p.all[c.lo+1].low == "degrees" {
			return false // "80 and humid"
		}
		if low == "and" && slices.ContainsFunc(p.all[c.lo:k], func(t token) bool { return t.low == "between" }) {
			continue // "between 3 and 4"
		}
		rest := clause{lo: k, hi: c.hi, group: c.group}
		if !joints.has(low) || sentenceJoints.has(low) || !p.shares(c.lo, k, c.hi) {
			rest.group = k
		}
		c.hi = k
		p.clauses = slices.Insert(p.clauses, p.clause+1, rest)
		return true
	}
	return false
}

// readThen reports whether "when" at k is between an act that was done and what was read
// at the time: "pulled it off when it read 95".
func (p *parser) readThen(lo, k, hi int) bool {
	was := slices.ContainsFunc(p.all[k:hi], func(t token) bool {
		return t.low == "read" || t.low == "hit" || t.low == "reached" || t.low == "was" || t.low == "showed" || t.low == "got"
	})
	return was && isDigit(p.all[hi-1].text[0]) && slices.ContainsFunc(p.all[lo:k], happened) && !p.any(lo, k, supposing) && !p.any(lo, hi, turningDown)
}

// shares reports whether the words on the two sides of the joint at k share a verb or an
// object: one verb alone stands before it, as in "boxed and labelled the leftovers", or a
// number behind it, as in "a pound and a half".
func (p *parser) shares(lo, k, hi int) bool {
	saying := 0
	for _, t := range p.all[lo:k] {
		if t.low == "it" || t.low == "them" { // the verb has its object
			saying++
		}
		if !passing.has(t.low) && !adverbs.has(t.low) {
			saying++
		}
	}
	for k++; k < hi-1 && (p.all[k].low == "a" || p.all[k].low == "the" || p.all[k].low == "some" || joints.has(p.all[k].low)); k++ {
	}
	first := p.all[k]
	return saying < 2 || isDigit(first.text[0]) || signOf(first.text) > 0 || numberWords[first.low] != "" || first.low == "half" || first.low == "quarter"
}

// factFirst splits a clause at a joint between something that happened and a plan, a
// doubt or a denial: "wrapped it in foil and going to bed". It reports whether it did.
func (p *parser) factFirst(c *clause) bool {
	for k := c.lo + 2; k+1 < c.hi; k++ {
		if p.all[k].low == "and" && !p.any(c.lo, k, supposing) && !p.any(c.lo, k, turningDown) && slices.ContainsFunc(p.all[c.lo:k], happened) && !p.shares(c.lo, k, c.hi) {
			p.clauses = slices.Insert(p.clauses, p.clause+1, clause{lo: k, hi: c.hi, group: k})
			p.clauses[p.clause].hi = k
			return true
		}
	}
	return false
}

// happened reports whether the token is a verb in the past.
func happened(t token) bool { return strings.HasSuffix(t.low, "ed") || pastVerbs.has(t.low) }

var pastVerbs = newWords("gave|took|put|threw|shut|relit|went|fell|rose|came|spun|swung|laid|fed|sank|hit|crept|shot|got")
