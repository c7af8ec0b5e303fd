package serve

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"ashbook/journal/listen"
	"ashbook/report/page"
)

// served is a service on this machine, and what was saved through it.
type served struct {
	*Handler
	addr string

	mu    sync.Mutex
	saved []string
}

func start(t *testing.T, notes bool) *served {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	k := &served{addr: l.Addr().String()}
	at := time.Date(2026, 9, 19, 1, 0, 0, 0, time.UTC)
	s := Service{
		View: func(context.Context) (page.Page, bool, error) {
			return page.Page{Title: "Harvest <b>supper"}, false, nil
		},
		Now: func() time.Time { return at },
	}
	if notes {
		s.Read = func(line string) (Heard, error) {
			if line == "bad" {
				return Heard{}, fmt.Errorf("column 1: %q", line)
			}
			return Heard{Says: "understood " + line, Look: []string{"odd"}, Save: func(through string) error {
				k.mu.Lock()
				defer k.mu.Unlock()
				k.saved = append(k.saved, line+" by "+through)
				return nil
			}}, nil
		}
	}
	k.Handler = New(s, k.addr)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- listen.Serve(ctx, l, k.Handler) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return k
}

// get and post return valid requests, as a browser sends them.
func (k *served) get(path string) string {
	return "GET " + path + " HTTP/1.1\r\nHost: " + k.addr + "\r\nConnection: close\r\n\r\n"
}

func (k *served) post(form url.Values) string {
	body := form.Encode()
	return fmt.Sprintf("POST %s HTTP/1.1\r\nHost: %s\r\nOrigin: http://%[2]s\r\nSec-Fetch-Site: same-origin\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\nConnection: close\r\n\r\n%s", k.notePath(), k.addr, len(body), body)
}

func (k *served) line() url.Values {
	return url.Values{"token": {k.form}, "line": {"112 71 °C <b>"}, "through": {"Jo"}}
}

// ask sends text unchanged and returns the answer; code 0 for none.
func ask(t *testing.T, addr, text string) (code int, body string) {
	code, body, _ = asked(t, addr, text)
	return code, body
}

// asked is ask that also returns the headers.
func asked(t *testing.T, addr, text string) (code int, body string, head http.Header) {
	t.Helper()
	c, err := net.Dial("tcp", addr)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	io.WriteString(c, text) // the server may refuse before it has read everything
	r, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, "", nil
	}
	data, _ := io.ReadAll(r.Body)
	for _, name := range []string{"Content-Security-Policy", "Cache-Control", "X-Frame-Options"} {
		if r.StatusCode == http.StatusOK && r.Header.Get(name) == "" {
			t.Errorf("no %s", name)
		}
	}
	return r.StatusCode, string(data), r.Header
}

// between returns the text between two others.
func between(s, from, to string) string {
	_, s, _ = strings.Cut(s, from)
	s, _, _ = strings.Cut(s, to)
	return s
}

// A line is shown as it is understood, and saved once, with the name of its writer.
func TestNote(t *testing.T) {
	k := start(t, true)
	code, body, head := asked(t, k.addr, k.get(k.path))
	if code != 200 || !strings.Contains(body, "<h1>Harvest &lt;b&gt;supper</h1>") || head.Get("Refresh") != "60" || strings.Contains(body, "<form") {
		t.Fatalf("%d %s", code, body)
	}
	for path, want := range map[string]string{k.notePath(): "<form", k.stillPath(): "Harvest"} {
		if code, body, head = asked(t, k.addr, k.get(path)); code != 200 || !strings.Contains(body, want) || head.Get("Refresh") != "" {
			t.Fatalf("%s: %d %s", path, code, body)
		}
	}
	code, body = ask(t, k.addr, k.post(k.line()))
	if code != 200 || !strings.Contains(body, "understood 112 71\u00a0°C &lt;b&gt;") || !strings.Contains(body, "Look: odd") || !strings.Contains(body, `value="112 71 °C &lt;b&gt;"`) || len(k.saved) > 0 {
		t.Fatalf("%d %s, saved %q", code, body, k.saved)
	}
	yes := url.Values{"token": {k.form}, "save": {between(body, `name="save" value="`, `"`)}}
	if code, _ = ask(t, k.addr, k.post(yes)); code != http.StatusSeeOther || len(k.saved) != 1 || k.saved[0] != "112 71 °C <b> by Jo" {
		t.Fatalf("%d, saved %q", code, k.saved)
	}
	if code, body = ask(t, k.addr, k.post(yes)); code != 200 || !strings.Contains(body, "saved already") || len(k.saved) != 1 {
		t.Errorf("a second yes: %d %s, saved %q", code, body, k.saved)
	}
	bad := k.line()
	bad.Set("line", "bad")
	if code, body = ask(t, k.addr, k.post(bad)); code != 200 || !strings.Contains(body, "column 1") || !strings.Contains(body, `value="bad"`) {
		t.Errorf("a line that cannot be read: %d %s", code, body)
	}
}

