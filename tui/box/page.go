package box

import (
	"ashbook/report/page/text"
	"ashbook/tui/look"
)

// PageStyle is the style of a line of a page.
func PageStyle(k text.Kind) look.Style {
	switch k {
	case text.Title, text.Heading:
		return look.Strong
	case text.Label, text.Note:
		return look.Quiet
	}
	return look.Plain
}
