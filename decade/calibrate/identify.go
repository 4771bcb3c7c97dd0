// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// How a box is identified, in the order in which one step needs the result of the one before:
//
//  1. sortReadings sorts by what was off zero. With all dials at zero a reading shows the
//     residual, with one dial off zero what this dial adds; settings of several dials are set
//     aside for doubtSums.
//  2. findDial takes the residual off and finds the step, or two ranges on one switch.
//  3. setConvention asks whether nominal values include the residual: the steps must be known.
//  4. evaluate describes the box with a tolerance that anything meets, has package verify
//     evaluate the readings that fit, which gives them uncertainties, and from these finds the
//     codes and the class of each dial.
//  5. result says what is in doubt, and describes and compares once more with codes and classes.
//
// Steps 1 to 3 use plain numbers without uncertainties: what a maker meant is a round number, and
// a quarter of a step is far more than any meter errs. Numbers of dials and positions are those
// of the readings up to step 2, and those of the found dials after it; foundDial.position
// converts.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// An Identification is what readings say of a box whose plate cannot be trusted. Any number
// of goroutines may read one at once.
type Identification struct {
	// Box is described as the readings show it, for its owner to correct: steps,
	// codes, ranges of one switch, residual, and as tolerance the class that each dial meets.
	Box   *decade.Box
	Dials []IdentifiedDial // of Box, in its order

	// Residual is the resistance with all dials at zero in ohms, the mean of its diallings,
	// ResidualU its expanded uncertainty (95 %).
	Residual, ResidualU float64

	// Readings are all readings of the stage at the settings of Box, which has a dial more for
	// each second range: with it they go to package verify.
	Readings []verify.Reading

	Doubts []string       // what the readings leave open or do not explain, in sentences
	Report *verify.Report // of the readings that fit Box, against it
}

// An IdentifiedDial is a dial of the box, or one of two ranges on one switch. Any number of
// goroutines may read one at once.
type IdentifiedDial struct {
	Name   string
	Switch int // which dial of the readings it is, from 0
	// First and Last are the first and the last position of the readings that belong to it, zero
	// excluded; Last < First where the values fall as the number rises.
	First, Last int

	Step  float64 // Ω, as it was probably meant
	Shown float64 // Ω, the median of what the steps add
	// Code is "equal steps" or the weights of the code, "1-2-4-2"; Probability that of it
	// among the codes that are known (0 where too few positions were read to compare).
	Code        string
	Probability float64
	// Alike are other codes that no readings at the terminals tell from Code, at the positions
	// that were read; Probability is that of all of them together.
	Alike []string

	Class float64 // fraction: the tolerance of the series 1-2-5 that its positions meet; 0: none
	Read  int     // positions that were read alone
	Off   int     // of these, positions that do not fit the step
}

// equalSteps is the word for a ladder: one element a step, all alike, and no weighted code.
const equalSteps = "equal steps"

// Identify works out the description of a box from its readings: the step of each dial, from the
// median of what its steps add; two ranges on one switch, where the values of a dial begin again
// with another step; whether the nominal values include the residual; the code, by how well the
// elements of each explain the deviations (see [Identification]); and the class that is met.
//
// The readings need every dial at several positions with the others at zero, and all dials at
// zero. Their settings may be of any box with these dials, as that of
// [verify.ReadUnidentified]: its steps are not looked at. Those as found count if there are any.
// Positions that do not fit are left out of the class and listed in Doubts, in sentences for
// the owner of the box; none of them is an error.
//
// The code is found by Bayes' rule: each code, and a ladder of equal steps, predicts how the
// deviations of the positions go together if its elements deviate independently, by any
// fraction from 1e-6 to 3 %, beside an error of the dial as a whole; half of the prior
// probability is that of the ladder. Below 95 % the ladder stays, and a doubt says so.
func Identify(readings []verify.Reading, meter *verify.Meter) (*Identification, error) {
	const op = "calibrate.Identify"
	if meter == nil {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrEmpty, "no meter; expected the one that "+
			"was read")}
	}
	id := &identifyRun{op: op, meter: meter}
	if err := id.sortReadings(readings); err != nil {
		return nil, err
	}
	if err := id.setResidual(); err != nil {
		return nil, err
	}
	for d := range id.highest {
		id.findDial(d)
	}
	// A dial that was not read alone is a doubt; where all are, there is no box to speak of.
	if !slices.ContainsFunc(id.dials, func(x foundDial) bool { return x.step > 0 }) {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrEmpty, "no dial of which a position was read alone; expected "+
				"every dial at several positions with the others at zero")}
	}
	id.setConvention()
	if err := id.evaluate(); err != nil {
		return nil, err
	}
	return id.result()
}

