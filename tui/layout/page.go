package layout

import (
	"ashbook/report/page/text"
	"ashbook/tui/style"
)

// PageStyle returns the style of a line of a page.
func PageStyle(k text.Kind) style.Style {
	switch k {
	case text.Title, text.Heading:
		return style.Strong
	case text.Label, text.Note:
		return style.Quiet
	}
	return style.Plain
}
