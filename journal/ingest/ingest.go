// Package ingest receives probe readings over HTTP, one JSON object per request. It
// answers only once the reading is saved.
//
// It is meant for a program of the user that reads their probes; nobody else may write.
// So it requires a token. It refuses web pages open in a browser by requiring a content
// type that no HTML form sends, and by refusing host names other than this machine's.
// Size, time and number of requests are limited.
package ingest

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"time"

	"ashbook/journal"
	"ashbook/journal/measure"
	"ashbook/journal/probefile"
	"ashbook/journal/series"
)

// Path is the URL path that readings are posted to.
const Path = "/reading"

// MaxBody is the longest request body accepted, in bytes (chosen: room for a hundred
// pieces).
const MaxBody = 4 << 10

// Options are what a handler needs. All are required except Names and Anywhere.
type Options struct {
	Token    string
	Anywhere bool     // accept requests from other machines too
	Names    []string // host names of this machine besides its addresses
	Now      func() time.Time
	Zone     *time.Location
	Pieces   []string // names of the cook's pieces
	// Earliest and Latest are the first and last time accepted for a reading.
	Earliest, Latest time.Time
	// Keep saves a reading. It returns once the reading is on disk.
	Keep func(journal.Series) error
	// Tell is called with the error when a reading could not be saved.
	Tell func(error)
}

// answer is the JSON body of every response.
type answer struct {
	Time string   `json:"time,omitempty"`
	Kept []string `json:"kept,omitempty"`
	// keys without a usable value: null, or outside the range of a probe
	Silent []string `json:"silent,omitempty"`
	Error  string   `json:"error,omitempty"`
}

// refusal is an error with the HTTP status to answer. Nothing was saved.
type refusal struct {
	code int
	text string
}

func (r *refusal) Error() string { return r.text }

func refuse(code int, format string, args ...any) *refusal {
	return &refusal{code, fmt.Sprintf(format, args...)}
}

type handler struct {
	Options
	token [sha256.Size]byte
}

// New returns the handler.
func New(opt Options) http.Handler {
	return &handler{opt, sha256.Sum256([]byte(opt.Token))}
}

func (h *handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	got, err := h.reading(w, r)
	code := http.StatusOK
	var no *refusal
	if errors.As(err, &no) {
		code, got = no.code, answer{Error: no.text}
	}
	head := w.Header()
	head.Set("Content-Type", "application/json")
	head.Set("Cache-Control", "no-store")
	head.Set("X-Content-Type-Options", "nosniff")
	switch code {
	case http.StatusUnauthorized:
		head.Set("WWW-Authenticate", "Bearer")
	case http.StatusMethodNotAllowed:
		head.Set("Allow", http.MethodPost)
	case http.StatusServiceUnavailable:
		head.Set("Retry-After", "5")
	case http.StatusRequestEntityTooLarge:
		head.Set("Connection", "close")
	}
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(got)
}

// reading handles one request.
func (h *handler) reading(w http.ResponseWriter, r *http.Request) (answer, error) {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	switch {
	case !h.here(r.Host):
		return answer{}, refuse(http.StatusMisdirectedRequest, "host %q: not a name of this machine", r.Host)
	case r.URL.Path != Path:
		return answer{}, refuse(http.StatusNotFound, "path %q: expected %s", r.URL.Path, Path)
	case r.Method != http.MethodPost:
		return answer{}, refuse(http.StatusMethodNotAllowed, "method %s: expected POST", r.Method)
	case !h.knows(r.Header.Get("Authorization")):
		return answer{}, refuse(http.StatusUnauthorized, "token missing or wrong: expected Authorization: Bearer TOKEN")
	case kind != "application/json":
		return answer{}, refuse(http.StatusUnsupportedMediaType, "content type %q: expected application/json", r.Header.Get("Content-Type"))
	case r.ContentLength > MaxBody:
		return answer{}, refuse(http.StatusRequestEntityTooLarge, "body of %d bytes: expected at most %d", r.ContentLength, MaxBody)
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, MaxBody))
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return answer{}, refuse(http.StatusRequestEntityTooLarge, "body: expected at most %d bytes", MaxBody)
	}
	if err != nil {
		return answer{}, refuse(http.StatusBadRequest, "body: not read to its end")
	}
	rows, got, err := h.parse(body)
	if err != nil {
		return answer{}, err
	}
	if err := h.Keep(rows); err != nil {
		h.Tell(err)
		return answer{}, refuse(http.StatusServiceUnavailable, "reading not saved: try again")
	}
	return got, nil
}