// identifyRun is an identification at work. Values are in Ω. The lists of maps go by the dial of
// the readings, their maps by its position.
type identifyRun struct {
	op                  string
	meter               *verify.Meter
	readings            []verify.Reading    // of one stage, without those of known resistors
	highest             []int               // position of each dial of the readings
	alone               []map[int][]float64 // values at positions of a dial, the others at zero
	open                []map[int]bool      // positions that are above range
	seen                []map[int]bool      // positions that occur in any setting
	both                map[[2]int]bool     // dials that were off zero together, the lower first
	zero                []float64           // values at zero
	residual, residualU float64             // their mean, and its expanded uncertainty
	included            bool                // whether nominal values include it
	dials               []foundDial         // one or two for each dial of the readings, in order
	doubts              []string
	box                 *decade.Box      // as described last
	converted           []verify.Reading // all readings, at the settings of box
	report              *verify.Report   // of those that fit
}

// foundDial is a dial that was found, or a range of it. Positions are those of the found dial,
// from 1; First and Last of the IdentifiedDial are positions of the readings.
type foundDial struct {
	IdentifiedDial

	step   float64         // Ω; 0: none was found
	values map[int]float64 // over the residual, by position of the found dial
	off    map[int]bool    // positions that do not fit
	code   *decade.Code
	label  string // of the switch that it shares
}

// addDoubt adds a sentence for the owner of the box, who knows dials and readings, not elements
// and covariances. Doubts stay in the order in which they arise, dial by dial.
func (id *identifyRun) addDoubt(format string, args ...any) {
	id.doubts = append(id.doubts, fmt.Sprintf(format, args...))
}

// sortReadings takes the readings of one stage, as found if there are any, and notes of each what
// it is of. It refuses readings of more than one box, and values that are no numbers.
func (id *identifyRun) sortReadings(readings []verify.Reading) error {
	// As found before as left: what the box is shows best before anything in it was changed.
	stage := verify.StageAsLeft
	for i := range readings {
		if r := &readings[i]; r.Known == nil && r.Stage == verify.StageAsFound {
			stage = r.Stage
		}
	}
	var box *decade.Box
	for i := range readings {
		r := readings[i]
		if r.Known != nil || r.Stage != stage {
			continue
		}
		if !r.Setting.IsValid() || box != nil && r.Setting.Box() != box {
			return &Error{Op: id.op, Name: fmt.Sprintf("reading %d", i+1),
				Err: unit.Errorf(ErrContradiction, "setting %v; expected settings of one box",
					r.Setting)}
		}
		if err := id.checkValues(i, &r); err != nil {
			return err
		}
		box = r.Setting.Box()
		id.readings = append(id.readings, r)
	}
	if box == nil {
		return &Error{Op: id.op, Err: unit.Errorf(ErrEmpty, "no readings of a box; expected at "+
			"least zero and two positions of each dial")}
	}
	// The dials of the readings, whose steps mean nothing: only how many there are, and which
	// positions occur.
	n := box.NumDecades()
	id.highest, id.both = make([]int, n), make(map[[2]int]bool)
	for range n {
		id.alone = append(id.alone, make(map[int][]float64))
		id.open = append(id.open, make(map[int]bool))
		id.seen = append(id.seen, make(map[int]bool))
	}
	for i := range id.readings {
		id.noteReading(&id.readings[i])
	}
	return nil
}

// largestValue bounds a value, in Ω: differences of larger ones would lose every digit of a step.
const largestValue = 1e15

