// Package serve shows the running cook to a phone: one page that reloads itself each
// minute and, if wanted, one form with the entry line. It refuses requests that do not
// have the secret path, use another host name, or come from another site.
package serve

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"mime"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"ashbook/journal/listen"
	"ashbook/report/page"
)

// Service is what the page shows and how it saves notes. Several goroutines may call
// its functions at once.
type Service struct {
	// View returns the page of the cook. over is true if the cook has ended; then there
	// is no page.
	View func(ctx context.Context) (p page.Page, over bool, err error)
	// Read reads an entry line without saving it. Nil: no notes are accepted.
	Read func(line string) (Heard, error)
	Now  func() time.Time
}

// Heard is an entry line as it is understood.
type Heard struct {
	Says string   // how the line is understood
	Look []string // warnings and questions
	// Save saves the line with the name of the person who noted it.
	Save func(through string) error
}

// Limits on requests (chosen: more than several helpers send).
const (
	tokenBits  = 128
	longest    = 4 << 10 // bytes of a form
	longLine   = 500     // characters of an entry line
	longName   = 40      // characters of a name
	mostAtOnce = 16      // requests answered at the same time
	mostForms  = 60      // forms a minute, from all helpers together
	mostNotes  = 12      // of those, notes saved
	mostHeard  = 32      // lines that were shown and are not confirmed yet
)

// Handler answers requests during one run of the program.
type Handler struct {
	s         Service
	host      string // the host name that a browser must send
	path      string // secret path, with its slashes
	form      string // secret in every form
	answering chan struct{}

	mu           sync.Mutex
	forms, notes minute
	heard        []waiting // oldest first
}

// waiting is a line that was read and shown. Its id can be used once.
type waiting struct {
	id, through string
	heard       Heard
}

// New returns a handler that answers for one host, "address:port".
func New(s Service, host string) *Handler {
	return &Handler{
		s: s, host: strings.TrimSuffix(host, ":80"), path: "/" + secret() + "/", form: secret(),
		answering: make(chan struct{}, mostAtOnce),
	}
}

// secret returns tokenBits random bits as text.
func secret() string {
	b := make([]byte, tokenBits/8)
	rand.Read(b) // crypto/rand never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

// Until answers requests on l until ctx is done or over, which it calls at each tick,
// returns true. It finishes running requests before it returns. ended is true if over
// did.
func (h *Handler) Until(ctx context.Context, l net.Listener, ticks <-chan time.Time, over func() (bool, error)) (ended bool, err error) {
	ctx, end := context.WithCancel(ctx)
	defer end()
	done := make(chan error, 1)
	go func() { done <- listen.Serve(ctx, l, h) }()
	for {
		select {
		case err := <-done:
			return false, err
		case <-ticks:
		}
		if over, err := over(); over && err == nil {
			end()
			return true, <-done
		}
	}
}

// URL returns the address of the page.
func (h *Handler) URL() string { return "http://" + h.host + h.path }

// notePath returns the path of the form.
func (h *Handler) notePath() string { return h.path + "note" }

// stillPath returns the path of the page that does not reload itself (WCAG 2.2, 2.2.1:
// users who need longer can turn it off).
func (h *Handler) stillPath() string { return h.path + "still" }

// refusal is why a request is refused.
type refusal struct {
	code int
	text string
}

func (r refusal) Error() string { return r.text }

func refuse(code int, text string) error { return refusal{code, text} }

// ServeHTTP checks everything before it answers.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	for name, value := range headers {
		head.Set(name, value)
	}
	select {
	case h.answering <- struct{}{}:
		defer func() { <-h.answering }()
	default:
		head.Set("Retry-After", "5")
		http.Error(w, "busy: try again", http.StatusServiceUnavailable)
		return
	}
	var no refusal
	switch err := h.answer(w, r); {
	case err == nil:
	case errors.As(err, &no):
		if no.code == http.StatusTooManyRequests {
			head.Set("Retry-After", "60")
		}
		if no.code == http.StatusRequestEntityTooLarge {
			head.Set("Connection", "close")
		}
		http.Error(w, no.text, no.code)
	default:
		http.Error(w, "the cook cannot be read", http.StatusInternalServerError)
	}
}

// headers are sent with every answer. The referrer stays on the page's own site, since
// a form that sends no referrer sends no origin either (Fetch Standard, "append a
// request Origin header").
var headers = map[string]string{
	"Cache-Control":           "no-store",
	"Referrer-Policy":         "same-origin",
	"X-Content-Type-Options":  "nosniff",
	"X-Frame-Options":         "DENY",
	"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
}

