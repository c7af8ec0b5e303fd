package paper

import (
	"fmt"
	"strings"

	"ashbook/report/page/html"
)

// Cards are tasting cards for the eaters, four on a sheet, or two on A5.
type Cards struct {
	Title, Date string
	Traits      []string
	Leans       []bool // by trait: it can be too little or too much
}

// Render renders a sheet of cards for a size of paper.
func (c Cards) Render(size Size) []byte {
	var b strings.Builder
	cards, more := 4, ""
	if size.narrow() {
		cards, more = 2, ".cards{grid-template:1fr 1fr/1fr}.card{padding:4mm 7mm 3mm}.you,.word{margin:.5mm 0}.card tbody tr{height:6mm}"
	}
	open(&b, c.Title, size, more)
	b.WriteString(`<section class="sheet cards">`)
	for i := range cards {
		title := "h2"
		if i == 0 {
			title = "h1"
		}
		fmt.Fprintf(&b, `<div class="card"><header><%[1]s>%[2]s</%[1]s><p class="when">%[3]s</p></header><p class="you"><span>your initials <span class="box"></span><span class="box"></span></span> <small>First bite before the sauce,<br>no talking until all have marked.</small></p><table><thead><tr><td></td><td colspan="9" class="scale"><span><i>dislike it</i><i>neither</i><i>like it much</i></span></td><td>too</td></tr></thead><tbody>`,
			title, html.Text(c.Title), html.Text(c.Date))
		for k, t := range c.Traits {
			fmt.Fprintf(&b, `<tr><th scope="row">%s</th>`, html.Text(t))
			for n := 1; n <= 9; n++ {
				fmt.Fprintf(&b, "<td>%d</td>", n)
			}
			lean := ""
			if c.Leans[k] {
				lean = "little  much"
			}
			fmt.Fprintf(&b, `<td class="lean">%s</td></tr>`, lean)
		}
		b.WriteString(`</tbody></table><p class="word">in a word <span></span></p><p class="word"><span></span></p><p><small>Ring one number a line. Ring little or much only if it was wrong.</small></p></div>`)
	}
	b.WriteString("</section></main></body></html>\n")
	return []byte(b.String())
}