// checkValues refuses values that no reading has; i is the index of the reading, for the error.
func (id *identifyRun) checkValues(i int, r *verify.Reading) error {
	for _, v := range slices.Concat(r.Values, r.Reversed) {
		if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > largestValue {
			return &Error{Op: id.op, Name: fmt.Sprintf("reading %d", i+1), Value: v,
				Err: unit.Errorf(ErrDomain, "%v Ω; expected a finite number up to %.0e Ω, or "+
					"an overload", v, largestValue)}
		}
	}
	return nil
}

// noteReading notes where a reading belongs: to the zero, to a dial alone, or to several.
func (id *identifyRun) noteReading(r *verify.Reading) {
	var off []int
	for d, p := range r.Setting.Positions() {
		id.seen[d][p] = true
		id.highest[d] = max(id.highest[d], p)
		if p > 0 {
			off = append(off, d)
		}
	}
	for i, a := range off {
		for _, b := range off[:i] {
			id.both[[2]int{b, a}] = true
		}
	}
	v := shownMean(r)
	switch {
	case len(off) > 1: // says nothing of one step; the sums are compared later
	case len(off) == 0 && !r.Overload:
		id.zero = append(id.zero, v)
	case len(off) == 0:
		// With another reading at zero the work goes on; without one setResidual ends it.
		id.addDoubt(
			"With all dials at zero the meter showed more than its range: the path is open " +
				"there, at a contact, a link or a terminal.")
	case r.Overload:
		id.open[off[0]][r.Setting.Position(off[0])] = true
	default:
		p := r.Setting.Position(off[0])
		id.alone[off[0]][p] = append(id.alone[off[0]][p], v)
	}
}

// shownMean is the mean of what the meter showed, of both polarities alike.
func shownMean(r *verify.Reading) float64 {
	switch {
	case len(r.Reversed) == 0:
		return mean(r.Values)
	case len(r.Values) == 0:
		return mean(r.Reversed)
	}
	// Both polarities count alike, whatever their number, so that the thermal EMF cancels.
	return (mean(r.Values) + mean(r.Reversed)) / 2
}

// mean is the arithmetic mean, 0 of an empty list (GUM 4.2.1).
func mean(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	if len(list) == 0 {
		return 0
	}
	return sum / float64(len(list))
}

// median is the middle of the sorted values, which one gross error does not move.
func median(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	s := slices.Sorted(slices.Values(list))
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}

// setResidual takes the mean of the readings at zero. Each value of a dial has it taken off, so
// that without one nothing can be said of any step.
func (id *identifyRun) setResidual() error {
	if len(id.zero) == 0 {
		return &Error{Op: id.op, Err: unit.Errorf(ErrEmpty, "no value with all dials at zero; "+
			"expected one, since all others are compared with it")}
	}
	id.residual = mean(id.zero)
	return nil
}

// findDial finds the step of dial d of the readings, or the two of its ranges, and appends one
// dial or two to what was found: one with step 0 where it was never read alone, so that positions
// of the readings keep a place in the box.
func (id *identifyRun) findDial(d int) {
	// Over the residual: the other dials at zero leave the residual and this dial in circuit.
	over := make(map[int]float64)
	for p, list := range id.alone[d] {
		over[p] = mean(list) - id.residual
	}
	for _, p := range sortedKeys(id.open[d]) {
		if _, also := over[p]; !also {
			id.addDoubt(
				"%s at position %d is above the range of the meter: open there, or read on "+
					"too low a range.", dialTitle(d), p)
		}
	}
	if len(over) == 0 {
		if id.highest[d] > 0 {
			id.addDoubt("%s was never read alone with the others at zero: nothing is known of its "+
				"step.", dialTitle(d))
		}
		none := IdentifiedDial{Switch: d, First: 1, Last: max(1, id.highest[d])}
		id.dials = append(id.dials, foundDial{IdentifiedDial: none})
		return
	}
	// One range is the hypothesis that holds unless two explain clearly more (IEC 60477-1 knows
	// decades only, from memory).
	one := oneRange(d, id.highest[d], over)
	two, ok := twoRanges(d, id.highest[d], over)
	misfits := two[0].misfits() + two[1].misfits()
	// Two ranges are claimed where they explain nearly all, four positions in five, and clearly
	// more than one range does; a fault explains less.
	if ok && misfits+2 < one.misfits() && 5*misfits <= len(over) {
		label := fmt.Sprintf("S%d", d+1)
		two[0].label, two[1].label = label, label
		id.dials = append(id.dials, two[:]...)
		id.addDoubt("%s is two ranges on one switch: positions %d to %d of the readings and "+
			"positions %d to %d; the box file counts each from its zero, with the label %q.",
			dialTitle(d), two[0].First, two[0].Last, two[1].First, two[1].Last, label)
		return
	}
	id.dials = append(id.dials, one)
}

