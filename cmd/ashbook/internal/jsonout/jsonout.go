// Package jsonout has the types of the output of --json and writes them. Lists are
// arrays under a named key, never null. What is not recorded is left out. A key of a
// number ends in its unit. Times are RFC 3339.
package jsonout

import (
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf16"
	"unicode/utf8"

	"ashbook/report/page"
)

// Write writes the output, indented, with a newline at the end.
func Write(w io.Writer, shape any) error {
	data, err := json.MarshalIndent(shape, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(escaped(data), '\n'))
	return err
}

// escaped replaces characters on which a terminal would act by JSON escapes. They occur
// only inside strings.
func escaped(data []byte) []byte {
	out := make([]byte, 0, len(data))
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r >= 0x7f && page.Unsafe(r) {
			for _, u := range utf16.AppendRune(nil, r) {
				out = fmt.Appendf(out, `\u%04x`, u)
			}
		} else {
			out = append(out, data[i:i+n]...)
		}
		i += n
	}
	return out
}
