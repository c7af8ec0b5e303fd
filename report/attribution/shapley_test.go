package attribution

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t interface{ Errorf(string, ...any) }, what string, got, want, tolerance float64) {
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// The airport game: a runway for a set of aircraft costs what the largest
// needs. Littlechild & Owen (1973), Management Science 20:370, give the shares
// in closed form: every stretch of runway is shared evenly by those who need
// it. The numbers 8, 11, 13, 18 and their shares 2, 3, 4, 9 are the worked
// example of encyclopaedias (from memory).
func TestAirportGame(t *testing.T) {
	airport := func(costs []float64) []float64 {
		v := make([]float64, 1<<len(costs))
		for set := range v {
			for i, c := range costs {
				if set>>i&1 == 1 {
					v[set] = math.Max(v[set], c)
				}
			}
		}
		return Shares(v)
	}
	for i, want := range []float64{2, 3, 4, 9} {
		near(t, "share", airport([]float64{8, 11, 13, 18})[i], want, 1e-12)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "aircraft")
		costs := make([]float64, n)
		for i := range costs {
			costs[i] = rapid.Float64Range(.1, 20).Draw(t, "more")
			if i > 0 {
				costs[i] += costs[i-1]
			}
		}
		got, want, before := airport(costs), 0.0, 0.0
		for i, c := range costs {
			want += (c - before) / float64(n-i)
			before = c
			near(t, "share", got[i], want, 1e-9)
		}
	})
}

// drawGame makes a game of up to six players.
func drawGame(t *rapid.T, n int) []float64 {
	return rapid.SliceOfN(rapid.Float64Range(-100, 100), 1<<n, 1<<n).Draw(t, "game")
}

// Against the definition: the mean over all orders of joining.
func TestAllOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 6).Draw(t, "players")
		v := drawGame(t, n)
		want, orders := make([]float64, n), 0.0
		var join func(set int)
		var path []int
		join = func(set int) {
			if len(path) == n {
				orders++
				at := 0
				for _, i := range path {
					want[i] += v[at|1<<i] - v[at]
					at |= 1 << i
				}
				return
			}
			for i := range n {
				if set>>i&1 == 0 {
					path = append(path, i)
					join(set | 1<<i)
					path = path[:len(path)-1]
				}
			}
		}
		join(0)
		for i, s := range Shares(v) {
			near(t, "share", s, want[i]/orders, 1e-9)
		}
	})
}

// Shapley's axioms.
func TestAxioms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "players")
		v, w := drawGame(t, n), drawGame(t, n)
		sum := 0.0
		for _, s := range Shares(v) {
			sum += s
		}
		near(t, "efficiency", sum, v[len(v)-1]-v[0], 1e-9)

		both := make([]float64, len(v))
		for i := range v {
			both[i] = 2*v[i] - 3*w[i]
		}
		a, b, c := Shares(v), Shares(w), Shares(both)
		for i := range c {
			near(t, "additivity", c[i], 2*a[i]-3*b[i], 1e-9)
		}

		i := rapid.IntRange(0, n-1).Draw(t, "player")
		k := (i + 1 + rapid.IntRange(0, n-2).Draw(t, "other")) % n
		dummy := make([]float64, len(v))
		for set := range v {
			dummy[set] = v[set&^(1<<i)]
			if set>>i&1 == 1 {
				dummy[set] += 7
			}
		}
		near(t, "dummy", Shares(dummy)[i], 7, 1e-9)

		even := make([]float64, len(v))
		for set := range v {
			swapped := set &^ (1<<i | 1<<k)
			swapped |= set >> i & 1 << k
			swapped |= set >> k & 1 << i
			even[set] = (v[set] + v[swapped]) / 2
		}
		e := Shares(even)
		near(t, "symmetry", e[i], e[k], 1e-9)
	})
}

func TestNoPlayers(t *testing.T) {
	if len(Shares(nil)) != 0 || len(Shares([]float64{3})) != 0 {
		t.Error("shares for nobody")
	}
}
