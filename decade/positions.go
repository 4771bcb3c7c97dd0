// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

// positions holds the position of 16 dials in a byte each: two words and not an array,
// because words travel in registers, which makes a walk over all settings four times as
// fast.
type positions struct{ low, high uint64 } // dials 0 to 7, 8 to 15

// at returns the position of a dial below maxDials.
func (p positions) at(dial int) int {
	word := p.low
	if dial >= 8 {
		word = p.high
	}
	return int(uint8(word >> (8 * uint(dial&7))))
}

// with returns positions with a dial that is at zero at another.
func (p positions) with(dial, position int) positions {
	p.set(dial, position)
	return p
}

// and returns the positions of p and q, which have different dials off zero.
func (p positions) and(q positions) positions { return positions{p.low | q.low, p.high | q.high} }

// set changes the position of a dial below maxDials. It takes no address of a word: that
// would move the value to memory.
func (p *positions) set(dial, position int) {
	shift := 8 * uint(dial&7)
	v := uint64(uint8(position)) << shift
	if dial < 8 {
		p.low = p.low&^(0xff<<shift) | v
		return
	}
	p.high = p.high&^(0xff<<shift) | v
}
