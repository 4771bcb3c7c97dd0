// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

// Generator is the SplitMix64 generator (Steele, Lea and Flood, Fast Splittable
// Pseudorandom Number Generators, OOPSLA 2014, with the constants of its 64-bit
// variant 13): a counter and a hash of it. A draw does not wait for the one before, so
// a processor makes several at once.
//
// Loops over a column keep counter and constants in variables of their own, which a
// processor holds in registers: splitMix, and next.
type Generator struct{ state uint64 }

// Uint64 returns a random word.
func (g *Generator) Uint64() uint64 {
	g.state += golden
	return scramble(g.state)
}

// golden is 2⁶⁴ divided by the golden ratio, made odd.
const golden = 0x9e3779b97f4a7c15

// mixer holds the constants of the generator. As a variable they are loaded once for a
// loop; constants of 64 bits would be made again for each draw.
type mixer struct{ step, first, second uint64 }

var splitMix = mixer{golden, 0xbf58476d1ce4e5b9, 0x94d049bb133111eb}

// next returns the random word of a counter and the counter after it.
func (m mixer) next(state uint64) (w, after uint64) {
	state += m.step
	// The output function of SplitMix64, as in scramble.
	z := state
	z = (z ^ z>>30) * m.first
	z = (z ^ z>>27) * m.second
	return z ^ z>>31, state
}

// scramble is the output function of the generator.
func scramble(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// BlockGenerator returns the generator of a block of trials of one input. Its counter
// begins at a hash of seed, input and block, so that any worker can make any block at
// any time. All counters lie on one circle of 2⁶⁴: that among N blocks of at most L
// draws two overlap has a probability of about N²·L/2⁶⁴, 4 in a million for 10⁸ trials
// of one input, and it would touch these two blocks only.
func BlockGenerator(seed uint64, stream, block int) Generator {
	// Neighbouring seeds, streams and blocks are far apart after two hashes.
	key := scramble(seed + golden*uint64(stream+1))
	return Generator{scramble(key + golden*uint64(block+1))}
}

// open turns a random word into a number inside (0, 1).
// 53 bits and half a unit: neither 0 nor 1 comes out, and ln 0 is never asked for.
func open(w uint64) float64 { return (float64(w>>11) + 0.5) * 0x1p-53 }

// signed turns a random word into a number within [−1, 1].
func signed(w uint64) float64 { return float64(int64(w)) * 0x1p-63 }

// halves turns a random word into two numbers inside (−1, 1) of 32 bits each.
func halves(w uint64) (p, q float64) {
	// Half a unit, so that the two ends are symmetric and 0 does not come out.
	return (float64(int32(w>>32)) + 0.5) * 0x1p-31, (float64(int32(w)) + 0.5) * 0x1p-31
}
