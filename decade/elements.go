// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"fmt"
	"iter"
)

// ResidualName is the name of the residual resistance among measured values.
const ResidualName = "residual"

// ElementName returns the name of an element among measured values, such as
// "×100 element 3"; dials are numbered from 0, elements from 1. It is empty for an
// element that does not exist.
func (b *Box) ElementName(dial, element int) string {
	if dial < 0 || dial >= b.NumDecades() || element < 1 ||
		element > b.spec.Decades[dial].NumElements() {
		return ""
	}
	return elementName(&b.spec.Decades[dial], element)
}

// elementName is [Box.ElementName] for an element that exists.
func elementName(d *Decade, element int) string {
	return fmt.Sprintf("%s element %d", d.Name, element)
}

// NumElements returns the number of elements of all dials.
func (b *Box) NumElements() int {
	n := 0
	if b != nil {
		for i := range b.spec.Decades {
			n += b.spec.Decades[i].NumElements()
		}
	}
	return n
}

// Elements yields dial and number of every element in circuit: the resistance at the
// terminals is the residual and the sum of these elements.
//
// That holds for codes which short what is not in use, too, where the closed contact
// beside an element counts as a part of the residual: what a measurement finds as the
// element is then the resistor less its contact.
func (s Setting) Elements() iter.Seq2[int, int] {
	return func(yield func(dial, element int) bool) {
		if s.box == nil {
			return
		}
		for i := range s.box.spec.Decades {
			for e := range s.box.spec.Decades[i].weights(s.positions.at(i)) {
				if !yield(i, e) {
					return
				}
			}
		}
	}
}
