// Package layout holds rectangles in cells and the sheet of cells a frame is
// drawn on. Everything drawn is cut to its rectangle, and text is made
// harmless on the way.
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

// Right splits off the last n columns.
func (r Rect) Right(n int) (rest, right Rect) { return r.Left(r.W - max(0, min(n, r.W))) }

// Pad takes n columns off both sides.
func (r Rect) Pad(n int) Rect {
	_, r = r.Left(n)
	r, _ = r.Right(n)
	return r
}

// Roll is a window of rows onto a list longer than the screen.
type Roll struct {
	Top int // first row shown
	At  int // row the keys act on
}

// Move shifts the chosen row by n and keeps it within count.
func (r *Roll) Move(n, count int) { r.At = max(0, min(r.At+n, count-1)) }

// Follow returns the first row to show so that the chosen row is visible in height rows.
func (r *Roll) Follow(count, height int) {
	r.At = max(0, min(r.At, count-1))
	r.Top = max(r.At-height+1, min(r.Top, r.At))
	r.Top = max(0, min(r.Top, count-height))
}

// Scroll shifts the window itself by n.
func (r *Roll) Scroll(n, count, height int) {
	r.Top = max(0, min(r.Top+n, count-height))
}
