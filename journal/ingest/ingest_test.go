package ingest

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"ashbook/journal"
	"ashbook/journal/listen"
)

const token = "a-token-of-the-hall"

var now = time.Date(2026, 9, 19, 1, 8, 0, 0, time.FixedZone("", 3600))

// kept collects the readings that a handler saved.
type kept struct {
	mu    sync.Mutex
	rows  []string
	fails error
	told  []error
}

func (k *kept) keep(s journal.Series) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.fails != nil {
		return k.fails
	}
	text := s.Times[0].Format("15:04:05")
	if s.Pit != nil {
		text += fmt.Sprintf(" %.4g", s.Pit[0])
	}
	for _, c := range s.Cores {
		text += fmt.Sprintf(" %s=%.4g", c.Piece, c.C[0])
	}
	k.rows = append(k.rows, text)
	return nil
}

func (k *kept) options() Options {
	return Options{
		Token: token, Now: func() time.Time { return now }, Zone: now.Location(), Pieces: []string{"large", "small"},
		Earliest: now.AddDate(0, 0, -3), Latest: now.AddDate(0, 0, 3), Keep: k.keep,
		Tell: func(err error) { k.told = append(k.told, err) },
	}
}

// start runs a server on a free local port. It returns the address and a function that
// stops it.
func start(t *testing.T, opt Options) (addr string, end func() error) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- listen.Serve(ctx, l, New(opt)) }()
	return l.Addr().String(), func() error { cancel(); return <-ended }
}

type try struct {
	method, path, auth, kind, host string
	body                           io.Reader
}

func post(body string) try {
	return try{http.MethodPost, Path, "Bearer " + token, "application/json", "", strings.NewReader(body)}
}

