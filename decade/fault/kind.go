// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The kinds, in groups that a search treats alike. Value is what a kind has one of:
//
//	kinds                                 Value            found as
//	drift, series, contact of a ladder,   Ω or a fraction  the factor of an effect that is in
//	dial, box, meter, dialling                             proportion to it (fitFactor)
//	leaks and bridges                     Ω                its logarithm, by the circuit
//	contact of an element of a code       Ω                its logarithm, in parallel with that
//	wrong part                            Ω                a drift that ends near a value of E24
//	slip                                  positions        each number of them is a hypothesis
//	short, open, overlap, exchanges       none             the effect is fixed
//	what scatters                         Ω, the mean      draws with a standard deviation
//
// A kind says where something is wrong and not why: ageing, heat and a wrong resistor all drift.
// What is split into two kinds is repaired in another way (a contact and an element), or has
// odds of its own (an open contact and a bad one).
//
// The order of the constants decides what ofBox reports and which of two equal weights is printed
// first; files have the texts, so that a new kind may stand in its group.

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/file"
)

// Kind is a kind of fault. Any number of goroutines may use one at once.
type Kind uint8

const (
	KindHealthy Kind = iota // every element inside its class

	KindDrift             // one element off its value; Value in Ω is how far
	KindWrongPart         // one element replaced by another standard value; Value in Ω is that
	KindShorted           // one element shorted
	KindOpenElement       // one element open
	KindUnsteady          // a cracked joint or loose turn: one element, Ω more, not the same twice
	KindOverloaded        // elements A to B of a dial off together; Value is the fraction
	KindDialDrift         // a whole dial off; Value is the fraction
	KindBoxDrift          // the whole box off, or the meter's gain; Value is the fraction
	KindAged              // all elements off without a pattern; Value is the mean fraction
	KindSeries            // Ω in series with everything: leads, post, link, wiper
	KindOpenPath          // the same, open
	KindContact           // Ω in the contact at one position, seldom the same twice
	KindOpenContact       // no contact at one position
	KindOverlap           // the wiper at A touches the tap below too
	KindSlip              // the knob has slipped by Value positions on its shaft; see also Wraps
	KindTapsExchanged     // the wires of two taps exchanged
	KindElementsExchanged // elements of two dials exchanged

	KindElementLeak  // Ω across one element
	KindDialLeak     // Ω across a whole dial
	KindTerminalLeak // Ω across the terminals
	KindBridge       // Ω between two taps of a dial
	KindDialBridge   // Ω between nodes of two dials, or of two ranges of one switch
	KindCaseLeak     // Ω from a node to the case; unseen where the case floats

	// Of the meter, beyond its limits; A is the range.
	KindMeterGain // a range off in proportion; Value is the fraction
	KindMeterZero // a range off by the same everywhere; Value in Ω

	KindDialling    // one dialling reads Value Ω more than all others say
	KindUnexplained // something else: no fault of this list explains the readings

	numKinds // no kind: the size of tables, and the first value that is none
)

// kindNames are the texts of the kinds in files and reports; what a file has been written with
// stays readable, so that they are not reworded.
var kindNames = file.Words[Kind]{Type: "fault.Kind", Texts: []string{
	KindHealthy:           "healthy",
	KindDrift:             "drifted element",
	KindWrongPart:         "wrong part",
	KindShorted:           "shorted element",
	KindOpenElement:       "open element",
	KindUnsteady:          "unsteady element",
	KindOverloaded:        "overloaded elements",
	KindDialDrift:         "drifted dial",
	KindBoxDrift:          "drifted box or meter gain",
	KindAged:              "aged throughout",
	KindSeries:            "series resistance",
	KindOpenPath:          "open path",
	KindContact:           "bad contact",
	KindOpenContact:       "open contact",
	KindOverlap:           "wiper overlap",
	KindSlip:              "slipped dial",
	KindTapsExchanged:     "exchanged tap wires",
	KindElementsExchanged: "exchanged elements",
	KindElementLeak:       "leak across an element",
	KindDialLeak:          "leak across a dial",
	KindTerminalLeak:      "leak across the terminals",
	KindBridge:            "bridge inside a dial",
	KindDialBridge:        "bridge between dials",
	KindCaseLeak:          "leak to the case",
	KindMeterGain:         "gain of a meter range",
	KindMeterZero:         "zero of a meter range",
	KindDialling:          "one dialling differs",
	KindUnexplained:       "something else",
}}

