// Package layout has rectangles of cells, and the sheet of cells on which a frame is
// drawn. Everything drawn is cut to its rectangle, and control characters are removed
// from text.
package layout

// Rect is a rectangle in cells. Width and height are never negative.
type Rect struct{ X, Y, W, H int }

// Top splits off the first n rows, or as many as there are.
func (r Rect) Top(n int) (top, rest Rect) {
	n = max(0, min(n, r.H))
	return Rect{r.X, r.Y, r.W, n}, Rect{r.X, r.Y + n, r.W, r.H - n}
}

// Bottom splits off the last n rows.
func (r Rect) Bottom(n int) (rest, bottom Rect) { return r.Top(r.H - max(0, min(n, r.H))) }

// Left splits off the first n columns.
func (r Rect) Left(n int) (left, rest Rect) {
	n = max(0, min(n, r.W))
	return Rect{r.X, r.Y, n, r.H}, Rect{r.X + n, r.Y, r.W - n, r.H}
}

func (r Rect) Right(n int) (rest, right Rect) { return r.Left(r.W - max(0, min(n, r.W))) }

// Pad removes n columns from both sides.
func (r Rect) Pad(n int) Rect {
	_, r = r.Left(n)
	r, _ = r.Right(n)
	return r
}

// Roll is a window onto a list longer than the screen.
type Roll struct {
	Top int // index of the first row shown
	At  int // index of the row that keys act on
}

// Move moves the choice by n rows, within count rows.
func (r *Roll) Move(n, count int) { r.At = max(0, min(r.At+n, count-1)) }

// Follow sets Top so that the chosen row is visible in height rows.
func (r *Roll) Follow(count, height int) {
	r.At = max(0, min(r.At, count-1))
	r.Top = max(r.At-height+1, min(r.Top, r.At))
	r.Top = max(0, min(r.Top, count-height))
}

// Scroll moves the window by n rows.
func (r *Roll) Scroll(n, count, height int) {
	r.Top = max(0, min(r.Top+n, count-height))
}
