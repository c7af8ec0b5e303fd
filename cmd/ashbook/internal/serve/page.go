package serve

import (
	"fmt"
	"html"
	"net/http"
	"strconv"
	"strings"

	"ashbook/report/page"
	pagehtml "ashbook/report/page/html"
)

// reloadEvery is how often the page of the cook reloads itself, in seconds.
const reloadEvery = 60

// look is added to the style sheet of every page: the five figures are large, and
// everything to touch is at least 48 px high.
const look = `
h1{font-size:1.5rem}
.five dl{columns:1}
.five dl>div{display:block;padding:.5rem 0}
.five dt{font-size:1rem}
.five dd{text-align:left;font-size:2rem;line-height:1.15;font-weight:600}
.five small{display:block;font-size:1rem;line-height:1.4;font-weight:400;color:var(--soft)}
form,.go{max-width:40rem;margin:1rem 0}
label{display:block;margin:.8rem 0}
input{display:block;width:100%;min-height:48px;font:inherit;font-size:1.2rem;padding:.4rem .6rem;color:inherit;background:var(--paper);border:1.5px solid var(--soft);border-radius:4px}
button,.go a{display:block;width:100%;min-height:48px;padding:.7rem;font:inherit;font-weight:700;font-size:1.1rem;text-align:center;text-decoration:none;color:var(--paper);background:var(--ink);border:1.5px solid var(--ink);border-radius:4px}
.go a{color:var(--ink);background:var(--paper)}
.five+.go{position:sticky;bottom:0;padding:.5rem 0;background:var(--paper)}
@media print{.go{display:none}}
.how{color:var(--soft);font-size:.95rem}
.heard{font-size:1.4rem;font-weight:600}
`

// show writes a page. reload is the number of seconds after which it reloads itself; 0
// means never, since somebody is typing.
func (h *Handler) show(w http.ResponseWriter, title, body string, reload int) error {
	if title == "" {
		title = "A note"
	}
	if reload > 0 {
		w.Header().Set("Refresh", strconv.Itoa(reload))
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, err := fmt.Fprintf(w, `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>%s</title><style>%s%s</style></head><body><main>
%s
</main><footer class="foot"><p>Plain http: whoever is on this network can read along. A forecast is a range, and no verdict on safety: your local food code decides.</p></footer></body></html>
`, pagehtml.Text(title), pagehtml.Style(), look, body)
	return err
}

// running returns the page of the cook, with a link to the form that is always visible.
func running(h *Handler, p page.Page) string {
	body := `<div class="five">` + string(pagehtml.Body(p)) + "</div>"
	if h.s.Read != nil {
		body += `<p class="go"><a href="` + h.notePath() + `">Write a note</a></p>`
	}
	return body
}

func link(path, words string) string { return `<p><a href="` + path + `">` + words + "</a></p>" }

func back(h *Handler) string {
	return `<p class="go"><a href="` + h.path + `">Back to the cook</a></p>`
}

// said returns the HTML of a sentence for the user.
func said(text string) string { return "<p><b>" + pagehtml.Text(text) + "</b></p>" }

// value returns typed text as it is written into an HTML attribute: escaped, so that
// the browser sends it back unchanged.
func value(s string) string { return html.EscapeString(page.Clean(s)) }

// noteForm returns the page with the form for the entry line.
func noteForm(h *Handler, line, through string) string {
	return "<h1>Write a note</h1>" + entry(h, line, through) + back(h)
}

// entry returns the form with the entry line.
func entry(h *Handler, line, through string) string {
	return `<form method="post" action="` + h.notePath() + `">` + hidden("token", h.form) +
		field("What was read or done", "line", line, longLine, "off") + grammar +
		field("Your name, which goes with the note", "through", through, longName, "nickname") +
		`<button type="submit">Show how it is understood</button></form>`
}

// grammar explains the entry line to a helper who has never seen it.
const grammar = `<p class="how">First the pit, then each core: <b>112 71</b>. Then what was done: <b>wood cherry</b>, <b>vent</b>, <b>fuel</b>, <b>lid</b>, <b>spritz</b>, <b>wrap paper</b>, <b>bark 2</b>. Words after two dashes: <b>112 71 vent -- pale on the left</b>.</p>`

func field(label, name, is string, longest int, fills string) string {
	return fmt.Sprintf(`<label>%s <input type="text" name="%s" value="%s" maxlength="%d" autocomplete="%s" autocapitalize="off" required></label>`, label, name, value(is), longest, fills)
}

func hidden(name, is string) string {
	return fmt.Sprintf(`<input type="hidden" name="%s" value="%s">`, name, value(is))
}

// understood returns how a line is understood, with a form to confirm it or type
// another.
func understood(h *Handler, id, line, through string, heard Heard) string {
	var b strings.Builder
	b.WriteString(`<h1>Is this right?</h1><p class="heard">` + pagehtml.Text(heard.Says) + "</p>")
	for _, l := range heard.Look {
		b.WriteString("<p>Look: " + pagehtml.Text(l) + "</p>")
	}
	b.WriteString(`<form method="post" action="` + h.notePath() + `">` + hidden("token", h.form) + hidden("save", id) +
		`<button type="submit">Save, noted by ` + pagehtml.Text(through) + "</button></form><h2>Or write it again</h2>" + entry(h, line, through) + back(h))
	return b.String()
}
