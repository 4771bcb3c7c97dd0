// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Repairs are common practice of instrument workshops, put in the order of what they cost when
// the cause is another one: exercise, tighten and clean; look and resolder; trim; replace. Each
// fault of a cause adds its steps, so that two faults at once have both, and a class of faults
// that the readings cannot separate has the steps of its kinds, contacts first. A caution is
// added where its act is advised, once, and those about the box as a whole come last. Cleaning,
// trimming and replacing are adjustments (VIM 3.11, from memory): the readings as found stay in
// the record, and the box is read again, as left.
//
// A step says what to look at before it says what to change, since the cause is the most probable
// one and not a certainty: "look for a loose wire; if there never was one, …". What a part is
// replaced by is stated with class, rating and temperature coefficient, as far as the description
// of the box has them, and what it has not is left to the neighbours and not invented. Figures
// to trim by have two digits: the part is trimmed to a reading in the end.
//
// The order for two pieces of advice that look alike:
//
//	dirt or a resistor          dirt: to exercise a dial takes a minute
//	the meter or a dial         the meter: a known resistor needs no opened box
//	humidity or a leaking part  humidity: to wash and dry replaces nothing
//	a joint or its resistor     the joint: it is resoldered where it is

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// A Repair describes how a cause is repaired, in steps of common practice: the cheap before the
// costly, what can be undone before what cannot. Any number of goroutines may read one at once.
type Repair struct {
	Steps []string // sentences, without numbers: String numbers them
	After string   // what to read afterwards
	// Cautions belong to the steps, a sentence each, each once.
	Cautions []string
}

// String returns the steps, numbered, what to read afterwards, and the cautions. It is one
// paragraph: a report breaks it where it likes.
func (r Repair) String() string {
	var words []string
	for i, s := range r.Steps {
		words = append(words, fmt.Sprintf("%d. %s", i+1, s))
	}
	if r.After != "" {
		words = append(words, r.After)
	}
	return strings.Join(append(words, r.Cautions...), " ")
}

// repairing collects the steps of a repair. A zero one with its box is ready; finishRepair ends
// it.
type repairing struct {
	box *decade.Box
	Repair
	read  []string // what to read afterwards, each once
	dirty bool     // a contact is among what is repaired

	exercised bool // every dial is exercised already
}

// mostRepairs is the number of members of a class whose repair is told: contacts first, since
// cleaning costs least.
const mostRepairs = 2

// repair says how a cause is repaired. Of a class it tells the repair of each kind in it, as far
// as they are few. A cause without a fault that can be repaired (a healthy box) has an empty
// Repair.
func repair(b *decade.Box, c Cause) Repair {
	r := &repairing{box: b}
	kinds := make(map[Kind]bool)
	told := 0
	// Two passes, so that contacts come first wherever they stand in the class.
	for _, contacts := range []bool{true, false} {
		// i is 0 for the leading member, which is repaired whatever it is.
		for i, faults := range c.members() {
			for _, f := range faults {
				// Both of two faults are repaired; of what may be instead one of a kind is told.
				if f.Kind.isContact() != contacts || i > 0 && (kinds[f.Kind.repairedLike()] ||
					told >= max(mostRepairs, len(c.Faults))) {
					continue
				}
				kinds[f.Kind.repairedLike()] = true
				told++
				r.addRepair(f)
			}
		}
	}
	r.finishRepair()
	return r.Repair
}

// repairedLike is a kind that is repaired in the same way. What has the same steps is told once,
// though its kinds be three.
func (k Kind) repairedLike() Kind {
	switch k {
	// Not the same for the next reading, which tells parts apart and not ways of repair (part).
	case KindWrongPart, KindUnsteady:
		return KindDrift
	case KindOpenPath:
		return KindSeries
	case KindDialDrift:
		return KindOverloaded
	case KindBridge, KindDialBridge, KindElementLeak, KindShorted:
		return KindBridge
	case KindElementsExchanged:
		return KindTapsExchanged
	}
	return k
}

// addStep appends a sentence in the imperative.
func (r *repairing) addStep(format string, args ...any) {
	r.Steps = append(r.Steps, fmt.Sprintf(format, args...))
}

// addCautions appends cautions that are not there yet. A caution is said once, where it is needed
// first.
func (r *repairing) addCautions(texts ...string) {
	for _, t := range texts {
		if !slices.Contains(r.Cautions, t) {
			r.Cautions = append(r.Cautions, t)
		}
	}
}

