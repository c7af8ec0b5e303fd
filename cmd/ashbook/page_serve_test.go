package main

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// helper is a phone that has the address of the page.
type helper struct {
	t   *testing.T
	url string
}

func (h helper) get(path string) (code int, body string) {
	h.t.Helper()
	r, err := http.Get(h.url + path)
	return h.answered(r, err)
}

func (h helper) post(form url.Values) (code int, body string) {
	h.t.Helper()
	req, err := http.NewRequest(http.MethodPost, h.url+"note", strings.NewReader(form.Encode()))
	if err != nil {
		h.t.Fatal(err)
	}
	u, err := url.Parse(h.url)
	if err != nil {
		h.t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Origin", "http://"+u.Host)
	r, err := http.DefaultClient.Do(req)
	return h.answered(r, err)
}

func (h helper) answered(r *http.Response, err error) (int, string) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
	defer r.Body.Close()
	data, err := io.ReadAll(r.Body)
	if err != nil {
		h.t.Fatal(err)
	}
	return r.StatusCode, string(data)
}

// hidden returns the value of a hidden field of a form.
func hidden(t *testing.T, body, name string) string {
	t.Helper()
	m := regexp.MustCompile(`name="` + name + `" value="([^"]+)"`).FindStringSubmatch(body)
	if m == nil {
		t.Fatalf("no %s in %s", name, body)
	}
	return m[1]
}

var servedAt = regexp.MustCompile(`(?m) is at (http://\S+)$`)

// note sends a line and confirms it; it returns how the page said it was understood.
func (h helper) note(line, through string) (understood string) {
	h.t.Helper()
	_, form := h.get("note")
	code, asked := h.post(url.Values{"token": {hidden(h.t, form, "token")}, "line": {line}, "through": {through}})
	if code != http.StatusOK {
		h.t.Fatalf("%q: %d %s", line, code, asked)
	}
	if code, said := h.post(url.Values{"token": {hidden(h.t, form, "token")}, "save": {hidden(h.t, asked, "save")}}); code != http.StatusOK && code != http.StatusGone { // gone: the note ended the cook
		h.t.Fatalf("%q was not saved: %d %s", line, code, said)
	}
	return asked
}

// A helper reads the running cook on a phone and notes in it, with a name. The service
// ends with the cook.
func TestServe(t *testing.T) {
	dir := probedHall(t)
	r := begin(t, dir, nil, "page", "--serve=127.0.0.1:0", "--notes")
	h := helper{t, r.shows(t, servedAt)[1]}
	if code, body := h.get(""); code != http.StatusOK || !strings.Contains(body, "Harvest supper") || !strings.Contains(body, "Ready to take off") || !strings.Contains(body, "not read yet") {
		t.Fatalf("%d %s", code, body)
	}
	if said := h.note("112 71 w cherry -- pale", "Jo Smith"); !strings.Contains(said, "core 71\u00a0°C · wood cherry — pale") {
		t.Errorf("understood as %s", said)
	}
	file, err := os.ReadFile(filepath.Join(dir, strings.TrimSuffix(supperCSV, "csv")+"md"))
	if err != nil || !strings.Contains(string(file), "pit 112 °C, core 71 °C, wood cherry, by JS") {
		t.Errorf("%v\n%s", err, file)
	}
	if _, body := h.get(""); !strings.Contains(body, "by JS — pale") || !strings.Contains(body, "<dd>112\u00a0°C<small>at ") {
		t.Errorf("the page says %s", body)
	}
	for _, line := range []string{"undo", "redo", "112 by Mara"} {
		_, form := h.get("note")
		if _, body := h.post(url.Values{"token": {hidden(t, form, "token")}, "line": {line}, "through": {"Jo"}}); strings.Contains(body, `name="save"`) {
			t.Errorf("%s is taken: %s", line, body)
		}
	}
	r.ticks <- time.Time{}
	h.note("p 3 core 95 off", "Jo")
	if code := r.over(t); code != exitFine || !strings.Contains(r.out.String(), "the cook is over") {
		t.Errorf("exit code %d\n%s", code, r.out.String())
	}
}

// Ctrl-C ends the service, and so does leaving the cook out of reports. A private page
// has no words.
func TestServeEnds(t *testing.T) {
	dir := probedHall(t)
	command := func(args ...string) (int, string) {
		t.Helper()
		env := testEnvironment(t, dir)
		var out bytes.Buffer
		env.out, env.err = &out, &out
		code := run(t.Context(), append([]string{"--journal", dir}, args...), env)
		return code, out.String()
	}
	command("note", "112", "--", "nobody", "reads", "this")
	r := begin(t, dir, nil, "page", "--serve=127.0.0.1:0", "--private")
	h := helper{t, r.shows(t, servedAt)[1]}
	if code, body := h.get(""); code != http.StatusOK || !strings.Contains(body, "112") || strings.Contains(body, "nobody") || strings.Contains(body, "note\"") {
		t.Errorf("%d %s", code, body)
	}
	if code, _ := h.get("note"); code != http.StatusNotFound {
		t.Errorf("notes without --notes: %d", code)
	}
	r.end(t, exitFine)

	r = begin(t, dir, nil, "page", "--serve=127.0.0.1:0")
	r.shows(t, servedAt)
	if code, said := command("aside", "harvest", "--", "a mistake"); code != exitFine {
		t.Fatal(said)
	}
	if code := r.over(t); code != exitFine {
		t.Errorf("exit code %d\n%s", code, r.out.String())
	}
	if code, said := command("page", "harvest", "--serve=127.0.0.1:0"); code != exitUsage || !strings.Contains(said, "not running") {
		t.Errorf("%d %s", code, said)
	}
	for _, address := range []string{":0", "0.0.0.0:0", "[::]:0", "here"} {
		if code, said := command("page", "--serve="+address); code != exitUsage {
			t.Errorf("%s: %d %s", address, code, said)
		}
	}
}

// served serves the running cook of the hostile journal and notes evil in it.
func (e *evilJournal) served(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	out := newScreen()
	env := e.env
	env.dir, env.out, env.err = filepath.Join(e.dir, "hall"), out, out
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"--now", evilNow, "page", evilRunning, "--serve=127.0.0.1:0", "--notes"}, env)
	}()
	h := helper{t, out.wait(servedAt)[1]}
	_, form := h.get("note")
	_, asked := h.post(url.Values{"token": {hidden(t, form, "token")}, "line": {strings.ReplaceAll(evil, "\r\n", "")}, "through": {evil}})
	_, words := h.post(url.Values{"token": {hidden(t, form, "token")}, "line": {"112 -- <script>alert(1)</script> <img src=http://bad.example>"}, "through": {"<iframe>"}})
	h.post(url.Values{"token": {hidden(t, form, "token")}, "save": {hidden(t, words, "save")}})
	code, cook := h.get("")
	if code != http.StatusOK {
		t.Errorf("%d %s", code, cook)
	}
	for _, body := range []string{form, asked, words, cook} {
		harmlessText(t, "the page of a phone", body)
		if m := regexp.MustCompile(`(?i)<(script|iframe|frame|img|object|embed|link)\b|<[a-z]([^>"]|"[^"]*")*\s((src|href|action)\s*=\s*["']?(https?:)?//|on\w+=)`).FindString(body); m != "" {
			t.Errorf("a page for a phone holds %s", m)
		}
	}
	cancel()
	if code := <-ended; code != exitFine {
		t.Errorf("exit code %d\n%s", code, out.String())
	}
}
