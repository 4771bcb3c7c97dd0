// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Sentences are made for one who stands at the bench with the box open: the place first, then
// what is wrong with it, by how much with U at k = 2 (GUM 7.2.3, 7.2.4), and what it usually is.
// What the readings cannot separate is one sentence: up to three members are named in full, of
// more it says what they share and lists them by kind and dial.
//
// A fault has two forms. In full (advice), a sentence of its own:
//
//	place             what it does     amount             usual cause
//	Element 3 of ×10 Ω, between positions 2 and 3,
//	                  is high by       12.3 mΩ (U = …),   0.12 % of it.
//	The contact at …  has              0.21 Ω (U = …)     too much: suspect dirt before a
//	                                                      resistor.
//
// and in brief (phrase), a noun with what is wrong with it, to stand in a list: "one of elements 1
// to 9 of ×10 kΩ off". Both name a place as the switch shows it, since nobody counts the
// resistors inside; a list names a dial once.
//
// What a sentence may claim. Its probability stands before it (Cause.String), so that it says "is"
// and not "may be" of what the readings show, and of no more than that:
//
//   - A value is what was fitted, its U what the readings leave of it. What the cause is, after the
//     colon, is common practice and is put as a guess: "suspect", "as after an overload", "as a
//     replaced part of the standard value 120 Ω would".
//   - What is told apart is told apart by these readings. Another setting may do better, which is
//     the business of the next step; so it is "these readings cannot tell", never "cannot be told".
//   - A bridge has a resistance and two nodes that it may join; where on the board it runs is not
//     known. Below half an ohm it is metal and its value says nothing: the places "touch".
//   - What could as well be the meter, the temperature or the record says so before the box is
//     blamed: a dial off as a whole, a gain, one dialling.
//   - What scatters has a standard deviation and no value, since the next dialling has another.
//   - Of a large class nothing is said that holds for its first member only, but the ohms of a
//     bridge, which are named as those of the most probable.
//
// Signs are words: an element is "high" or "low" by an amount without a sign. A knob keeps its
// sign, which is the direction in which it is turned back.
//
// A value has no more digits than its U: 12.3468 Ω is printed as 12.347 Ω with U = 0.067 Ω and
// as 12.35 Ω with U = 0.67 Ω (GUM 7.2.6).

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/elementary"
)

// mostInFull is the largest class whose first member is named in full, with the others
// beside it. Of a larger class the sentence says what its members share.
const mostInFull = 3

// sentence says what is wrong, as one technician says it to another. Where two faults are stated
// at once both sentences stand, one after the other. c has its faults, of which the first leads;
// favoured says that it is far more probable than all the others of its class together.
func sentence(b *decade.Box, c Cause, favoured bool) string {
	large := len(c.Equal)+1 > mostInFull
	if large && !favoured {
		return sharedSentence(b, c)
	}
	words := make([]string, len(c.Faults))
	for i, f := range c.Faults {
		words[i] = f.advice(b)
	}
	s := strings.Join(words, " At the same time: ")
	// "It" is all that was said, a pair included; alternatives stand in brief, in their own dials.
	if others := othersInWords(c); len(others) > 0 {
		// Of a leak across the terminals the readings cannot exclude one of thousands of bridges
		// from end to end of the box; nobody looks for that first.
		far := ""
		if large {
			far = " what is far less likely"
		}
		s += " These readings cannot tell it apart from" + far + ": " +
			strings.Join(phrases(b, others, false), "; ") + "."
	}
	return s
}

// favouredFrom is the part of the probability of a class from which its first member is named and
// the others are beside it, however many they are.
const favouredFrom = 0.95

// othersInWords are the members of a class beside its first, without those that say the same: an
// element that is shorted is bridged by almost 0 Ω.
func othersInWords(c Cause) [][]Fault {
	lead := c.Faults[0]
	if len(c.Faults) > 1 || !lead.isShort() {
		return c.Equal
	}
	return slices.DeleteFunc(slices.Clone(c.Equal), func(faults []Fault) bool {
		return len(faults) == 1 && faults[0].isShort() && faults[0].A == lead.A
	})
}

