// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mathext/prng"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

const blockSize = 256

// The words are those of the same generator in a general-purpose library, drawn one by
// one or in a loop.
func TestGeneratorAgainstGonum(t *testing.T) {
	for _, seed := range []uint64{0, 1, 1234567, 1 << 63, math.MaxUint64} {
		want := prng.NewSplitMix64(seed)
		g, state := Generator{seed}, seed
		for i := range 1000 {
			w := want.Uint64()
			if got := g.Uint64(); got != w {
				t.Fatalf("seed %d, word %d: %#x, want %#x", seed, i, got, w)
			}
			var got uint64
			if got, state = splitMix.next(state); got != w || state != g.state {
				t.Fatalf("seed %d, word %d in a loop: %#x, want %#x", seed, i, got, w)
			}
		}
	}
}

// The words within blocks, one after the other: each bit is fair and independent of
// all bits of the word before, bytes are uniform, and pairs of neighbouring words fill
// the square evenly.
func TestWordsOfABlock(t *testing.T) {
	words := 1 << 15
	if uncertaintytest.Long() {
		words = 1 << 17
	}
	var ones [64]int
	var same [64][64]int
	var bytes [8][256]int
	pairs := make([]int, 64*64)
	last := uint64(0)
	for i, g := 0, (Generator{}); i < words; i++ {
		if i%blockSize == 0 {
			g = BlockGenerator(8, 2, i/blockSize)
		}
		w := g.Uint64()
		pairs[w>>58<<6|last>>58]++
		for k := range bytes {
			bytes[k][w>>(8*uint(k))&255]++
		}
		for k := range ones {
			bit := w >> uint(k) & 1
			ones[k] += int(bit)
			equal := ^(last ^ -bit) // bits of the word before that equal this one
			for j := range same[k] {
				same[k][j] += int(equal >> uint(j) & 1)
			}
		}
		last = w
	}
	off := func(n int) float64 { return math.Abs(float64(n)-float64(words)/2) / math.Sqrt(float64(words)/4) }
	worst := 0.0
	for k := range ones {
		if off(ones[k]) > 4 {
			t.Errorf("bit %d is set in %d words of %d", k, ones[k], words)
		}
		for j := range same[k] {
			worst = max(worst, off(same[k][j]))
		}
	}
	if worst > 5 { // the largest of 4096
		t.Errorf("a bit depends on one of the word before: %.1f standard deviations", worst)
	}
	for k := range bytes {
		if z := chiSquared(bytes[k][:]); math.Abs(z) > 4 {
			t.Errorf("byte %d: chi-squared off by %.1f standard deviations", k, z)
		}
	}
	if z := chiSquared(pairs); math.Abs(z) > 4 {
		t.Errorf("pairs: chi-squared off by %.1f standard deviations", z)
	}
}

// Inputs are drawn independently of each other: the same trial of neighbouring streams
// and the same place of neighbouring blocks are not correlated.
func TestStreamsAreUncorrelated(t *testing.T) {
	const blocks = 400
	for lag := 1; lag <= 3; lag++ {
		var streams, neighbours float64
		for b := range blocks {
			g, h, k := BlockGenerator(5, 0, b), BlockGenerator(5, lag, b), BlockGenerator(5, 0, b+lag)
			for range blockSize {
				x := signed(g.Uint64())
				streams += x * signed(h.Uint64())
				neighbours += x * signed(k.Uint64())
			}
		}
		noise := math.Sqrt(blocks*blockSize) / 3 // each product has variance 1/9
		if math.Abs(streams) > 4*noise || math.Abs(neighbours) > 4*noise {
			t.Errorf("lag %d: correlated by %.1f and %.1f standard deviations", lag, streams/noise, neighbours/noise)
		}
	}
}

// Streams and blocks have generators of their own whose states are hashes: the first
// words of many of them must look like random words, and neighbours must not be
// correlated.
func TestBlocksAreIndependent(t *testing.T) {
	for _, along := range []string{"blocks", "streams", "seeds"} {
		const n = 1 << 16
		var bytes [8][256]int
		var flips [64]int
		last := uint64(0)
		for i := range n {
			g := BlockGenerator(uint64(i), 0, 0)
			switch along {
			case "blocks":
				g = BlockGenerator(1, 0, i)
			case "streams":
				g = BlockGenerator(1, i, 0)
			}
			w := g.Uint64()
			for k := range bytes {
				bytes[k][w>>(8*uint(k))&255]++
			}
			for k := range flips {
				flips[k] += int((w ^ last) >> uint(k) & 1)
			}
			last = w
		}
		for k := range bytes {
			if z := chiSquared(bytes[k][:]); math.Abs(z) > 4 {
				t.Errorf("%s: byte %d: chi-squared off by %.1f standard deviations", along, k, z)
			}
		}
		for k, c := range flips {
			if z := (float64(c) - n/2) / math.Sqrt(n/4); math.Abs(z) > 4.5 {
				t.Errorf("%s: bit %d changes %d times in %d", along, k, c, n)
			}
		}
	}
}

// chiSquared tests counts against equal expectations and returns the number of
// standard deviations by which the statistic is too large or too small, by the cube
// root that is nearly normal (Wilson and Hilferty 1931).
func chiSquared(counts []int) float64 {
	total := 0
	for _, c := range counts {
		total += c
	}
	e := float64(total) / float64(len(counts))
	x := 0.0
	for _, c := range counts {
		x += (float64(c) - e) * (float64(c) - e) / e
	}
	k := float64(len(counts) - 1)
	return (math.Cbrt(x/k) - (1 - 2/(9*k))) / math.Sqrt(2/(9*k))
}
