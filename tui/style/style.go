// Package style has all styles of the screens. A style says what a text means; its
// colour depends on the terminal. No meaning depends on colour alone: a word or a sign
// always goes with it.
package style

import (
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// As soon as it is loaded, the terminal library asks the terminal for its background
// and waits for seconds if there is no answer, unless the background is set first. This
// package is initialised before the library, since its path sorts first.
func init() { lipgloss.SetHasDarkBackground(true) }

// Colour is the number of colours of the terminal. The caller must know it, since the
// terminal is never asked.
type Colour uint8

// The kinds of terminal. Bold, faint and reversed text exist even with None.
const (
	None Colour = iota
	Sixteen
	Many // 256 colours
)

// Options choose the palette.
type Options struct {
	Colour Colour
	Dark   bool // the background is dark
	Night  bool // dark red on black, so that eyes stay adapted to the dark
}

// Style is the meaning of a text.
type Style uint8

// The styles.
const (
	Plain   Style = iota
	Strong        // to be read first
	Quiet         // labels and other less important text
	Chosen        // the row that keys act on
	Fine          // in time, saved
	Mind          // needs a look
	Trouble       // late, overdue, lost
	Banner        // an answer to be read from a distance
	Meat          // the curve of the slowest piece
	Fire          // the curve of the pit
	styles
)

// Look has the terminal codes of every style.
type Look struct {
	on, off [styles]string
	Night   bool // every cell has a background colour
}

// shade is a colour for a dark and for a light background; "" for no change.
type shade struct{ dark, light string }

type palette [styles]shade

// The palettes have few colours, each readable on its background: yellow is not used on
// a light one.
var (
	sixteen = palette{
		Fine: {"10", "2"}, Mind: {"11", "5"}, Trouble: {"9", "1"},
		Meat: {"14", "4"}, Fire: {"3", "5"},
	}
	many = palette{
		Quiet: {"248", "240"}, Fine: {"114", "28"}, Mind: {"221", "130"}, Trouble: {"210", "160"},
		Meat: {"117", "25"}, Fire: {"215", "130"},
	}
)

// New returns the Look for o.
func New(o Options) *Look {
	profile := termenv.ANSI
	if o.Colour == Many {
		profile = termenv.ANSI256
	}
	r := lipgloss.NewRenderer(io.Discard, termenv.WithProfile(profile))
	r.SetColorProfile(profile)
	r.SetHasDarkBackground(o.Dark)
	l := &Look{Night: o.Night && o.Colour != None}
	for s := range styles {
		l.on[s], l.off[s], _ = strings.Cut(style(r, s, o).Render("x"), "x")
	}
	return l
}

func style(r *lipgloss.Renderer, s Style, o Options) lipgloss.Style {
	st := r.NewStyle()
	switch s {
	case Chosen, Banner:
		st = st.Reverse(true)
	case Quiet:
		st = st.Faint(o.Colour != Many)
	}
	if s == Strong || s == Trouble || s == Banner {
		st = st.Bold(true)
	}
	if o.Night && o.Colour != None {
		return night(st, s, o.Colour)
	}
	var sh shade
	switch o.Colour {
	case Sixteen:
		sh = sixteen[s]
	case Many:
		sh = many[s]
	}
	c := sh.light
	if o.Dark {
		c = sh.dark
	}
	if c != "" {
		st = st.Foreground(lipgloss.Color(c))
	}
	return st
}

// night uses one dark red for everything and, with 256 colours, a darker red for quiet
// text. With 16 colours bold would be too bright and faint too dark.
func night(st lipgloss.Style, s Style, c Colour) lipgloss.Style {
	red, black := lipgloss.Color("1"), lipgloss.Color("0")
	if c == Many {
		red, black = lipgloss.Color("124"), lipgloss.Color("16")
		if s == Quiet {
			red = lipgloss.Color("88")
		}
	} else {
		st = st.Bold(false).Faint(false)
	}
	return st.Foreground(red).Background(black)
}

// Codes returns the codes before and after a text of a style.
func (l *Look) Codes(s Style) (on, off string) { return l.on[s], l.off[s] }