// isShort reports whether an element is shorted, by whatever.
func (f Fault) isShort() bool {
	return f.Kind == KindShorted || f.Kind == KindElementLeak && f.Value < touch
}

// sharedSentence describes a large class by what its members share. Only what holds for all
// members is said in front: the dials where they have them in common, and of a drift the amount,
// which is the same wherever it sits.
func sharedSentence(b *decade.Box, c Cause) string {
	all := c.members()
	// Causes in three dials or in the leads have no place in common that is worth a name.
	where := "Several causes remain"
	if dials := dialsOf(all); len(dials) > 0 {
		where = "Something in " + joined(dialNames(b, dials), "and")
	}
	named := len(dialsOf(all)) == 1
	s := where
	// It is what the readings are high or low by, whichever member it is.
	if f := c.Faults[0]; len(c.Faults) == 1 && f.Kind == KindDrift && len(dialsOf(all)) > 0 {
		s += fmt.Sprintf(" reads %s by %s", highLow(f.Value),
			amount(math.Abs(f.Value), f.Uncertainty))
	}
	s += ": " + strings.Join(phrases(b, all, named), "; ") + "."
	// Bridges at other nodes need other ohms for the same readings.
	if f := c.Faults[0]; len(c.Faults) == 1 && f.logarithmic() && f.Value >= touch {
		s += fmt.Sprintf(" The most probable would have %s.", amount(f.Value, f.Uncertainty))
	}
	return s + " These readings cannot tell which."
}

// dialsOf lists the dials that all members are about; none where one is about something else, or
// about more than two. Each is there once, in the order of the members.
func dialsOf(all [][]Fault) []int {
	var out []int
	for _, faults := range all {
		for _, f := range faults {
			// A meter or a lead among them: no dial is common to all.
			if !f.A.ofDial() {
				return nil
			}
			for _, p := range []Place{f.A, f.B} {
				if p.ofDial() && !slices.Contains(out, p.Dial) {
					out = append(out, p.Dial)
				}
			}
		}
	}
	if len(out) > 2 {
		return nil
	}
	return out
}

// dialNames are the names of dials as the box has them.
func dialNames(b *decade.Box, dials []int) []string {
	var out []string
	for _, d := range dials {
		out = append(out, Place{PartDial, d, 0}.In(b))
	}
	return out
}

// mostPhrases is the number of alternatives in words. Of the rest a count is told: a list that
// fills a page is not read, and Cause.Equal has them all.
const mostPhrases = 6

// phrases puts hypotheses into words, those of one kind in one dial together: "one of elements 1
// to 9 of ×10 kΩ off". Where the dial is named already it is left out. members are in the order
// of their odds. What does not go into a phrase is counted at the end: "3 less likely causes".
func phrases(b *decade.Box, members [][]Fault, dialNamed bool) []string {
	// One kind in one dial at one sort of place becomes one phrase with several numbers.
	type group struct {
		kind Kind
		dial int
		part Part
	}
	numbers := make(map[group][]int)
	var out []string   // pairs
	var groups []group // in the order of their first members
	var named []string // ranges of the meter
	rest := 0
	for _, faults := range members {
		f := faults[0]
		// A pair is named by both of its faults; three of them fill a line.
		if len(faults) > 1 {
			if len(out) < mostInFull {
				out = append(out, faults[0].inBrief(b)+" with "+faults[1].inBrief(b))
			} else {
				rest++
			}
			continue
		}
		if f.A.Part == PartRange && len(named) < mostPhrases {
			named = append(named, f.ofRange(b))
			continue
		}
		g := group{f.Kind, f.A.Dial, f.A.Part}
		if numbers[g] == nil {
			groups = append(groups, g)
		}
		n := f.A.Number
		// Every run begins at element 1; they differ in where they end.
		if f.Kind == KindOverloaded {
			n = f.B.Number
		}
		if !slices.Contains(numbers[g], n) {
			numbers[g] = append(numbers[g], n)
		}
	}
	// The meter comes first: it is checked before a box is opened.
	single := named
	for _, g := range groups {
		if len(single)+len(out) >= mostPhrases {
			rest += len(numbers[g])
			continue
		}
		text := phrase(b, g.kind, g.dial, g.part, numbers[g])
		if dialNamed {
			name := Place{PartDial, g.dial, 0}.In(b)
			// "all of ×10" is a thing of its own: without "of ×10" it would be "all".
			text = strings.ReplaceAll(strings.Replace(text, "all of "+name, "all of it", 1),
				" of "+name, "")
		}
		// Bridges from a tap and from a wiper have one phrase.
		if !slices.Contains(single, text) {
			single = append(single, text)
		}
	}
	out = append(single, out...)
	if rest > 0 {
		out = append(out, wording.Plural(rest, "less likely cause"))
	}
	return out
}

