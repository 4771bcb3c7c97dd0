// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// A coverage probability is tested by counting: of N independent benches an interval of 95 %
// holds the truth in a number that is binomial. A test fails where the count is outside the band
// that a right interval leaves once in 10,000: of 300 benches that is 89.3 to 99.0 %, of 3,000
// it is 93.4 to 96.5 %, so that with 300 an interval that holds in 92 % would pass.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// Share counts how often an interval holds its truth. N intervals were counted, Held had their
// truth inside.
type Share struct {
	Name    string
	N, Held int
}

// Of is the share that held. It is NaN where nothing was counted.
func (s Share) Of() float64 { return float64(s.Held) / float64(s.N) }

// Band returns the shares between which the count of a true coverage p lies but for a
// probability of miss, half on either side: the quantiles of the binomial distribution. It walks
// up the distribution function, N steps at most.
func (s Share) Band(p, miss float64) (low, high float64) {
	d := distuv.Binomial{N: float64(s.N), P: p}
	k := 0.0
	// The lower quantile first; the upper one is not below it.
	for k < d.N && d.CDF(k) < miss/2 {
		k++
	}
	low = k / d.N
	for k < d.N && d.CDF(k) < 1-miss/2 {
		k++
	}
	return low, k / d.N
}

// Coverage counts shares by name, in the order in which the names appeared.
type Coverage struct{ Shares []Share }

// Share returns the share of a name, an empty one where nothing was counted.
func (c *Coverage) Share(name string) Share {
	if i := slices.IndexFunc(c.Shares, func(s Share) bool { return s.Name == name }); i >= 0 {
		return c.Shares[i]
	}
	return Share{Name: name}
}

// String is the table, with the band of 95 % that is left once in 10 000.
func (c *Coverage) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-44s%8s%9s   %s\n", "held", "of", "share", "band of 95 % (0.9999)")
	for _, s := range c.Shares {
		low, high := s.Band(0.95, 1e-4)
		fmt.Fprintf(&b, "%-44s%8d%8.2f %%   %.2f to %.2f %%\n", s.Name, s.N, 100*s.Of(), 100*low,
			100*high)
	}
	return b.String()
}

// Cover runs n independent trials, workers at a time. A trial reports intervals: at most
// one of a name, so that what is counted is independent.
//
// Trial i is the same whatever the number of workers: each list is its own, and what is counted
// is counted afterwards in the order of i. An interval without an end at one side holds nothing:
// that it is wide enough is no merit. The error is that of the first trial that has one.
func Cover(n, workers int,
	trial func(i int, report func(name string, lower, upper, truth float64)) error) (*Coverage,
	error) {
	type held struct {
		name string
		in   bool
	}
	lists := make([][]held, n)
	errs := make([]error, n)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				// An interval with its truth on the end holds it.
				errs[i] = trial(i, func(name string, lower, upper, truth float64) {
					lists[i] = append(lists[i], held{name, lower <= truth && truth <= upper &&
						!math.IsInf(upper-lower, 1)})
				})
			}
		})
	}
	wg.Wait()
	c := &Coverage{}
	for i, list := range lists {
		if errs[i] != nil {
			return nil, fmt.Errorf("bench: trial %d: %w", i, errs[i])
		}
		for _, h := range list {
			at := slices.IndexFunc(c.Shares, func(s Share) bool { return s.Name == h.name })
			if at < 0 {
				at = len(c.Shares)
				c.Shares = append(c.Shares, Share{Name: h.name})
			}
			c.Shares[at].N++
			if h.in {
				c.Shares[at].Held++
			}
		}
	}
	return c, nil
}