// addRepair adds the steps for one fault. A plain list of cases: where a few sentences say all
// they stand here, else in a function of the group.
func (r *repairing) addRepair(f Fault) {
	switch f.Kind {
	case KindContact, KindOverlap, KindSeries, KindOpenPath, KindOpenContact:
		r.repairContact(f)
	case KindDrift, KindWrongPart, KindUnsteady, KindOpenElement:
		r.repairElement(f)
	case KindOverloaded, KindDialDrift, KindAged:
		r.repairElements(f)
	case KindShorted, KindBridge, KindDialBridge, KindElementLeak:
		r.repairBridge(f)
	case KindDialLeak, KindTerminalLeak, KindCaseLeak:
		r.repairLeak(f)
	// The stop and not the knob says where 0 is: a knob has slipped by whole positions where its
	// screw has let go.
	case KindSlip:
		r.addStep("Loosen the knob of %s, turn it on its shaft by %s so that it shows what is "+
			"read, and fasten it; trust the stop, not the knob, for where 0 is.", f.A.In(r.box),
			wording.Plural(int(math.Abs(f.Value)), "position"))
		r.readAfter(f)
	case KindTapsExchanged, KindElementsExchanged:
		r.addStep("Compare the wires of %s with the other dials, and exchange them.",
			bothPlaces(r.box, f.A, f.B))
		r.addCautions(cautionOff, cautionOpen, cautionSolder)
		r.readAfter(f)
	case KindMeterGain, KindMeterZero:
		r.addStep("Null the meter with the leads joined, and read a resistor of known value on %s.",
			strings.TrimSuffix(f.placesText(r.box), " of the meter"))
		r.addStep("If that is off by as much, the box needs no repair: have the meter adjusted, " +
			"or enter the known resistor with the readings, which corrects them.")
		r.readAfter(f)
	case KindDialling:
		r.addStep("There is nothing to repair if it does not come back: dial that setting twice " +
			"more, and strike the odd value only with a reason in the record.")
		r.readAfter(f)
	case KindUnexplained:
		r.addStep("Repair nothing until the cause is known: look for mistakes in the record " +
			"(units, rows, settings), check leads, null and temperature, and read everything " +
			"again.")
		r.readAfter(f)
	// The representation of the ohm of 1990 (NIST Technical Note 1263, from memory) made the US
	// unit 1.69 ppm larger; a certificate from before is not a drift of the box.
	case KindBoxDrift:
		r.addStep("Check the meter against a resistor of known value, and read the temperature " +
			"of the box: 1 K changes it by some ppm to some tens of ppm.")
		r.addStep("If both are right, compare with the last certificate: one from before 1990 " +
			"may state an older unit (1.69 ppm in the US).")
		r.addStep("Only then suspect the box: correct its values with a calibration record, or " +
			"re-trim every dial.")
		r.readAfter(f)
	}
}

// repairContact is common practice for dirt: exercise, clean, a trace of lubricant; no
// abrasives. Twenty turns rub a film off silver and gold alike, and what comes back after them
// was dirt. The solvent stays off shellac, wax and printed dials, which it dissolves.
func (r *repairing) repairContact(f Fault) {
	// A place of no dial is series resistance: it may sit in any switch, post or lead.
	at, dial := "the contact at "+f.A.In(r.box), Place{PartDial, f.A.Dial, 0}.In(r.box)
	if !f.A.ofDial() {
		at, dial = "wipers and decks", "every dial"
		r.addStep("Tighten posts, links and leads; check the leads and the null with the leads " +
			"joined.")
	}
	if f.Kind == KindOverlap {
		r.addStep("Look at the detent and at the spring of the wiper of %s, and set the wiper to "+
			"the middle of its contact.", Place{PartDial, f.A.Dial, 0}.In(r.box))
	} else {
		// What was exercised with all dials needs no exercise of its own.
		if !r.exercised {
			r.addStep("Exercise %s, twenty turns from end to end, and read again before anything "+
				"else.", dial)
		}
		r.addStep("If that is not enough: clean %s with isopropanol on lint-free cloth, and leave "+
			"a trace of contact lubricant; no abrasives on plated contacts, no solvent on "+
			"shellac, wax or printed dials.", at)
		r.addCautions(cautionOff, cautionOpen, cautionSolvent)
	}
	if f.Kind == KindOpenContact || f.Kind == KindOpenPath || f.Kind == KindSeries {
		r.addStep("Look for a bent, burnt or missing contact and for a cracked joint of its " +
			"wire; bend the contact back or resolder the joint.")
		r.addCautions(cautionOff, cautionOpen, cautionSolder)
	}
	r.readAfter(f)
	r.dirty, r.exercised = true, r.exercised || !f.A.ofDial()
}