// inBrief names a fault without its value. It stands beside another in a sentence about two
// faults.
func (f Fault) inBrief(b *decade.Box) string {
	switch {
	case f.A.Part == PartRange:
		return f.ofRange(b)
	// The setting says more than the number of its row.
	case f.Kind == KindDialling && f.Name != "":
		return "one dialling of " + f.Name + " that differs"
	case f.Kind == KindDialBridge || f.Kind == KindBridge:
		return "a bridge between " + bothPlaces(b, f.A, f.B)
	// Positions of a slip and both places of an exchange are what the fault is.
	case f.Kind == KindSlip || f.Kind == KindTapsExchanged || f.Kind == KindElementsExchanged:
		return f.In(b)
	case f.Kind == KindOverloaded:
		return phrase(b, f.Kind, f.A.Dial, f.A.Part, []int{f.B.Number})
	}
	return phrase(b, f.Kind, f.A.Dial, f.A.Part, []int{f.A.Number})
}

// bothPlaces names two places: "taps 2 and 9 of ×2 kΩ" where they are of one dial. "dial A and
// dial B" where they have nothing in common.
func bothPlaces(b *decade.Box, p, q Place) string {
	first, second := p.In(b), q.In(b)
	if p.Part == q.Part && p.Dial == q.Dial && p.ofDial() {
		low, high := min(p.Number, q.Number), max(p.Number, q.Number)
		// "tap 2 of ×2 kΩ": the thing is the first word, its dial what comes after "of".
		thing, _, _ := strings.Cut(first, " ")
		_, dial, found := strings.Cut(first, " of ")
		if found && low != high {
			return fmt.Sprintf("%ss %d and %d of %s", thing, low, high, dial)
		}
	}
	return first + " and " + second
}

// ofRange names what is wrong with a range of the meter. The range has its name where the report
// was at hand.
func (f Fault) ofRange(b *decade.Box) string {
	if f.Kind == KindMeterZero {
		return "the zero of " + f.placesText(b)
	}
	return "the gain of " + f.placesText(b)
}

// phrase is one kind in one dial. numbers are those of the places, and are sorted here; of
// overloaded elements they are the last of each run.
func phrase(b *decade.Box, k Kind, dial int, part Part, numbers []int) string {
	slices.Sort(numbers)
	name := Place{PartDial, dial, 0}.In(b)
	// Wipers and whole dials have no numbers.
	thing := map[Part]string{PartElement: "element", PartPosition: "position", PartTap: "tap"}[part]
	at := name
	if thing != "" {
		at = numbered(thing, numbers) + " of " + name
	}
	one := at
	if len(numbers) > 1 {
		one = "one of " + at
	}
	switch {
	// Runs that end at 4, 5 or 7: k stands for the end, or the phrase would be three.
	case k == KindOverloaded && len(numbers) > 1:
		return fmt.Sprintf("elements 1 to k of %s overloaded together, k = %s", name,
			numbersInWords(numbers))
	case k == KindOverloaded:
		return fmt.Sprintf("elements 1 to %d of %s overloaded together", numbers[0], name)
	// One node is known, the others differ.
	case k == KindBridge && len(numbers) == 1:
		return "a bridge inside " + name + " from " + at
	case phraseForms[k] == "":
		return k.String() + ", " + at
	}
	return strings.NewReplacer("{one}", one, "{dial}", name).Replace(phraseForms[k])
}

