// Package pattern compiles regular expressions when they are first used. Most commands
// need few of them, and compiling all took half of the program's start.
package pattern

import (
	"regexp"
	"sync"
)

// Pattern is a regular expression in the standard library's syntax, safe for several
// goroutines. Its methods are those of regexp.Regexp. The first call panics if the
// expression is not valid.
type Pattern struct{ compiled func() *regexp.Regexp }

// New returns the pattern of an expression.
func New(expr string) *Pattern {
	return &Pattern{sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })}
}

func (p *Pattern) MatchString(s string) bool            { return p.compiled().MatchString(s) }
func (p *Pattern) FindString(s string) string           { return p.compiled().FindString(s) }
func (p *Pattern) FindStringIndex(s string) []int       { return p.compiled().FindStringIndex(s) }
func (p *Pattern) FindStringSubmatch(s string) []string { return p.compiled().FindStringSubmatch(s) }
func (p *Pattern) FindStringSubmatchIndex(s string) []int {
	return p.compiled().FindStringSubmatchIndex(s)
}
func (p *Pattern) FindAllString(s string, n int) []string { return p.compiled().FindAllString(s, n) }
func (p *Pattern) FindAllStringIndex(s string, n int) [][]int {
	return p.compiled().FindAllStringIndex(s, n)
}
func (p *Pattern) ReplaceAllStringFunc(s string, by func(string) string) string {
	return p.compiled().ReplaceAllStringFunc(s, by)
}
func (p *Pattern) ReplaceAllString(s, by string) string { return p.compiled().ReplaceAllString(s, by) }
func (p *Pattern) Split(s string, n int) []string       { return p.compiled().Split(s, n) }