// A step that reads high by such a fraction may have lost the trimming resistor beside it:
// common practice trims by 0.01 to 1 %.
const (
	// Half of the smallest and one and a half of the largest, since the trim that is lost need
	// not be the nominal one.
	smallestTrim = 0.5e-4
	largestTrim  = 0.015
)

// repairElement is the repair of one element.
//
// An element that reads high by v may have lost the resistor p in parallel that trimmed it: with
// R = n + v the wire and R·p/(R + p) = n, p = n·(n + v)/v. 1 kΩ that reads 1.003 kΩ has lost 334
// kΩ. One that reads low by v gets v in series, if it is stable.
func (r *repairing) repairElement(f Fault) {
	at := f.A.withPositions(r.box)
	ohms := f.A.elementOhms(r.box)
	r.addStep("Look at %s, and at its joints; resolder a dull or cracked one (heat clip between "+
		"joint and body, less than 3 s), and read again when it is cold.", at)
	// No division by 0 where the place is no element.
	part := math.Abs(f.Value) / max(ohms, smallestContact)
	switch {
	case f.Kind != KindDrift || ohms == 0:
	case f.Value > 0 && part >= smallestTrim && part <= largestTrim:
		pad := rounded(ohms * (ohms + f.Value) / f.Value)
		r.addStep("A trimming resistor of about %s that came off it would read like this: look "+
			"for a loose wire. If there never was one, %s in parallel brings the element back to "+
			"its value.", pad, pad)
	case f.Value < 0 && part <= largestTrim:
		r.addStep("About %s in series brings it back if its value is stable; look first for "+
			"shorted turns or a shorted series trim.", rounded(-f.Value))
	}
	// Last: a new part needs ageing and trimming, and cannot be undone.
	r.addStep("Otherwise replace it: %s.", r.replacementInWords(f.A))
	r.addCautions(cautionOff, cautionOpen, cautionSolder)
	r.readAfter(f)
}

// rounded prints ohms with two digits: a trimming resistor is cut to the reading, not to a list.
func rounded(v float64) string { return unit.Format(wording.Rounded(v, 2), unit.Ohm) }

// replacementInWords says what the new element must be. The class of the dial and that of the
// whole box add up, as they do in the model (setClassLimits); what the description does not
// state is taken from the neighbours.
func (r *repairing) replacementInWords(p Place) string {
	d := r.box.Decades()[p.Dial]
	words := []string{ohmsInFull(p.elementOhms(r.box))}
	// Its class and no better: what the dial promises is what it has to keep.
	if t := d.Tolerance + r.box.Spec().Tolerance; t > 0 {
		words = append(words, fmt.Sprintf("within %s (its class)", wording.Percent(t)))
	}
	if d.ElementPower > 0 {
		words = append(words, fmt.Sprintf("rated %s or more",
			unit.Format(d.ElementPower, unit.Watt)))
	} else {
		words = append(words, "rated as the old one")
	}
	// An odd coefficient would be a step that is off at other temperatures only.
	if d.Law.IsZero() {
		words = append(words, "with the temperature coefficient of its neighbours (same material)")
	} else {
		words = append(words, fmt.Sprintf("with the temperature coefficient of its neighbours, "+
			"%.3g ppm/K", 1e6*d.Law.Alpha()))
	}
	return strings.Join(words, ", ") +
		"; age and trim it before it goes in, and note on the box what differs"
}

// ohmsInFull prints a nominal value, which is not to be rounded.
func ohmsInFull(v float64) string { return unit.Format(v, unit.Ohm) }