// phraseForms are the phrases of the kinds: {one} is the place, or "one of" several of one dial,
// {dial} the name of the dial. A kind without an entry has its name and the place. " of {dial}"
// is cut out where the dial was named before (phrases), so that the rest must stand alone.
var phraseForms = map[Kind]string{
	KindDrift:             "{one} off",
	KindWrongPart:         "{one} replaced by a wrong part",
	KindShorted:           "{one} shorted",
	KindOpenElement:       "{one} open",
	KindUnsteady:          "a cracked joint at {one}",
	KindDialDrift:         "all of {dial} off",
	KindBoxDrift:          "the meter, the temperature or the whole box off",
	KindAged:              "all elements off without a pattern",
	KindSeries:            "resistance in leads, posts, links or a wiper",
	KindOpenPath:          "an open lead, post, link or wiper",
	KindContact:           "dirt on the contact at {one}",
	KindOpenContact:       "no contact at {one}",
	KindOverlap:           "a wiper that touches the tap below at {one}",
	KindSlip:              "the knob of {dial} slipped on its shaft",
	KindTapsExchanged:     KindTapsExchanged.String() + " of {dial}",
	KindElementsExchanged: KindElementsExchanged.String() + " of {dial}",
	KindElementLeak:       "a leak across {one}",
	KindDialLeak:          "a leak across {dial}",
	KindTerminalLeak:      "a leak across the terminals",
	KindBridge:            "a bridge inside {dial}",
	KindDialBridge:        "a bridge from {dial} to another dial",
	KindCaseLeak:          "a leak to the case",
	KindDialling:          "one dialling that differs",
	KindUnexplained:       "something else",
}

// highLow is the sign of a value in words: amounts are printed without it.
func highLow(v float64) string {
	if v < 0 {
		return "low"
	}
	return "high"
}

// advice says what one fault is, and where, with its value. The groups are tried one after the
// other; a kind belongs to one of them, and one without a group has its name, place and value.
func (f Fault) advice(b *decade.Box) string {
	for _, text := range []string{f.elementAdvice(b), f.contactAdvice(b), f.bridgeAdvice(b),
		f.readerAdvice(b)} {
		if text != "" {
			return text
		}
	}
	return f.In(b) + "."
}

// size is the amount of the value with its uncertainty, in Ω and as a fraction: the kind says which
// of the two makes sense.
func (f Fault) size() (ohm, part string) {
	return amount(math.Abs(f.Value), f.Uncertainty), share(math.Abs(f.Value), f.Uncertainty)
}

// elementAdvice is that on what an element, or many of them, is off by; empty for other faults.
func (f Fault) elementAdvice(b *decade.Box) string {
	a := f.A.withPositions(b)
	ohm, part := f.size()
	switch f.Kind {
	// In ohms, which one trims by, and as a part, which one compares with the class.
	case KindDrift:
		return fmt.Sprintf("%s, is %s by %s%s.", title(a), highLow(f.Value), ohm,
			f.ofElement(b))
	case KindWrongPart:
		return fmt.Sprintf("%s, measures %s, as a replacement of standard value %s would.",
			title(a), amount(f.Value, f.Uncertainty), ohms(nearestE24(f.Value)))
	// The likely causes lie across it and not in it.
	case KindShorted:
		return fmt.Sprintf("%s, is shorted: solder, a strand of wire or touching taps across it.",
			title(a))
	case KindOpenElement:
		return fmt.Sprintf("%s, is open: a broken wire or joint at its ends.", title(a))
	case KindUnsteady:
		return fmt.Sprintf("%s, does not read the same twice (standard deviation %s): a cracked "+
			"joint or a loose turn.", title(a), ohms(f.Scatter))
	case KindOverloaded:
		return fmt.Sprintf("%s are %s together, by %s, as after an overload at that setting.",
			title(f.placesText(b)), highLow(f.Value), part)
	// Ten elements rarely drift by one fraction for ten reasons.
	case KindDialDrift:
		return fmt.Sprintf("All of %s is %s by %s: ageing or a wrong batch, or the meter range "+
			"that reads it.", a, highLow(f.Value), part)
	case KindBoxDrift:
		return fmt.Sprintf("Everything reads %s by %s: suspect the meter, the temperature or the "+
			"unit of an old certificate before the box.", highLow(f.Value), part)
	case KindAged:
		return fmt.Sprintf("The elements are off without a pattern, %s by %s on average: old "+
			"resistors that took up moisture.", highLow(f.Value), part)
	}
	return ""
}