// String returns the kind in words: "bad contact".
func (k Kind) String() string { return kindNames.String(k) }

// MarshalText returns the text of String.
func (k Kind) MarshalText() ([]byte, error) { return kindNames.Marshal(k) }

// UnmarshalText reads what MarshalText writes.
func (k *Kind) UnmarshalText(text []byte) error { return kindNames.Unmarshal(text, k) }

// ofBox reports whether the kind is something wrong inside the box: what a [Specimen] can be given
// and [Predict] can put into the network.
func (k Kind) ofBox() bool { return k > KindHealthy && k < KindMeterGain }

// Weights are the prior weights of the kinds: how often one is met, before anything is
// read. Only their ratios count. The weight of a kind is shared by its places, so that a
// bridge between one pair of nodes in thousands starts far lower than the drift of one
// element in sixty. A kind that is absent or has the weight 0 is not considered;
// KindHealthy must have one. Any number of goroutines may read one at once, while none
// changes it.
type Weights map[Kind]float64

// DefaultWeights returns the weights used where none are given. They are a judgement on
// common practice, not a statistic: four boxes in five are healthy, dirt comes next, then
// elements, and bridges and wrong wiring are rare.
func DefaultWeights() Weights {
	// In groups: contacts and paths 65, elements 55, bridges and leaks 10, the meter 8,
	// one dialling that differs 60, all others 8. With 206 of faults to 1000 healthy is 83 %. A
	// factor of 2 in a weight moves a score by 2·ln 2 = 1.4.
	return Weights{
		KindHealthy: 1000,
		KindContact: 40, KindSeries: 10, KindOpenContact: 10, KindOpenPath: 5,
		KindDrift: 20, KindOpenElement: 10, KindUnsteady: 5, KindShorted: 4, KindWrongPart: 4,
		KindOverloaded: 4, KindDialDrift: 4, KindBoxDrift: 4,
		KindElementLeak: 2, KindTerminalLeak: 3, KindDialLeak: 1, KindBridge: 2, KindDialBridge: 1,
		KindCaseLeak:  1,
		KindMeterGain: 5, KindMeterZero: 3, KindDialling: 60, KindUnexplained: 1,
		KindSlip: 2, KindOverlap: 2, KindAged: 2, KindTapsExchanged: 0.5,
		KindElementsExchanged: 0.5,
	}
}

// String prints the weights as shares in per cent, largest first. It prints what it is given:
// weights that Diagnose would refuse have a text as well.
func (w Weights) String() string {
	// A map has no order; equal weights come in that of the kinds, so that the text is the same.
	kinds := slices.SortedFunc(maps.Keys(w), func(a, b Kind) int {
		switch {
		case w[a] > w[b]:
			return -1
		case w[a] < w[b]:
			return 1
		}
		return int(a) - int(b)
	})
	total := 0.0
	for _, k := range kinds {
		total += w[k]
	}
	if total == 0 {
		total = 1 // weights that are all 0 are shares of 0 %, not of NaN
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = fmt.Sprintf("%v %.3g %%", k, 100*w[k]/total)
	}
	return strings.Join(words, ", ")
}

// checkWeights refuses weights that give no odds: of unknown kinds, infinite, NaN or below 0, and
// none of a healthy box, against which all others are counted (search.weight). The kinds are
// looked at in their order, so that of several mistakes the same one is named each time.
func (w Weights) checkWeights(op string) error {
	for _, k := range slices.Sorted(maps.Keys(w)) {
		switch v := w[k]; {
		case k >= numKinds:
			return refuse(op, "weights", float64(k), ErrDomain,
				"%v; expected one of the kinds of this package", k)
		case !finite(v):
			return refuse(op, "weights: "+k.String(), v, ErrNotFinite,
				"%v; expected a finite number", v)
		case v < 0:
			return refuse(op, "weights: "+k.String(), v, ErrDomain, "%v; expected 0 or more", v)
		}
	}
	// An absent healthy box is a weight of 0.
	if !(w[KindHealthy] > 0) {
		return refuse(op, "weights: healthy", w[KindHealthy], ErrDomain, "%v; expected more than 0",
			w[KindHealthy])
	}
	return nil
}