// here reports whether host names this machine: a loopback address (any address if
// Anywhere is set), localhost, or one of Names. Any other name is refused, since a web
// page could make its own host name resolve to this machine and then post readings.
func (h *handler) here(host string) bool {
	name := strings.ToLower(host)
	if n, _, err := net.SplitHostPort(name); err == nil {
		name = n
	}
	name = strings.TrimSuffix(name, ".")
	if a, err := netip.ParseAddr(strings.Trim(name, "[]")); err == nil {
		return a.IsLoopback() || h.Anywhere
	}
	return name == "localhost" || slices.Contains(h.Names, name)
}

// knows reports whether the Authorization header has the token. It compares in constant
// time.
func (h *handler) knows(auth string) bool {
	scheme, token, _ := strings.Cut(auth, " ")
	sum := sha256.Sum256([]byte(strings.TrimSpace(token)))
	same := subtle.ConstantTimeCompare(sum[:], h.token[:]) == 1
	return same && strings.EqualFold(scheme, "Bearer")
}

// parse reads a request body. Its errors are refusals.
func (h *handler) parse(body []byte) (journal.Series, answer, error) {
	fail := func(format string, args ...any) (journal.Series, answer, error) {
		return journal.Series{}, answer{}, refuse(http.StatusBadRequest, format, args...)
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(body, &keys); err != nil || keys == nil {
		return fail(`body: expected one JSON object such as {"pit_c": 112.5, "core_c": 71}`)
	}
	s := journal.Series{Times: []time.Time{h.Now().In(h.Zone)}}
	var out answer
	names := make([]string, 0, len(keys))
	for k := range keys {
		names = append(names, k)
	}
	slices.Sort(names)
	for _, name := range names {
		value := keys[name]
		if name == "time" {
			var text string
			if err := json.Unmarshal(value, &text); err != nil {
				return fail("time: expected text such as \"2026-09-19T01:04:30+01:00\"")
			}
			t, err := journal.ParseTime(text)
			if err != nil {
				return fail("%v", err)
			}
			if now := h.Now(); t.After(now.Add(probefile.MostAhead)) {
				return fail("time %q: more than %d min ahead of this machine's clock, %s", text, int(probefile.MostAhead.Minutes()), now.In(h.Zone).Format(measure.Clock))
			}
			s.Times[0] = t.In(h.Zone)
			continue
		}
		c, ok := series.ParseColumn(name)
		if !ok {
			return fail("key %q: expected time, pit_c, core_c or core_NAME_c, or _f for °F", name)
		}
		piece, err := h.piece(c)
		if err != nil {
			return fail("key %q: %v", name, err)
		}
		var v *float64
		if err := json.Unmarshal(value, &v); err != nil {
			return fail("%s: expected a number, or null", name)
		}
		if v != nil && c.Fahrenheit {
			*v = measure.Degrees(0, measure.US).Unit.Base(*v)
		}
		if v == nil || !probefile.InRange(*v) {
			out.Silent = append(out.Silent, name)
			continue
		}
		if c.Pit {
			if s.Pit != nil {
				return fail("key %q: the pit is there twice", name)
			}
			s.Pit = []float64{*v}
		} else {
			if slices.ContainsFunc(s.Cores, func(o journal.CoreSeries) bool { return o.Piece == piece }) {
				return fail("key %q: that core is there twice", name)
			}
			s.Cores = append(s.Cores, journal.CoreSeries{Piece: piece, C: []float64{*v}})
		}
		out.Kept = append(out.Kept, name)
	}
	if len(out.Kept) == 0 {
		return journal.Series{}, answer{}, refuse(http.StatusUnprocessableEntity, "no reading in it: expected pit_c, core_c or core_NAME_c between %.0f and %.0f °C", probefile.Coldest, probefile.Hottest)
	}
	if at := s.Times[0]; at.Before(h.Earliest) || at.After(h.Latest) {
		return journal.Series{}, answer{}, refuse(http.StatusUnprocessableEntity, "time %s: expected a day of the cook, %s to %s", journal.FormatTime(at), h.Earliest.Format("2006-01-02"), h.Latest.Format("2006-01-02"))
	}
	out.Time = journal.FormatTime(s.Times[0])
	return s, out, nil
}

// piece returns the name of the piece whose core the column is, or "" for the pit and
// for the only piece. It fails for the name of no piece.
func (h *handler) piece(c series.Column) (string, error) {
	if c.Pit || len(h.Pieces) < 2 && (c.Piece == "" || len(h.Pieces) == 0 || strings.EqualFold(c.Piece, h.Pieces[0])) {
		return "", nil
	}
	for _, p := range h.Pieces {
		if strings.EqualFold(p, c.Piece) {
			return p, nil
		}
	}
	return "", fmt.Errorf("expected the name of one of the pieces: %s", strings.Join(h.Pieces, ", "))
}