// dialTitle names a dial of the readings in a sentence; people count from 1.
func dialTitle(d int) string { return fmt.Sprintf("Dial %d", d+1) }

// sortedKeys lists the keys of a map in order, so that sentences do not depend on chance.
func sortedKeys[V any](m map[int]V) []int {
	out := make([]int, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// How far a value may lie from its position: a quarter of a step, where a wrong position is off
// by a whole one, and 2.5 % of the value beside it. Position 10 may so lie half a step off.
const (
	fittingSteps    = 0.25
	fittingFraction = 0.025
)

// oneRange is a dial whose positions are multiples of one step: the median of what positions
// add, or, where a fault changes most of them, of the values themselves, or the first. Over has
// the values over the residual in Ω by position; highest is the last position of the dial.
//
// An element that is off changes one step, and the values of all positions above it; ohms in the
// wiper change the first step, and all values. A value that is wrong by itself changes two steps
// and one value, so that with few positions the steps suffer more than the values do.
func oneRange(d, highest int, over map[int]float64) (best foundDial) {
	var ratios []float64
	for p, v := range over {
		ratios = append(ratios, v/float64(p))
	}
	first := sortedKeys(over)[0]
	// Three estimates, since none of them survives every fault: the fewest misfits decide.
	for i, shown := range []float64{increment(over), median(ratios), over[first] / float64(first)} {
		x := foundDial{step: intendedStep(shown), values: over, off: make(map[int]bool)}
		x.IdentifiedDial = IdentifiedDial{Switch: d, First: 1, Last: highest, Shown: shown,
			Read: len(over)}
		x.markMisfits()
		if i == 0 || x.misfits() < best.misfits() {
			best = x
		}
	}
	return best
}

// markMisfits finds the positions that do not fit the step. A dial that reads 1.05 Ω a step
// throughout has step 1 Ω and no misfit: all of it is off, which is said in another sentence.
func (x *foundDial) markMisfits() {
	for p, v := range x.values {
		// The drift of the dial as a whole is no misfit of a position, and so it is allowed for.
		allowed := x.step*fittingSteps + math.Abs(x.Shown-x.step)*float64(p) +
			fittingFraction*float64(p)*x.step
		if !(math.Abs(v-float64(p)*x.step) <= allowed) {
			x.off[p] = true
		}
	}
}

// misfits counts the positions that do not fit, all of them where there is no step: so any step
// that explains one position is better than none.
func (x *foundDial) misfits() int {
	if !(x.step > 0) {
		return len(x.values)
	}
	return len(x.off)
}

// increment is the median in Ω of what a position adds, between neighbours that were read. A gap
// counts once, with the mean of what its positions add. A median and no mean, since nearly half
// of the steps may be wrong before it moves to one of them.
func increment(over map[int]float64) float64 {
	var list []float64
	last, before := 0, 0.0 // position 0 adds nothing to the residual
	for _, p := range sortedKeys(over) {
		list = append(list, (over[p]-before)/float64(p-last))
		last, before = p, over[p]
	}
	return median(list)
}

// twoRanges splits a dial where it begins again: the second range rises from the split, or falls
// towards the end, where a switch that turns all round comes back to zero. With twelve positions
// off zero, 1 to 6 of 1 Ω and then 10 Ω:
//
//	rising    1 2 3 4 5 6 10 20 30 40 50 60    position 7 of the readings is 1 of the second
//	falling   1 2 3 4 5 6 60 50 40 30 20 10    position 12 is 1, position 7 is 6
//
// Every split is tried both ways and the one with the fewest misfits taken, the first of equals;
// ok is false where no split gives two ranges with different steps. It costs of the order of n²
// for n positions.
func twoRanges(d, highest int, over map[int]float64) (best [2]foundDial, ok bool) {
	positions := sortedKeys(over)
	// Two positions at least on each side: one alone fits any step.
	for i := 2; i+2 <= len(positions); i++ {
		split := positions[i-1]
		first := make(map[int]float64)
		rising, falling := make(map[int]float64), make(map[int]float64)
		for _, p := range positions {
			if p <= split {
				first[p] = over[p]
				continue
			}
			// The second range may count on or back: switches are made in both ways.
			rising[p-split], falling[highest+1-p] = over[p], over[p]
		}
		a := oneRange(d, split, first)
		up, down := oneRange(d, highest-split, rising), oneRange(d, highest-split, falling)
		up.First, up.Last = split+1, highest
		down.First, down.Last = highest, split+1
		for _, b := range []foundDial{up, down} {
			if !(a.step > 0) || !(b.step > 0) || a.step == b.step {
				continue
			}
			if !ok || a.misfits()+b.misfits() < best[0].misfits()+best[1].misfits() {
				best, ok = [2]foundDial{a, b}, true
			}
		}
	}
	return best, ok
}

// intendedStep is the step in Ω that a maker will have meant: the power of ten, if one is within
// a fifth; else the number of fewest digits within a fiftieth. It is 0 for what is no step. So
// 0.985 Ω and 1.15 Ω are 1 Ω, 1.97 Ω is 2 Ω, 2.53 Ω is 2.5 Ω.
func intendedStep(shown float64) float64 {
	if !(shown > 1e-9) || math.IsInf(shown, 1) {
		return 0
	}
	const nearTen, nearRound = 0.2, 0.02
	// Powers of ten before all else: they are what decades are made for (IEC 60477-1, from
	// memory). The one above as well, since 0.985 has the exponent −1.
	for _, above := range []int{0, 1} {
		ten := number(fmt.Sprintf("1e%d", elementary.DecimalExponent(shown)+above))
		if math.Abs(shown/ten-1) <= nearTen {
			return ten
		}
	}
	for digits := range 3 {
		v := number(fmt.Sprintf("%.*e", digits, shown))
		if math.Abs(shown/v-1) <= nearRound {
			return v
		}
	}
	return number(fmt.Sprintf("%.2e", shown))
}

// setConvention decides whether nominal values include the residual: the values of the smallest
// steps then fit without taking it off. Only these can tell: 20 mΩ is 2 % of a step of 1 Ω, and
// nothing beside the tolerance of one of 1 kΩ. At least one dial must have a step.
func (id *identifyRun) setConvention() {
	smallest := -1
	for i, x := range id.dials {
		if x.step > 0 && (smallest < 0 || x.step < id.dials[smallest].step) {
			smallest = i
		}
	}
	x := &id.dials[smallest]
	// Distances from nominal without the residual, and with it.
	var over, total []float64
	for p, v := range x.values {
		if !x.off[p] {
			over = append(over, math.Abs(v-float64(p)*x.step))
			total = append(total, math.Abs(v+id.residual-float64(p)*x.step))
		}
	}
	// Clearly so or not at all: most positions must fit within a quarter of the residual with
	// it, and be off by three quarters without.
	id.included = len(over) >= 3 && id.residual > 0 && median(total) < id.residual/4 &&
		median(over) > id.residual*3/4
	if id.included {
		id.addDoubt("The values of the %s dial fit without taking the residual off: the nominal "+
			"values are taken to include it.", ohms(x.step))
	}
	// A step below 0.1 Ω is of the size of residuals that boxes have (common practice), and says
	// nothing against one.
	if id.residual >= x.step/2 && x.step >= 0.1 {
		id.addDoubt("With all dials at zero the box reads %s, more than half a step of its "+
			"smallest dial: a knob may have slipped on its shaft, or the leads were not nulled.",
			ohms(id.residual))
	}
}

// evaluate makes the box, compares the readings that fit with it, and looks for codes and
// class. The class of a dial is that of verify.Report.ClassMet, in the series 1-2-5, one voice
// with the report that the owner of the box will read next.
func (id *identifyRun) evaluate() error {
	// The class is not known yet; a tolerance that anything meets lets the rows be evaluated.
	if err := id.describe(generousTolerance); err != nil {
		return err
	}
	if err := id.compare(); err != nil {
		return err
	}
	if err := id.codes(); err != nil {
		return err
	}
	for _, met := range id.report.ClassMet {
		if met.Dial >= 0 && !math.IsInf(met.Series, 1) && met.Series <= largestClass {
			id.dials[met.Dial].Class = met.Series
		}
	}
	return nil
}

const (
	generousTolerance = 0.1 // tolerance of the dials while their class is looked for
	largestClass      = 0.1 // class index of resistance boxes, 10 % (IEC 60477-1, from memory)
)

// describe makes the box from what was found; a tolerance of 0 takes the class of each dial. A
// dial without a step gets one of 1 Ω: a box has no dial without, and its name says that it is
// not known. Two dials of one step get different names, by which a box tells them apart.
func (id *identifyRun) describe(tolerance float64) error {
	spec := decade.Spec{Name: "identified from readings", ResidualIncluded: id.included}
	spec.Residual, spec.ResidualTolerance = id.residualLimits()
	names := make(map[string]bool)
	for i := range id.dials {
		x := &id.dials[i]
		d := decade.Decade{Step: cmp.Or(x.step, 1), Positions: x.numPositions(), Switch: x.label}
		d.Tolerance = cmp.Or(tolerance, x.Class)
		if x.code != nil {
			d.Code = *x.code
		}
		d.Name = "×" + ohms(d.Step)
		if x.step == 0 {
			d.Name = fmt.Sprintf("dial %d, step not known", x.Switch+1)
		}
		if names[d.Name] {
			d.Name += fmt.Sprintf(", dial %d", x.Switch+1)
		}
		names[d.Name] = true
		x.Name = d.Name
		spec.Decades = append(spec.Decades, d)
	}
	box, err := decade.New(spec)
	if err != nil {
		return &Error{Op: id.op, Err: unit.Cause(err)}
	}
	id.box = box
	return nil
}

// numPositions is the highest position of a found dial.
func (x *foundDial) numPositions() int { return max(x.Last-x.First, x.First-x.Last) + 1 }

// position is what a found dial is at where the dial of the readings is at p; 0 where it is at
// zero, or in the other range.
func (x *foundDial) position(p int) int {
	switch {
	case p >= x.First && p <= x.Last:
		return p - x.First + 1
	case p <= x.First && p >= x.Last && p > 0:
		return x.First - p + 1
	}
	return 0
}

// compare evaluates the readings whose positions fit, at the settings of the box. All of them are
// converted: those that do not fit go to the search for faults with the others.
func (id *identifyRun) compare() error {
	var list []verify.Reading
	id.converted = nil
	for i := range id.readings {
		r := id.readings[i]
		positions := make([]int, len(id.dials))
		fits := !r.Overload
		for k := range id.dials {
			x := &id.dials[k]
			p := x.position(r.Setting.Position(x.Switch))
			positions[k] = p
			fits = fits && (p == 0 || x.step > 0 && !x.off[p])
		}
		s, err := id.box.At(positions...)
		if err != nil {
			return &Error{Op: id.op, Err: unit.Cause(err)}
		}
		r.Setting, r.Turned = s, nil // dials have other numbers, where ranges were found
		id.converted = append(id.converted, r)
		if fits {
			list = append(list, r)
		}
	}
	// The class that is met is judged with a guard band of U (w = U, JCGM 106:2012, 8.3.2): one
	// that a buyer can rely on.
	report, err := verify.Evaluate(id.box, id.meter, list, conformity.Guarded(1))
	if err != nil {
		return &Error{Op: id.op, Err: unit.Cause(err)}
	}
	id.report = report
	return nil
}
