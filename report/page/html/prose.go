package html

import (
	"net/url"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"
)

func reader(src []byte) text.Reader { return text.NewReader(src) }

// headingsDown is how many levels the headings of the prose are lowered.
const headingsDown = 2

// tame replaces raw HTML and images by their text, and links other than to the web,
// mail and files beside the page by their words.
func tame(doc ast.Node, src []byte) {
	var out []ast.Node
	ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			n.Level = min(n.Level+headingsDown, 6)
		case *ast.RawHTML, *ast.HTMLBlock, *ast.Image:
			out = append(out, n)
		case *ast.Link:
			if !allowed(string(n.Destination)) {
				out = append(out, n)
			}
		case *ast.AutoLink:
			if !allowed(string(n.URL(src))) {
				out = append(out, n)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, n := range out {
		parent := n.Parent()
		if parent == nil {
			continue
		}
		switch n := n.(type) {
		case *ast.Link, *ast.Image:
			for c := n.FirstChild(); c != nil; {
				next := c.NextSibling()
				parent.InsertBefore(parent, n, c)
				c = next
			}
			parent.RemoveChild(parent, n)
		case *ast.HTMLBlock:
			p := ast.NewParagraph()
			var raw []byte
			for i := range n.Lines().Len() {
				l := n.Lines().At(i)
				raw = append(raw, l.Value(src)...)
			}
			p.AppendChild(p, ast.NewString(raw))
			parent.ReplaceChild(parent, n, p)
		case *ast.RawHTML:
			var raw []byte
			for i := range n.Segments.Len() {
				s := n.Segments.At(i)
				raw = append(raw, s.Value(src)...)
			}
			parent.ReplaceChild(parent, n, ast.NewString(raw))
		case *ast.AutoLink:
			parent.ReplaceChild(parent, n, ast.NewString(n.Label(src)))
		}
	}
}

// allowed reports whether a link stays a link.
func allowed(link string) bool {
	u, err := url.Parse(link)
	if err != nil {
		return false
	}
	switch u.Scheme {
	case "http", "https", "mailto":
		return true
	case "":
		return u.Host == ""
	}
	return false
}