// Bad requests, each a valid one with one fault, are refused. Nothing is saved, no
// secret is sent, and the service goes on.
func TestBadRequests(t *testing.T) {
	k, quiet := start(t, true), start(t, false)
	n := 0
	refused := func(name string, k *served, text string) {
		n++
		code, body := ask(t, k.addr, text)
		if code > 0 && code < 400 || strings.Contains(body, "Harvest") || strings.Contains(body, k.path[1:20]) || strings.Contains(body, k.form) {
			t.Errorf("%s: %d %s", name, code, body)
		}
	}
	token := strings.Trim(k.path, "/")
	for _, path := range []string{"/", "*", "/x/", "/" + token, k.path + "x", k.path + "note/", k.path + "../" + token + "/", "/" + k.path, strings.ToUpper(k.path), "/" + token[:20] + "/", "/%2e%2e" + k.path, "/./" + token + "/", "/favicon.ico", "/.git/config", k.path + "?line=off", k.path + "note?save=1", "http://evil.example" + k.path} {
		refused("path "+path, k, k.get(path))
	}
	for _, host := range []string{"", "evil.example", "evil.example:8080", "127.0.0.1", "127.0.0.1:80", "localhost" + k.addr[strings.Index(k.addr, ":"):], k.addr + ".evil.example", k.addr + "@evil.example", "[::1]", k.addr + "\r\nHost: " + k.addr} {
		refused("host "+host, k, strings.Replace(k.get(k.path), k.addr, host, 1))
	}
	good := k.post(k.line())
	for _, origin := range []string{"http://evil.example", "https://" + k.addr, "http://127.0.0.1", "file://", "null", "http://" + k.addr + ".evil.example", "http://" + k.addr + "/", ""} {
		refused("origin "+origin, k, strings.Replace(good, "Origin: http://"+k.addr, "Origin: "+origin, 1))
	}
	refused("no origin", k, strings.Replace(good, "Origin: ", "X-Origin: ", 1))
	refused("read by another site", k, strings.Replace(k.get(k.path), "Connection", "Origin: http://evil.example\r\nConnection", 1))
	for _, method := range []string{"PUT", "DELETE", "HEAD", "OPTIONS", "TRACE", "PATCH", "CONNECT", "BREW", "get"} {
		refused(method, k, strings.Replace(k.get(k.path), "GET", method, 1))
	}
	refused("a form sent to the page", k, strings.Replace(good, k.notePath(), k.path, 1))
	refused("notes where none are taken", quiet, quiet.post(quiet.line()))
	refused("the form where no notes are taken", quiet, quiet.get(quiet.notePath()))
	for name, change := range map[string]func(url.Values){
		"no token":          func(v url.Values) { v.Del("token") },
		"the path as token": func(v url.Values) { v.Set("token", token) },
		"half a token":      func(v url.Values) { v.Set("token", k.form[:10]) },
		"a long line":       func(v url.Values) { v.Set("line", strings.Repeat("x", longLine+1)) },
		"a long name":       func(v url.Values) { v.Set("through", strings.Repeat("x", longName+1)) },
		"two lines":         func(v url.Values) { v.Set("line", "a\n- 2026-01-01 off") },
		"too much":          func(v url.Values) { v.Set("line", strings.Repeat("x", longest)) },
	} {
		form := k.line()
		change(form)
		refused(name, k, k.post(form))
	}
	for name, change := range map[string][2]string{
		"json":              {"application/x-www-form-urlencoded", "application/json"},
		"a file":            {"application/x-www-form-urlencoded", "multipart/form-data; boundary=x"},
		"another site":      {"same-origin", "cross-site"},
		"a cookie":          {"token=", "cookie="},
		"two lengths":       {"Content-Length", "Content-Length: 1\r\nContent-Length"},
		"no HTTP":           {"HTTP/1.1", "SMTP"},
		"a header of 16 kB": {"Connection: close", "Connection: close\r\nX: " + strings.Repeat("x", 16<<10)},
	} {
		refused(name, k, strings.Replace(good, change[0], change[1], 1))
	}
	if n < 40 {
		t.Errorf("only %d bad requests", n)
	}
	t.Logf("%d bad requests", n)
	if len(k.saved) > 0 {
		t.Errorf("saved %q", k.saved)
	}
	if code, _ := ask(t, k.addr, k.get(k.path)); code != 200 {
		t.Errorf("afterwards it answers %d", code)
	}
}

