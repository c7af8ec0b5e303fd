package typed

import (
	"time"

	"ashbook/journal/measure"
	"ashbook/journal/probefile"
)

// Probe is how the readings of a probe are to be taken, as it was typed.
type Probe struct {
	Time, Pit string   // columns; "": guessed
	Cores     []string // columns, such as large=3
	Unit      string   // c or f; "": as the columns say
	From      string   // when the times are counted from
	Follow    bool     // the file is read as it grows
	Look      bool     // nothing is saved
	Listen    string   // an address; "": a file is read
	Anywhere  bool     // others than this machine may post
}

// Check looks for what does not go together. It fails with Invalid.
func (p *Probe) Check() error {
	switch {
	case p.Listen != "" && (p.Time != "" || p.Pit != "" || len(p.Cores) > 0 || p.Unit != "" || p.From != "" || p.Follow || p.Look):
		return Mistaken(Invalid, "", "--listen goes with --anywhere alone: the keys of a reading name its columns")
	case p.Listen == "" && p.Anywhere:
		return Mistaken(Invalid, "", "--anywhere goes with --listen")
	case p.Follow && p.Look:
		return Mistaken(Invalid, "", "--look and --follow do not go together")
	}
	return nil
}

// Table reads how the columns of a table are named. last is the time of the cook's last
// entry; a From without a day is on that day. It fails with Wrong.
func (p *Probe) Table(pieces []string, sys measure.System, now, last time.Time) (probefile.Options, error) {
	o := probefile.Options{Time: p.Time, Pit: p.Pit, Cores: Cores(p.Cores), Units: sys, Zone: now.Location(), Pieces: pieces}
	return o, ReadAll(
		In("unit", p.Unit, func(t string) (err error) { o.Unit, err = probefile.ParseUnit(t); return err }),
		In("from", p.From, func(t string) (err error) { o.From, err = Begun(t, now, last); return err }),
	)
}