// contactAdvice is that on contacts, wires and knobs; empty for other faults.
func (f Fault) contactAdvice(b *decade.Box) string {
	a := f.A.withPositions(b)
	ohm, _ := f.size()
	switch f.Kind {
	// More than stated is dirt or a loose post, less is a record or a null that is wrong.
	case KindSeries:
		if f.Scatter > 0 {
			return fmt.Sprintf("The resistance in series with everything does not read the same "+
				"twice (standard deviation %s): wipers and decks, posts or leads.", ohms(f.Scatter))
		}
		if f.Value < 0 {
			return fmt.Sprintf("The resistance in series with everything is %s less than the "+
				"stated residual: "+
				"check the description of the box and the null of the meter and its leads.", ohm)
		}
		return fmt.Sprintf("%s is in series with everything beyond the stated residual: leads, "+
			"posts, links between dials or a wiper.", ohm)
	case KindOpenPath:
		return fmt.Sprintf("The path is open at %s.", a)
	// A part reads the same at every dialling; what does not is a contact.
	case KindContact:
		if f.Scatter > 0 {
			return fmt.Sprintf("The contact at %s does not read the same twice (standard "+
				"deviation %s): dirt, not a resistor.", f.A.In(b), ohms(f.Scatter))
		}
		return fmt.Sprintf("The contact at %s has %s too much: suspect dirt before a resistor.",
			f.A.In(b), ohm)
	case KindOpenContact:
		return fmt.Sprintf("There is no contact at %s: a bent, burnt or missing one, or its wire.",
			f.A.In(b))
	case KindOverlap:
		return fmt.Sprintf("At %s the wiper touches the tap below too: its adjustment, or the "+
			"detent.", a)
	case KindSlip:
		return f.slipAdvice(a)
	case KindTapsExchanged:
		return fmt.Sprintf("The wires of %s are exchanged.", bothPlaces(b, f.A, f.B))
	case KindElementsExchanged:
		return fmt.Sprintf("%s are exchanged.", title(bothPlaces(b, f.A, f.B)))
	}
	return ""
}

// bridgeAdvice is that on what joins two nodes; empty for other faults.
func (f Fault) bridgeAdvice(b *decade.Box) string {
	a, other := f.A.withPositions(b), f.B.In(b)
	ohm, _ := f.size()
	switch f.Kind {
	// A short by another name: the words of KindShorted, so that the two are not taken for two.
	case KindElementLeak:
		if f.Value < touch {
			return fmt.Sprintf("%s, is bridged by almost 0 Ω: solder, a strand of wire or "+
				"touching taps across it.", title(a))
		}
		return fmt.Sprintf("%s lies across %s: flux, dirt or a damaged track; near 0 Ω a short.",
			title(ohm), f.A.In(b))
	case KindDialLeak:
		return fmt.Sprintf("%s lies across the whole of %s: its switch wafer or board.",
			title(ohm), a)
	case KindTerminalLeak:
		return fmt.Sprintf("%s lies across the terminals: posts, panel or leads, dirty or moist.",
			title(ohm))
	// The strap is one of the two ends; which node has the bad insulation the value does not say.
	case KindCaseLeak:
		return fmt.Sprintf("%s lies between %s and %s, through the case.", title(ohm), a,
			other)
	case KindBridge, KindDialBridge:
		if f.Value < touch {
			return fmt.Sprintf("%s touch: wires, or solder between them.",
				title(bothPlaces(b, f.A, f.B)))
		}
		return fmt.Sprintf("%s joins %s: touching wires, solder, flux or a conducting "+
			"track between them.", title(ohm), bothPlaces(b, f.A, f.B))
	}
	return ""
}

