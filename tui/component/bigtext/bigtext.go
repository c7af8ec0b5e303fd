// Package bigtext draws letters and digits large, made of cells, to be read from across
// a yard.
package bigtext

import (
	"strings"

	"ashbook/tui/layout"
	"ashbook/tui/style"
)

// Heights of a text in rows. A text one row high is ordinary text.
const (
	Row   = 1
	Small = 3
	Large = 5
	Huge  = 10
)

// shapes have five rows of dots, separated by |.
var shapes = map[rune]string{
	'0': "###|# #|# #|# #|###",
	'1': "## | # | # | # |###",
	'2': "###|  #|###|#  |###",
	'3': "###|  #| ##|  #|###",
	'4': "# #|# #|###|  #|  #",
	'5': "###|#  |###|  #|###",
	'6': "###|#  |###|# #|###",
	'7': "###|  #|  #| # | # ",
	'8': "###|# #|###|# #|###",
	'9': "###|# #|###|  #|###",
	':': " |#| |#| ",
	'.': " | | | |#",
	'–': "  |  |##|  |  ",
	'−': "  |  |##|  |  ",
	'?': "###|  #| ##|   | # ",
	'h': "#  |#  |## |# #|# #",
	'↑': "      |   #  |  ### | #####|      ",
	'↓': "      | #####|  ### |   #  |      ",
	'→': " #    | ###  | #####| ###  | #    ",
}

// Width returns the width of a text at a height, in columns.
func Width(text string, height int) int {
	if height < Small {
		return layout.Width(text)
	}
	n, last := 0, rune(0)
	for _, r := range text {
		n, last = n+gap(last, r)+width(r, height), r
	}
	return n
}

// small reports whether a letter stays one cell, in the last row: those of "5:30am".
func small(r rune) bool { return r == 'a' || r == 'p' || r == 'm' }

// gap returns the number of columns between two letters; 0 before the first.
func gap(last, r rune) int {
	if last == 0 || small(last) && small(r) {
		return 0
	}
	return 1
}

// width returns the width of a letter in columns.
func width(r rune, height int) int {
	if small(r) {
		return 1
	}
	return dotWidth(height) * shapeWidth(r)
}

func dotWidth(height int) int {
	switch {
	case height >= Huge:
		return 4
	case height >= Large:
		return 2
	}
	return 1
}

func shapeWidth(r rune) int { return strings.IndexByte(shape(r), '|') }

func shape(r rune) string {
	if s, ok := shapes[r]; ok {
		return s
	}
	return shapes['?']
}

// Draw draws a text at column dx of r, height rows high, and returns the column after
// it. If a letter does not fit, it draws "…" instead and stops.
func Draw(s *layout.Sheet, r layout.Rect, dx, height int, st style.Style, text string) int {
	if height < Small {
		return s.Write(r, dx, 0, layout.Span{Style: st, Text: text})
	}
	last := rune(0)
	for _, letter := range text {
		dx += gap(last, letter)
		last = letter
		w := width(letter, height)
		if dx+w > r.W {
			return s.Write(r, dx, height-1, layout.Span{Style: st, Text: "…"})
		}
		if small(letter) {
			dx = s.Write(r, dx, height-1, layout.Span{Style: st, Text: string(letter)})
			continue
		}
		for row, cells := range cellRows(letter, height) {
			s.Write(r, dx, row, layout.Span{Style: st, Text: cells})
		}
		dx += w
	}
	return dx
}

// cellRows returns the rows of cells of a letter. At Small two dots share a cell, at
// Large a dot is two cells wide, at Huge four wide and two high.
func cellRows(letter rune, height int) []string {
	dots := strings.Split(shape(letter), "|")
	if height >= Large {
		wide := dotWidth(height)
		dot := strings.NewReplacer("#", strings.Repeat("█", wide), " ", strings.Repeat(" ", wide))
		var rows []string
		for _, d := range dots {
			for range height / Large {
				rows = append(rows, dot.Replace(d))
			}
		}
		return rows
	}
	rows := make([]string, Small)
	for i := range rows {
		var b strings.Builder
		for x := range dots[0] {
			upper := dots[2*i][x] == '#'
			lower := 2*i+1 < len(dots) && dots[2*i+1][x] == '#'
			switch {
			case upper && lower:
				b.WriteRune('█')
			case upper:
				b.WriteRune('▀')
			case lower:
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		rows[i] = b.String()
	}
	return rows
}