func (h *Handler) answer(w http.ResponseWriter, r *http.Request) error {
	origin := r.Header.Get("Origin")
	asked := r.URL.EscapedPath()
	note, still := same(asked, h.notePath()) && h.s.Read != nil, same(asked, h.stillPath())
	view := same(asked, h.path) || still
	switch {
	case !strings.EqualFold(r.Host, h.host):
		return refuse(http.StatusMisdirectedRequest, "that host name is not served here")
	case !view && !note:
		return refuse(http.StatusNotFound, "nothing here")
	case r.URL.RawQuery != "":
		return refuse(http.StatusBadRequest, "this page takes no query")
	case r.Method != http.MethodGet && !(note && r.Method == http.MethodPost):
		return refuse(http.StatusMethodNotAllowed, "this method is not answered here")
	case origin != "" && origin != "http://"+r.Host:
		return refuse(http.StatusForbidden, "the request did not come from this page")
	case r.Method == http.MethodPost:
		return h.post(w, r)
	case note:
		return h.show(w, "", noteForm(h, "", ""), 0)
	}
	p, over, err := h.s.View(r.Context())
	if err != nil {
		return err
	}
	if over {
		return refuse(http.StatusGone, "The cook is over.")
	}
	if still {
		return h.show(w, p.Title, running(h, p)+link(h.path, "Reload each minute"), 0)
	}
	return h.show(w, p.Title, running(h, p)+link(h.stillPath(), "Do not reload automatically"), reloadEvery)
}

// same compares a text with a secret in constant time.
func same(given, secret string) bool {
	return subtle.ConstantTimeCompare([]byte(given), []byte(secret)) == 1
}

// post handles a form: a line, for which it shows how it is understood, or the
// confirmation of a line that was shown.
func (h *Handler) post(w http.ResponseWriter, r *http.Request) error {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	site := r.Header.Get("Sec-Fetch-Site")
	switch {
	case r.Header.Get("Origin") == "", site != "" && site != "same-origin":
		return refuse(http.StatusForbidden, "the request did not come from this page")
	case kind != "application/x-www-form-urlencoded":
		return refuse(http.StatusUnsupportedMediaType, "not a form")
	case !h.allowed(&h.forms, mostForms):
		return refuse(http.StatusTooManyRequests, "too many at once: wait a minute")
	}
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	if err := r.ParseForm(); err != nil {
		return refuse(http.StatusRequestEntityTooLarge, "too long, or not a form")
	}
	if !same(r.PostForm.Get("token"), h.form) {
		return refuse(http.StatusForbidden, "the request did not come from this page: load the page again")
	}
	if id := r.PostForm.Get("save"); id != "" {
		return h.save(w, r, id)
	}
	line, through := strings.TrimSpace(r.PostForm.Get("line")), strings.TrimSpace(r.PostForm.Get("through"))
	if utf8.RuneCountInString(line) > longLine || utf8.RuneCountInString(through) > longName || strings.ContainsAny(line+through, "\r\n\x00") {
		return refuse(http.StatusBadRequest, "the name is too long, or has more than one line")
	}
	if line == "" || through == "" {
		return h.show(w, "", noteForm(h, line, through)+said("Write a line, and your name."), 0)
	}
	heard, err := h.s.Read(line)
	if err != nil {
		return h.show(w, "", noteForm(h, line, through)+said(err.Error()), 0)
	}
	return h.show(w, "", understood(h, h.hold(heard, through), line, through, heard), 0)
}

// hold stores a line until it is confirmed, and returns its id.
func (h *Handler) hold(heard Heard, through string) string {
	h.mu.Lock()
	defer h.mu.Unlock()
	w := waiting{secret(), through, heard}
	h.heard = append(h.heard, w)
	h.heard = h.heard[max(0, len(h.heard)-mostHeard):]
	return w.id
}

// save saves a line that was shown, once.
func (h *Handler) save(w http.ResponseWriter, r *http.Request, id string) error {
	line, ok := h.take(id)
	switch {
	case !ok:
		return h.show(w, "", "<h1>Not saved</h1>"+said("That line was saved already, or is too old. Look at the last notes.")+back(h), 0)
	case !h.allowed(&h.notes, mostNotes):
		return refuse(http.StatusTooManyRequests, "too many notes at once: wait a minute")
	}
	if err := line.heard.Save(line.through); err != nil {
		return h.show(w, "", "<h1>Not saved</h1>"+said(err.Error())+back(h), 0)
	}
	http.Redirect(w, r, h.path, http.StatusSeeOther)
	return nil
}

func (h *Handler) take(id string) (waiting, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for i, w := range h.heard {
		if same(id, w.id) {
			h.heard = append(h.heard[:i:i], h.heard[i+1:]...)
			return w, true
		}
	}
	return waiting{}, false
}

// minute has the times of events within the last minute.
type minute []time.Time

// allowed counts one more event and returns true, unless there were already most events
// in the last minute.
func (h *Handler) allowed(m *minute, most int) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	now := h.s.Now()
	for len(*m) > 0 && now.Sub((*m)[0]) >= time.Minute {
		*m = (*m)[1:]
	}
	if len(*m) >= most {
		return false
	}
	*m = append(*m, now)
	return true
}