// readerAdvice is that on what is not in the box: the meter, one dialling, or nothing known.
func (f Fault) readerAdvice(b *decade.Box) string {
	ohm, part := f.size()
	switch f.Kind {
	// Both are limits that a known resistor tests in a minute.
	case KindMeterGain:
		return fmt.Sprintf("%s reads %s by %s: check the meter against a known resistor before "+
			"the box.", title(f.placesText(b)), highLow(f.Value), part)
	case KindMeterZero:
		return fmt.Sprintf("The zero of %s reads %s by %s: null it with the leads joined, and "+
			"check the meter against a known resistor before the box.", f.placesText(b),
			highLow(f.Value), ohm)
	case KindDialling:
		return fmt.Sprintf("One dialling reads %s by %s against all others (%s): a knob between "+
			"two detents, a contact, or a recording error.", highLow(f.Value), ohm, f.placesText(b))
	case KindUnexplained:
		return "Something else: none of the faults that are searched for explains these readings."
	}
	return ""
}

// touch is the resistance below which a bridge is bare metal, in Ω. Solder and touching wires
// have milliohms, flux and dirt kilohms: half an ohm between taps is neither.
const touch = 0.5

// ofElement is the part of its element that a drift makes: ", 1.7 % of it".
func (f Fault) ofElement(b *decade.Box) string {
	if r := f.A.elementOhms(b); r > 0 {
		part := math.Abs(f.Value) / r
		// Beyond the part itself a number of times is read more easily than hundreds of per cent.
		if part >= 1 {
			return fmt.Sprintf(", %v times its value", wording.Rounded(part, 2))
		}
		return fmt.Sprintf(", %v of it", wording.Percent(wording.Rounded(part, 2)))
	}
	return ""
}

// elementOhms is the nominal resistance of an element in ohms; 0 where the place is none.
func (p Place) elementOhms(b *decade.Box) float64 {
	d := b.Decades()
	if p.Part != PartElement || p.Dial < 0 || p.Dial >= len(d) || p.Number < 1 ||
		p.Number > d[p.Dial].NumElements() {
		return 0
	}
	return d[p.Dial].Step * float64(d[p.Dial].Weight(p.Number))
}

// slipAdvice is that on a knob; a names the dial. How the switch ends makes three faults of
// one slip (slips), and tells which settings are open.
func (f Fault) slipAdvice(a string) string {
	end := "no contact beyond the last"
	if f.Wraps {
		end = "it turns all round"
	}
	if f.Stops {
		end = "it stops at the last contact"
	}
	positions := "positions"
	if math.Abs(f.Value) == 1 {
		positions = "position"
	}
	return fmt.Sprintf("The knob of %s has slipped by %+d %s on its shaft (%s).", a, int(f.Value),
		positions, end)
}

// title begins a sentence; names of dials as "×100" stay as they are.
func title(s string) string { return wording.Upper(s) }

// toDigitsOf rounds a value to the second digit of its U, and to six digits at most. It goes
// through the decimal text: a binary rounding to a multiple of 0.001 is no decimal.
func toDigitsOf(v, U float64) float64 {
	if v == 0 || !(U > 0) || !finite(v) || !finite(U) {
		return v
	}
	// GUM 7.2.6: as many places as two digits of U; six at most, more nobody can use.
	digits := elementary.DecimalExponent(v) - elementary.DecimalExponent(U) + 2
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', min(max(digits, 1), 6)-1, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// polarity warns of readings that differ with the direction of the current: no fault of the box,
// and not in the network. One warning is enough: what to do about it is the same for every
// setting. Readings above range have no values to compare.
func (d *Diagnosis) polarity(r *verify.Report) {
	for i := range r.Rows {
		rd := &r.Rows[i].Reading
		if len(rd.Values) == 0 || len(rd.Reversed) == 0 || r.Rows[i].Overload {
			continue
		}
		by := mean(rd.Values) - mean(rd.Reversed)
		// The mean of both polarities cancels a constant EMF; only its size is worth a warning.
		if math.Abs(by) > 4*r.Rows[i].Budget().StandardUncertainty {
			d.Warnings = append(d.Warnings, refuse("fault.Diagnose", "setting "+rd.Setting.String(),
				by, ErrContradiction,
				"readings of both polarities differ by %s: a thermal EMF or a galvanic film, not "+
					"a resistor; their mean is used", ohms(by)))
			return
		}
	}
}

// mean divides before it sums: no sum of finite values overflows.
func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x / float64(len(v))
	}
	return sum
}