// More notes and forms than a minute allows are refused.
func TestTooMany(t *testing.T) {
	k := start(t, true)
	refusedOf := func(n int, form func() url.Values) (refused int) {
		for range n {
			if code, _ := ask(t, k.addr, k.post(form())); code == http.StatusTooManyRequests {
				refused++
			}
		}
		return refused
	}
	if n := refusedOf(mostNotes+2, func() url.Values {
		_, body := ask(t, k.addr, k.post(k.line()))
		return url.Values{"token": {k.form}, "save": {between(body, `name="save" value="`, `"`)}}
	}); n != 2 || len(k.saved) != mostNotes {
		t.Errorf("%d notes refused, %d saved", n, len(k.saved))
	}
	if n := refusedOf(mostForms, k.line); n != 2*(mostNotes+2) {
		t.Errorf("%d forms refused after %d", n, 2*(mostNotes+2))
	}
}

// Requests beyond the number answered at the same time are refused, and the others
// answered.
func TestParallel(t *testing.T) {
	k := start(t, false)
	inside, release := make(chan struct{}), make(chan struct{})
	k.s.View = func(context.Context) (page.Page, bool, error) {
		inside <- struct{}{}
		<-release
		return page.Page{Title: "Harvest"}, false, nil
	}
	var all sync.WaitGroup
	for range mostAtOnce {
		all.Go(func() {
			if code, _ := ask(t, k.addr, k.get(k.path)); code != http.StatusOK {
				t.Errorf("one of those answered: %d", code)
			}
		})
	}
	for range mostAtOnce {
		<-inside
	}
	for range 5 {
		if code, _ := ask(t, k.addr, k.get(k.path)); code != http.StatusServiceUnavailable {
			t.Errorf("one too many: %d", code)
		}
	}
	close(release)
	all.Wait()
}

// A connection beyond the limit is closed at once. When one ends, the next is answered.
func TestMostOpen(t *testing.T) {
	k := start(t, false)
	open := make([]net.Conn, listen.MostOpen)
	for i := range open {
		c, err := net.Dial("tcp", k.addr)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		io.WriteString(c, strings.Replace(k.get(k.path), "Connection: close", "Connection: keep-alive", 1))
		if r, err := http.ReadResponse(bufio.NewReader(c), nil); err != nil || r.StatusCode != http.StatusOK {
			t.Fatalf("connection %d: %v", i, err)
		}
		open[i] = c
	}
	if code, _ := ask(t, k.addr, k.get(k.path)); code != 0 {
		t.Errorf("one too many: %d", code)
	}
}

// slow is a client that sends the start of a request and nothing more. Its connection
// ends only by the server's time limit.
type slow struct {
	net.Conn
	text io.Reader

	mu     sync.Mutex
	within time.Duration // the longest that the server waits
	ended  chan struct{}
}

func (s *slow) SetReadDeadline(t time.Time) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !t.IsZero() {
		s.within = max(s.within, time.Until(t))
	}
	return nil
}

func (s *slow) Read(b []byte) (int, error) {
	if n, err := s.text.Read(b); err == nil {
		return n, nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.within == 0 {
		<-s.ended // without a limit this never ends, and the test fails
	}
	return 0, os.ErrDeadlineExceeded
}

func (s *slow) Write(b []byte) (int, error)    { return len(b), nil }
func (s *slow) SetDeadline(t time.Time) error  { return s.SetReadDeadline(t) }
func (*slow) SetWriteDeadline(time.Time) error { return nil }
func (*slow) RemoteAddr() net.Addr             { return &net.TCPAddr{} }
func (*slow) LocalAddr() net.Addr              { return &net.TCPAddr{} }
func (s *slow) Close() error                   { close(s.ended); return nil }

// one is a listener with one connection.
type one struct{ conns chan net.Conn }

func (o one) Accept() (net.Conn, error) {
	if c, ok := <-o.conns; ok {
		return c, nil
	}
	return nil, net.ErrClosed
}
func (o one) Close() error   { close(o.conns); return nil }
func (o one) Addr() net.Addr { return &net.TCPAddr{} }

// A client that stops sending is disconnected: in the headers within listen.HeaderTime,
// in the body within listen.ReadTime.
func TestSlow(t *testing.T) {
	k := start(t, true)
	good := k.post(k.line())
	for name, cut := range map[string]struct {
		text string
		most time.Duration
	}{
		"nothing":     {"", listen.HeaderTime},
		"half a line": {good[:10], listen.HeaderTime},
		"half a head": {good[:strings.Index(good, "Origin")], listen.HeaderTime},
		"half a body": {good[:len(good)-5], listen.ReadTime},
	} {
		l := one{make(chan net.Conn, 1)}
		c := &slow{text: strings.NewReader(cut.text), ended: make(chan struct{})}
		l.conns <- c
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() { done <- listen.Serve(ctx, l, k.Handler) }()
		<-c.ended
		cancel()
		if err := <-done; err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if c.within == 0 || c.within > cut.most {
			t.Errorf("%s: given up after %v, expected at most %v", name, c.within, cut.most)
		}
	}
	if len(k.saved) > 0 {
		t.Errorf("saved %q", k.saved)
	}
}
