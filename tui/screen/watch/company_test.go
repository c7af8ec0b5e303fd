package watch_test

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"ashbook/tui"
	"ashbook/tui/backend"
	"ashbook/tui/intent"
	"ashbook/tui/style"
	"ashbook/tui/tuitest"
)

// inCompany returns the hall, where Ben helps.
func inCompany() *tuitest.Port {
	p := tuitest.Hall()
	now := p.Clock
	p.Company = backend.Company{Remote: true, Heard: now.Add(-time.Minute), Noted: []backend.Noting{
		{Who: "Ben", At: now.Add(-4 * time.Minute), What: "wood cherry 90 g"},
		{Who: "Ann", At: now.Add(-30 * time.Minute), What: "lid"},
	}}
	return p
}

func TestCompanyFrames(t *testing.T) {
	frames := func(name string, with func(*tuitest.Port), do func(*tuitest.Driver)) {
		tuitest.Goldens(t, name, func(o style.Options) (tea.Model, *tuitest.Port) {
			p := inCompany()
			with(p)
			return tui.New(p, tui.Options{Look: o, Place: intent.Watch, Cook: tuitest.Running}), p
		}, do)
	}
	frames("company", func(*tuitest.Port) {}, func(*tuitest.Driver) {})
	frames("company-lost", func(p *tuitest.Port) {
		p.Company.NotSent, p.Company.Since, p.Company.Problem = 3, p.Clock.Add(-50*time.Minute), "no answer"
		p.Company.Heard = p.Clock.Add(-51 * time.Minute)
		p.Company.Clocks = []backend.Clocked{{Who: "Ben", Ahead: 170 * time.Second}}
		for id, f := range p.Forecasts {
			f.Care = "Note the core now: it has not been read for 3 h. Whole cuts may stay above 57 °C only if somebody looks (FDA Food Code 2022)."
			p.Forecasts[id] = f
		}
	}, func(*tuitest.Driver) {})
}

// What the others noted and when the remote answered is shown in words. It does not
// push away the typed line or its answer.
func TestCompany(t *testing.T) {
	p := inCompany()
	d := start(tuitest.Running, p, 60, 20)
	expect(t, d, "Ben 4 min ago: wood cherry 90 g", "PIT °C", "CORE °C", "READY TO TAKE OFF", "NEXT CHECK", "LAST DONE", "likely 08:10")
	d = start(tuitest.Running, p, 132, 43)
	expect(t, d, "Ben 4 min ago: wood cherry 90 g · last heard 01:03")
	d.Type("112 71")
	d.Press("enter")
	expect(t, d, "NOTED", "Ben 4 min ago")
	d.Pass(11 * time.Minute)
	expect(t, d, "not reached since 01:03", "Ben 15 min ago")
	p.Company = backend.Company{Remote: true}
	d.Pass(time.Second)
	expect(t, d, "not reached yet")
	expectNot(t, d, "Ben")
	p.Company = backend.Company{}
	d.Pass(time.Second)
	expectNot(t, d, "heard")
}

// If somebody else moves the serving hour, the forecast is computed again at once, as
// after an entry.
func TestServeMoved(t *testing.T) {
	p := inCompany()
	d := start(tuitest.Running, p, 80, 24)
	d.Pass(time.Second)
	asked := p.Expected
	d.Pass(time.Second)
	if p.Expected != asked {
		t.Errorf("asked %d times where nothing has changed", p.Expected-asked)
	}
	for _, c := range p.Cooks {
		c.Serve = c.Serve.Add(-30 * time.Minute)
	}
	d.Pass(time.Second)
	if p.Expected != asked+1 {
		t.Errorf("asked %d times after the serving hour was moved", p.Expected-asked)
	}
}