func (c try) send(t *testing.T, addr string) (int, answer, http.Header) {
	t.Helper()
	r, err := http.NewRequest(c.method, "http://"+addr+c.path, c.body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", c.kind)
	if c.auth != "" {
		r.Header.Set("Authorization", c.auth)
	}
	r.Host = c.host
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var a answer
	if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, a, resp.Header
}

func TestReadings(t *testing.T) {
	var k kept
	addr, end := start(t, k.options())
	for _, tt := range []struct {
		body, row, kept, silent string
	}{
		{`{"time": "2026-09-19T01:04:30+01:00", "pit_c": 112.5, "core_large_c": 71}`, "01:04:30 112.5 large=71", "[core_large_c pit_c]", "[]"},
		{`{"pit_f": 212, "core_SMALL_f": 32}`, "01:08:00 100 small=0", "[core_SMALL_f pit_f]", "[]"},
		{`{"pit_c": 112, "core_large_c": null, "core_small_c": -200}`, "01:08:00 112", "[pit_c]", "[core_large_c core_small_c]"},
	} {
		k.rows = nil
		code, a, _ := post(tt.body).send(t, addr)
		if code != 200 || strings.Join(k.rows, "|") != tt.row || fmt.Sprint(a.Kept) != tt.kept || fmt.Sprint(a.Silent) != tt.silent {
			t.Errorf("%s: %d %+v %q", tt.body, code, a, k.rows)
		}
	}
	if err := end(); err != nil {
		t.Error(err)
	}
}

func TestRefusals(t *testing.T) {
	var k kept
	addr, end := start(t, k.options())
	defer end()
	good := `{"pit_c": 112}`
	with := func(change func(*try)) try {
		c := post(good)
		change(&c)
		return c
	}
	for _, tt := range []struct {
		name string
		try  try
		code int
		text string
	}{
		{"no token", with(func(c *try) { c.auth = "" }), 401, "token missing"},
		{"a wrong token", with(func(c *try) { c.auth = "Bearer nearly" }), 401, "token missing or wrong"},
		{"no scheme", with(func(c *try) { c.auth = token }), 401, "token missing or wrong"},
		{"another scheme", with(func(c *try) { c.auth = "Basic " + token }), 401, "token missing or wrong"},
		{"reading it", with(func(c *try) { c.method, c.body = http.MethodGet, nil }), 405, "expected POST"},
		{"asking first, as a browser does", with(func(c *try) { c.method, c.body = http.MethodOptions, nil }), 405, "expected POST"},
		{"a form", with(func(c *try) { c.kind = "application/x-www-form-urlencoded" }), 415, "expected application/json"},
		{"text, which a page of another may post", with(func(c *try) { c.kind = "text/plain" }), 415, "expected application/json"},
		{"elsewhere", with(func(c *try) { c.path = "/" }), 404, "expected /reading"},
		{"another's name", with(func(c *try) { c.host = "rebound.example" }), 421, "not a name of this machine"},
		{"another's name and our port", with(func(c *try) { c.host = "rebound.example:80" }), 421, "not a name of this machine"},
		{"another address", with(func(c *try) { c.host = "192.0.2.1" }), 421, "not a name of this machine"},
		{"10 MB, said", with(func(c *try) { c.body = bytes.NewReader(make([]byte, 10<<20)) }), 413, "body of 10485760 bytes: expected at most 4096"},
		{"10 MB, not said", with(func(c *try) { c.body = io.LimitReader(zeros{}, 10<<20) }), 413, "expected at most 4096"},
		{"garbage", post("\x00\xff{"), 400, "expected one JSON object"},
		{"nothing", post(""), 400, "expected one JSON object"},
		{"null", post("null"), 400, "expected one JSON object"},
		{"a list", post("[" + good + "]"), 400, "expected one JSON object"},
		{"two", post(good + good), 400, "expected one JSON object"},
		{"deep", post(`{"pit_c":` + strings.Repeat("[", 2000)), 400, "expected one JSON object"},
		{"not a number", post(`{"pit_c": "112"}`), 400, "pit_c: expected a number"},
		{"not a time", post(`{"time": "soon", "pit_c": 1}`), 400, `"soon"`},
		{"a number for a time", post(`{"time": 5, "pit_c": 1}`), 400, "time: expected text"},
		{"an unknown key", post(`{"\u001b]0;x": 1}`), 400, `key "\x1b]0;x": expected time, pit_c`},
		{"an unknown piece", post(`{"core_huge_c": 1}`), 400, "expected the name of one of the pieces: large, small"},
		{"no piece", post(`{"core_c": 1}`), 400, "expected the name of one of the pieces: large, small"},
		{"twice", post(`{"pit_c": 1, "pit_f": 1}`), 400, "there twice"},
		{"no reading", post(`{"time": "2026-09-19T01:04+01:00"}`), 422, "no reading in it"},
		{"ahead of the clock", post(`{"time": "2026-09-19T01:24+01:00", "pit_c": 1}`), 400, "ahead of this machine's clock"},
		{"only what no probe reads", post(`{"pit_c": 1e300}`), 422, "no reading in it"},
		{"another year", post(`{"time": "1970-01-01T00:00Z", "pit_c": 1}`), 422, "expected a day of the cook"},
	} {
		code, a, head := tt.try.send(t, addr)
		if code != tt.code || !strings.Contains(a.Error, tt.text) {
			t.Errorf("%s: %d %q, want %d %q", tt.name, code, a.Error, tt.code, tt.text)
		}
		if head.Get("Content-Type") != "application/json" || head.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: %v", tt.name, head)
		}
	}
	if len(k.rows) > 0 {
		t.Errorf("kept %q", k.rows)
	}
	// RFC 9110, sections 11.6.1 and 15.5.6, require these header fields in these
	// responses.
	if _, _, head := with(func(c *try) { c.auth = "" }).send(t, addr); head.Get("WWW-Authenticate") != "Bearer" {
		t.Error("no WWW-Authenticate")
	}
	if _, _, head := with(func(c *try) { c.method, c.body = http.MethodGet, nil }).send(t, addr); head.Get("Allow") != "POST" {
		t.Error("no Allow")
	}
	k.fails = errors.New("disk full")
	if code, a, head := post(good).send(t, addr); code != 503 || strings.Contains(a.Error, "disk") || head.Get("Retry-After") == "" || len(k.told) != 1 {
		t.Errorf("%d %+v %v", code, a, k.told)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestNamesOfThisMachine(t *testing.T) {
	for host, want := range map[string][2]bool{ // loopback only, anywhere
		"localhost": {true, true}, "LOCALHOST:8787": {true, true}, "127.0.0.1:1": {true, true}, "127.8.8.8": {true, true}, "[::1]:80": {true, true}, "[::1]": {true, true},
		"192.0.2.1:80": {false, true}, "hall.local:80": {false, true}, "localhost.example": {false, false}, "127.0.0.1.example": {false, false}, "": {false, false}, "evil@localhost": {false, false},
	} {
		own := handler{}
		all := handler{Options: Options{Anywhere: true, Names: []string{"hall.local"}}}
		if got := [2]bool{own.here(host), all.here(host)}; got != want {
			t.Errorf("%q: %v, want %v", host, got, want)
		}
	}
}

// A reading being received when the server stops is still saved and answered.
func TestEndKeepsWhatIsUnderWay(t *testing.T) {
	var k kept
	opt := k.options()
	reached, goOn := make(chan bool), make(chan bool)
	opt.Keep = func(s journal.Series) error {
		reached <- true
		<-goOn
		return k.keep(s)
	}
	addr, end := start(t, opt)
	answered := make(chan int, 1)
	go func() {
		code, _, _ := post(`{"pit_c": 112}`).send(t, addr)
		answered <- code
	}()
	<-reached
	ended := make(chan error, 1)
	go func() { ended <- end() }()
	for {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			break
		}
		c.Close()
	}
	goOn <- true
	if code, err := <-answered, <-ended; code != 200 || err != nil || len(k.rows) != 1 {
		t.Errorf("%d %v %q", code, err, k.rows)
	}
}

// pipes is a listener whose connections stay inside this process.
type pipes struct {
	conns chan net.Conn
	once  sync.Once
	done  chan bool
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipes) Close() error   { p.once.Do(func() { close(p.done) }); return nil }
func (p *pipes) Addr() net.Addr { return &net.TCPAddr{} }

// A client that stops in the middle of a request is disconnected. The test's own clock
// decides when.
func TestSlowClients(t *testing.T) {
	for name, text := range map[string]string{
		"header": "POST /reading HTTP/1.1\r\nHost: localhost\r\n",
		"body": "POST /reading HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer " + token +
			"\r\nContent-Type: application/json\r\nContent-Length: 14\r\n\r\n{\"pit",
	} {
		synctest.Test(t, func(t *testing.T) {
			var k kept
			p := &pipes{conns: make(chan net.Conn), done: make(chan bool)}
			ctx, cancel := context.WithCancel(t.Context())
			ended := make(chan error, 1)
			go func() { ended <- listen.Serve(ctx, p, New(k.options())) }()
			ours, theirs := net.Pipe()
			p.conns <- theirs
			began := time.Now()
			if _, err := io.WriteString(ours, text); err != nil {
				t.Fatal(err)
			}
			io.Copy(io.Discard, bufio.NewReader(ours))
			if took := time.Since(began); took > listen.ReadTime {
				t.Errorf("%s: hung up after %v", name, took)
			}
			ours.Close()
			cancel()
			if err := <-ended; err != nil || len(k.rows) > 0 {
				t.Errorf("%s: %v %q", name, err, k.rows)
			}
		})
	}
}