// repairElements is the repair of many elements. The meter is checked before a dial that is off
// as a whole: its range reads that dial alone.
func (r *repairing) repairElements(f Fault) {
	switch f.Kind {
	case KindAged:
		r.addStep("Rebuild it: resistors that have taken up moisture do not recover for long, " +
			"and drying undoes only part of the change.")
	case KindOverloaded:
		r.addStep("Look at %s for discoloured resistors, and replace those that do not recover "+
			"within a day: %s.", f.placesText(r.box), r.replacementInWords(f.A))
	// KindDialDrift.
	default:
		r.addStep("Read one known resistor on the range that reads %s: check the meter before the "+
			"dial.", f.A.In(r.box))
		r.addStep("If the meter is right, correct the dial with a calibration record, or re-trim " +
			"its elements one by one: high ones by a resistor in parallel, R·(R + d)/d, low ones " +
			"by d in series.")
	}
	// A dial is corrected on paper first; whoever re-trims it follows the steps of its elements.
	if f.Kind != KindDialDrift {
		r.addCautions(cautionOff, cautionOpen, cautionSolder)
	}
	r.readAfter(f)
}

// repairBridge is the repair of what joins two nodes. A short of an element is a bridge between its
// ends. Flux conducts more when it is damp, so that it is washed off and not only looked at.
func (r *repairing) repairBridge(f Fault) {
	r.addStep("Look between %s for wires that touch, a strand, a splash of solder, flux or a dark "+
		"track; bend bare wires apart and sleeve them, wash flux off and let it dry.",
		r.endsInWords(f))
	r.addCautions(cautionOff, cautionOpen, cautionSolvent)
	r.readAfter(f)
}

// endsInWords names the two ends of a bridge; one that is named by its element has those of it.
func (r *repairing) endsInWords(f Fault) string {
	if f.B.Part == PartNone {
		return "the ends of " + f.A.In(r.box)
	}
	return bothPlaces(r.box, f.A, f.B)
}

// repairLeak is the repair of leaks across more than an element. Leakage is humidity on a surface
// before it is a part: it is washed and dried, and tested only to the case and within the rating
// (cautionTester).
func (r *repairing) repairLeak(f Fault) {
	switch f.Kind {
	// Outside of the box first: nothing is opened for posts and panel.
	case KindTerminalLeak:
		r.addStep("Clean posts, panel and leads with isopropanol, keep the leads apart, and dry " +
			"the box for a day in warm, dry air.")
	case KindDialLeak:
		r.addStep("Clean the switch wafer and the board of %s with isopropanol, wash flux off, "+
			"and dry the box for a day in warm, dry air.", f.A.In(r.box))
	// KindCaseLeak: the strap is the test, since a floating case takes no current.
	default:
		r.addStep("Take the strap to the case off and read again. If the fault goes, look between "+
			"%s and the case for crushed insulation, a long screw or dirt.", f.A.In(r.box))
		r.addStep("Clean and dry, test the insulation, and put the strap back on the terminal " +
			"that the manual names.")
		r.addCautions(cautionOff, cautionTester)
	}
	r.addCautions(cautionOff, cautionOpen, cautionSolvent)
	r.readAfter(f)
}

// readAfter notes what is read when the fault is repaired. The fewest settings that show whether
// the repair holds: of an element of a ladder the positions below and above it and the highest,
// else all positions of the dial; without a dial zero and each dial at its top.
func (r *repairing) readAfter(f Fault) {
	whole := "every position of " + Place{PartDial, f.A.Dial, 0}.In(r.box)
	name := ""
	if f.A.ofDial() {
		name = whole
	}
	switch {
	case name == "":
		name = "zero and each dial at its highest position"
	case f.A.Part == PartElement && r.box.Decades()[f.A.Dial].Tapped():
		dec := r.box.Decades()[f.A.Dial]
		low, high := dec.Taps(f.A.Number)
		at := []int{low, high, dec.Positions}
		name = numbered("position", slices.Compact(at)) + " of " +
			Place{PartDial, f.A.Dial, 0}.In(r.box)
	}
	// Every position of the dial has these in it.
	if !slices.Contains(r.read, name) && !slices.Contains(r.read, whole) {
		r.read = append(r.read, name)
	}
}

// finishRepair says what to read afterwards. It puts what every repair has at the end: what to
// read, and the cautions about the box and the law.
func (r *repairing) finishRepair() {
	if len(r.Steps) == 0 {
		return
	}
	wait := ""
	// Heat changes a resistor for hours (common practice): it is read cold, and again.
	if slices.Contains(r.Cautions, cautionSolder) {
		wait = ", cold after an hour, and again after a day if anything was soldered"
	}
	r.After = "Afterwards read, as left, " +
		joined(append(r.read, "all dials at their highest positions"), "and") + wait
	if r.dirty {
		r.After += "; three diallings of each setting that was off must agree"
	}
	r.After += "."
	r.addCautions(cautionOff, cautionCodes)
}
