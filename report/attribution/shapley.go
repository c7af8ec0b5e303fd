package attribution

import "math/bits"

// Shares divides v(all) − v(none) among the players fairly: to each the mean of
// what joining adds, over all orders of joining (Shapley 1953, A value for
// n-person games). v has one entry for every set of players, player i being bit
// i; its length is a power of two. The shares sum to the whole but for
// rounding.
func Shares(v []float64) []float64 {
	n := bits.Len(uint(len(v))) - 1
	shares := make([]float64, max(0, n))
	if n < 1 {
		return shares
	}
	// The share of orders in which a set of s players comes before player i and
	// the rest after: s!·(n−1−s)!/n!.
	weight := make([]float64, n)
	weight[0] = 1 / float64(n)
	for s := 1; s < n; s++ {
		weight[s] = weight[s-1] * float64(s) / float64(n-s)
	}
	for i := range shares {
		for set := range v {
			if set>>i&1 == 0 {
				shares[i] += weight[bits.OnesCount(uint(set))] * (v[set|1<<i] - v[set])
			}
		}
	}
	return shares
}
