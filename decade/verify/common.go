// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
)

// A meter that is off, a wrong temperature and a box that has drifted as a whole all shift many
// readings by one fraction, and none of them is a faulty part. This file looks for such shifts
// before any part is blamed: in all readings of a stage, on each range of the meter, on each
// dial, and where the range changes within a dial. A shift rules only where it exceeds what
// chance explains, what the class allows, and is alike for all dials that can show it.
//
// A shift is the weighted mean of relative deviations d_i with the standard uncertainties u_i,
//
//	m = Σ w_i·d_i / Σ w_i,   w_i = 1/u_i²
//
// over steps that are kept after wild ones are left out (keptSamples). Its U comes from the
// sources of the readings (combine), so that the gain error, which all of them share, does not
// shrink with their number. What can explain it is printed beside it, each as a limit: the meter
// and the temperature by their shares of that U, the class by the weighted class of the samples.
//
// Steps, not positions: one element that is 1 % high moves every position above it, but one step.
// The cost is linear in the samples for each range and dial.

// CommonScope is the set of readings that a [Common] is about. Any number of goroutines may use one
// at once.
type CommonScope uint8

const (
	CommonAll   CommonScope = iota // all readings of a stage
	CommonRange                    // those on one range of the meter
	CommonDial                     // the steps of one dial
	CommonJump                     // the step of a dial at which the range changes
)

// commonScopes are the texts in files.
var commonScopes = file.Words[CommonScope]{Type: "verify.CommonScope",
	Texts: []string{"all", "range", "dial", "jump"}}

// String returns "all", "range", "dial" or "jump".
func (s CommonScope) String() string { return commonScopes.String(s) }

// MarshalText returns the text of String.
func (s CommonScope) MarshalText() ([]byte, error) { return commonScopes.Marshal(s) }

// UnmarshalText reads what MarshalText writes.
func (s *CommonScope) UnmarshalText(text []byte) error { return commonScopes.Unmarshal(text, s) }

// A Common is a deviation that many readings share, such as all those on one range: their mean
// relative deviation from nominal, and what can explain it. A tapped dial enters with its steps,
// each once, so that one element that is off moves one value; other dials enter with their
// positions. Values far from the rest (five robust standard deviations) are left out. Any number
// of goroutines may read one at once.
type Common struct {
	Stage Stage
	Scope CommonScope
	Range string // of a range; of a jump the upper one
	From  string // of a jump: the range below
	Dial  int    // index in the box; −1: none
	Name  string // of the dial

	Values   int     // number of steps and positions
	Shift, U float64 // fraction of nominal; of a jump, of the reading below. U is at 95 %

	// What can explain it, each ± as a fraction: the limits of the meter, the temperature (its
	// measurement, the coefficient; 5 K where it was not recorded), the class of the box.
	Meter, Temperature, Box float64

	// Rules is true where the shift is to be explained before any single part: it is larger than
	// chance; larger than the class of one dial explains, or two thirds of the class of two dials,
	// or a third of that of more; and the same for all dials whose readings can show it.
	Rules bool

	// Same names dials that were read on this range alone, or the range that this dial was
	// read on: the readings cannot tell the two apart.
	Same []string

	ranges []string // concerned
}

// String returns the fact in a sentence or two.
func (c Common) String() string {
	what := "All readings deviate"
	switch c.Scope {
	case CommonRange:
		what = "Readings on range " + c.Range + " deviate"
	case CommonDial:
		what = "The steps of the " + c.Name + " dial deviate"
	case CommonJump:
		return fmt.Sprintf("Where the %s dial changes from range %s to %s, the reading jumps by "+
			"%s of itself, U = %s.", c.Name, c.From, c.Range, shiftText(c.Shift, c.U),
			unsignedRelative(c.U))
	}
	s := fmt.Sprintf("%s by %s in common, U = %s. The meter can explain ±%s, the temperature "+
		"±%s, the class of the box ±%s.",
		what, shiftText(c.Shift, c.U), unsignedRelative(c.U), unsignedRelative(c.Meter),
		unsignedRelative(c.Temperature), unsignedRelative(c.Box))
	if len(c.Same) > 0 {
		s += " The same readings are those of " + wording.List(c.Same) + "."
	}
	if c.Rules {
		s += " That is more than chance."
	}
	return s
}

// Ranges lists the ranges of the meter concerned: where the shift rules, reading a known
// resistor on each shows whether it is the meter's. Package decade/inspect proposes it where no
// cause is known.
func (c Common) Ranges() []string { return slices.Clone(c.ranges) }

// shiftText prints a shift, 0 where it is below all digits that U leaves.
func shiftText(shift, U float64) string {
	// Below all digits that U leaves (GUM 7.2.6).
	if math.Abs(shift) < U/100 {
		return "0 ppm"
	}
	return relativeText(shift)
}

// unsignedRelative prints the size of a relative figure.
func unsignedRelative(f float64) string {
	return strings.TrimPrefix(relativeText(math.Abs(f)), "+")
}

// cause is what a component of a budget belongs to.
type cause uint8

const (
	causeOther       cause = iota // residual, leads, scatter, contacts, resistors of known value
	causeMeter                    // limits and certificate of the meter
	causeTemperature              // thermometer and law of the box
)

// familyOf finds the cause of a component by the name that model.go, metererror.go or the box gives
// it. A name is what a component has in every budget, made here or read from a file.
func familyOf(name string) cause {
	switch {
	case strings.HasPrefix(name, "meter ") || strings.HasPrefix(name, "certificate of the meter"):
		return causeMeter
	case strings.HasPrefix(name, "thermometer") ||
		strings.Contains(name, "temperature coefficient"):
		return causeTemperature
	}
	return causeOther
}

// sample is one step or position with its relative deviation.
type sample struct {
	dial      int
	rangeName string
	deviation uncertainty.Quantity // Ω
	budget    *uncertainty.Budget  // of deviation; nil where it is not kept
	nominal   float64              // Ω
	shift, u  float64              // deviation and its standard uncertainty, fraction of nominal
	class     float64              // its limit, fraction of nominal; 0: not stated
}

// common collects what the readings of each stage have in common: by stage all, ranges, dials and
// jumps, in that order, which is the order of a report. Scopes without samples are not listed.
func (r *Report) common() ([]Common, error) {
	var out []Common
	for _, stage := range r.Stages() {
		samples, jumps, err := r.samples(stage)
		if err != nil {
			return nil, err
		}
		list, err := r.commonOf(stage, samples)
		if err != nil {
			return nil, err
		}
		out = append(append(out, list...), jumps...)
	}
	return out, nil
}

// commonOf weighs the samples of a stage: all, by range, by dial. Each sample is in the first, and
// in one range and one dial.
func (r *Report) commonOf(stage Stage, samples []sample) ([]Common, error) {
	var out []Common
	addScope := func(c Common, of []sample) error {
		c.Stage = stage
		ok, err := r.setShift(&c, of)
		if ok {
			out = append(out, c)
		}
		return err
	}
	if err := addScope(Common{Scope: CommonAll, Dial: -1}, samples); err != nil {
		return nil, err
	}
	pick := func(is func(sample) bool) []sample {
		return slices.DeleteFunc(slices.Clone(samples), func(s sample) bool { return !is(s) })
	}
	for _, rg := range r.Meter.Ranges {
		if err := addScope(Common{Scope: CommonRange, Range: rg.Name, Dial: -1},
			pick(func(s sample) bool { return s.rangeName == rg.Name })); err != nil {
			return nil, err
		}
	}
	for d, dec := range r.Box.Decades() {
		if err := addScope(Common{Scope: CommonDial, Dial: d, Name: dec.Name},
			pick(func(s sample) bool { return s.dial == d })); err != nil {
			return nil, err
		}
	}
	r.chooseScope(out, samples)
	return out, nil
}

// chooseScope keeps the widest scope that rules, and says which ranges and dials are the same
// readings.
func (r *Report) chooseScope(list []Common, samples []sample) {
	r.nameSame(list, samples)
	// A shift of all readings explains those of ranges and dials: the widest scope speaks alone.
	if len(list) > 0 && list[0].Scope == CommonAll && list[0].Rules {
		for i := range list[1:] {
			list[1+i].Rules = false
		}
		return
	}
	for i := range list {
		c := &list[i]
		if c.Scope != CommonDial || !c.Rules {
			continue
		}
		covered, of := 0, 0
		for _, s := range samples {
			if s.dial != c.Dial {
				continue
			}
			of++
			if slices.ContainsFunc(list, func(x Common) bool {
				return x.Scope == CommonRange && x.Rules && x.Range == s.rangeName
			}) {
				covered++
			}
		}
		// Two thirds of the dial were read on ranges that are off: the range says it already.
		if 3*covered >= 2*of {
			c.Rules = false
		}
	}
}

// nameSame says of each range that was used for one dial alone that both are the same readings: a
// meter off on that range and a dial off as a whole look alike then.
func (r *Report) nameSame(list []Common, samples []sample) {
	names := r.Box.Spec().Decades
	for i := range list {
		c := &list[i]
		if c.Scope != CommonRange {
			continue
		}
		dials := make(map[int]bool)
		for _, s := range samples {
			if s.rangeName == c.Range {
				dials[s.dial] = true
			}
		}
		if len(dials) != 1 {
			continue
		}
		for d := range dials { // the only one
			c.Same = []string{"the " + names[d].Name + " dial"}
		}
	}
}

// samples are the steps of the tapped dials whose ends were read on one range or begin at
// zero, the positions of the others, and the jumps in between. The first step may begin on another
// range: the zero that is subtracted is small, and so is what the gain of its range adds.
func (r *Report) samples(stage Stage) (samples []sample, jumps []Common, err error) {
	spec := r.Box.Spec()
	singles := r.rowsByPlace()
	stepped := make(map[int]bool)
	for i := range r.Increments {
		inc := &r.Increments[i]
		if inc.Stage != stage {
			continue
		}
		here := place{stage, inc.Dial, inc.Position}
		above, below := lowest(singles[here]), lowest(singles[place{stage, inc.Dial, inc.From}])
		// A step across two ranges compares the ranges, not two elements: it is a jump, no sample.
		if inc.Position > 1 && above.Range != below.Range {
			jumps = append(jumps, Common{
				Stage: stage, Scope: CommonJump, Range: above.Range, From: below.Range,
				Dial: inc.Dial, Name: spec.Decades[inc.Dial].Name, Values: 1,
				Shift:       inc.Budget.Estimate / below.Nominal,
				U:           inc.Budget.Expanded.U / below.Nominal,
				Meter:       part(inc.Budget, causeMeter) / below.Nominal,
				Temperature: part(inc.Budget, causeTemperature) / below.Nominal,
				Box:         inc.Limit / below.Nominal, ranges: []string{below.Range, above.Range},
			})
			continue
		}
		stepped[inc.Dial] = true
		samples = append(samples, newSample(inc.Dial, above.Range, inc.Deviation, inc.Budget,
			inc.Budget.StandardUncertainty, inc.Nominal, inc.Limit))
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		d, _ := onlyDialOffZero(row.Setting)
		// Positions count only where a dial has no steps: the same element would count twice.
		if d < 0 || stepped[d] || row.Reading.Stage != stage || row.Overload || row.Withheld {
			continue
		}
		samples = append(samples, newSample(d, row.Range, row.Deviation, r.from.budgetOf(row),
			row.u, row.Nominal, row.Setting.ClassLimit()))
	}
	return samples, jumps, nil
}

// newSample relates the figures of a step or position to its nominal value: all of them are in Ω,
// nominal above 0.
func newSample(dial int, rangeName string, q uncertainty.Quantity, b *uncertainty.Budget, u,
	nominal, limit float64) sample {
	return sample{dial, rangeName, q, b, nominal, q.Estimate() / nominal, u / nominal,
		limit / nominal}
}

// part is the limit, √3·u, of the components of a budget that belong to a cause, in its
// unit.
func part(b *uncertainty.Budget, of cause) float64 {
	sum := 0.0
	for i := range b.Components {
		if c := &b.Components[i]; familyOf(c.Name) == of {
			sum += square(c.Contribution)
		}
	}
	// √3 standard uncertainties: the half-width of the rectangle that the limits mean (GUM 4.3.7).
	return math.Sqrt(3 * sum)
}

// keptSamples leaves out what lies far from the median: more than five robust standard deviations,
// or five of its own uncertainty where that is larger. One element of ten that is off, or a few of
// several dials, do not move a mean then. It keeps the order.
func keptSamples(samples []sample) []sample {
	// The median of two values cannot say which of them lies outside.
	if len(samples) < 3 {
		return samples
	}
	// The upper one of the two in the middle; it sorts its argument.
	median := func(v []float64) float64 { slices.Sort(v); return v[len(v)/2] }
	values := make([]float64, len(samples))
	for i, s := range samples {
		values[i] = s.shift
	}
	m := median(values)
	for i, s := range samples {
		values[i] = math.Abs(s.shift - m)
	}
	// Standard deviation of a normal distribution over its median deviation: 1/Φ⁻¹(3/4).
	const robust = 1.4826
	// Medians, which a few wild values do not move (ISO 13528, the scaled median of deviations).
	width := 5 * robust * median(values)
	return slices.DeleteFunc(slices.Clone(samples),
		func(s sample) bool { return math.Abs(s.shift-m) > max(width, 5*s.u) })
}

// setShift fills in the weighted mean of the samples; ok is false where there are none. It is kept
// for a report that grows before the temperature is added, which depends on other rows too.
func (r *Report) setShift(c *Common, all []sample) (ok bool, err error) {
	x, ok := r.from.before.shift(c, all)
	if !ok {
		x = shiftOf{samples: all, common: *c}
		if x.ok, err = r.weighSamples(&x.common, all); err != nil {
			return false, err
		}
	}
	r.from.shifts = append(r.from.shifts, x)
	*c = x.common
	if x.ok {
		c.Temperature += r.unrecorded(c)
	}
	return x.ok, nil
}

// leastVariance is added to the relative variance of a sample: without it an exact value would
// have an infinite weight. It is that of 1e-9.
const leastVariance = 1e-18

// weighSamples is setShift by the samples alone. The class of the samples is the bound for whether
// the box explains a shift: one dial may be off by all of its class, two by two thirds, more by a
// third of the smallest.
func (r *Report) weighSamples(c *Common, all []sample) (ok bool, err error) {
	samples := keptSamples(all)
	if len(samples) == 0 {
		return false, nil
	}
	weights := make([]float64, len(samples))
	total := 0.0
	for i, s := range samples {
		// Weights 1/u², which make the variance of a weighted mean least (Gauss–Markov theorem).
		weights[i] = 1 / (square(s.u) + leastVariance)
		total += weights[i]
	}
	factors := make([]float64, len(samples))
	least := math.Inf(1)
	for i, s := range samples {
		weights[i] /= total
		factors[i] = weights[i] / s.nominal
		// The class of the parts, weighted as they are: what the box may do within its class.
		c.Box += float64(weights[i] * s.class)
		if s.class > 0 {
			least = min(least, s.class)
		}
		if !slices.Contains(c.ranges, s.rangeName) {
			c.ranges = append(c.ranges, s.rangeName)
		}
	}
	// w_i/R_i turns deviations in Ω into the mean of fractions.
	m, err := combine(factors, samples)
	if err != nil {
		return false, &Error{Op: "verify.Evaluate", Name: "what is common", Err: err}
	}
	c.Values, c.Shift, c.U = len(samples), m.estimate, m.expanded
	c.Meter, c.Temperature = m.part(causeMeter), m.part(causeTemperature)
	dials, same := dialsShifted(c.Shift, all)
	// The elements of one dial may be off together, up to its class; those of two or more
	// dials seldom are by the same part of it.
	share := map[int]float64{0: 1, 1: 1, 2: 2. / 3}[dials]
	if dials > 2 {
		share = 1. / 3
	}
	// Alike for all dials, larger than the class explains, and more than chance: all three, or a
	// part explains it better than the meter.
	c.Rules = same && math.Abs(c.Shift) > share*least &&
		beyondChance(c.Shift, m.part(causeOther)/math.Sqrt(3), samples, weights) &&
		(c.Scope != CommonAll || dials > 1)
	return true, nil
}

// beyondChance reports whether a mean of three values or more exceeds three times what
// scatter and the readings' own uncertainty explain. own is the standard uncertainty of the mean
// by causes other than meter and temperature, which the shift is compared with apart. The scatter
// is √(Σ w_i·(d_i − m)²/(n − 1)), of the mean, with weights that add to 1; three of it have the
// significance of 0.3 % only for many samples, of 10 % for three.
func beyondChance(mean, own float64, samples []sample, weights []float64) bool {
	n := float64(len(samples))
	if n < 3 {
		return false
	}
	spread := 0.0
	for i, s := range samples {
		spread += float64(weights[i] * square(s.shift-mean))
	}
	// The scatter of the weighted mean about itself (GUM 4.2.3), or what the readings state,
	// whichever is larger.
	return math.Abs(mean) > 3*max(own, math.Sqrt(spread/(n-1)))
}

// dialsShifted counts the dials that can tell a shift of the mean, and reports whether each of
// them is shifted by about as much: half of it to one and a half. A dial of small steps, read with
// 1 %, says nothing of a shift of 0.01 %.
func dialsShifted(mean float64, samples []sample) (dials int, same bool) {
	byDial := make(map[int][]sample)
	for _, s := range samples {
		byDial[s.dial] = append(byDial[s.dial], s)
	}
	same = true
	// In the order of the map: counts and conjunctions do not depend on it.
	for _, list := range byDial {
		sum, weight := 0.0, 0.0
		for _, s := range keptSamples(list) {
			w := 1 / (square(s.u) + leastVariance)
			sum += float64(w * s.shift)
			weight += w
		}
		// A dial counts for or against only if it can see a quarter of the shift.
		if 1/math.Sqrt(weight) > math.Abs(mean)/4 {
			continue // too blurred to tell
		}
		dials++
		same = same && math.Abs(sum/weight-mean) <= math.Abs(mean)/2
	}
	return dials, same
}

// unrecordedKelvins is the difference in kelvins that is taken where no temperature was recorded:
// what a heated room may be off from a reference temperature of 20 °C or 23 °C (common practice).
const unrecordedKelvins = 5

// unrecorded is what 5 K make of the dials concerned where a temperature law is stated and
// no temperature was recorded, as a fraction: the largest of the settings with one dial off zero.
func (r *Report) unrecorded(c *Common) float64 {
	at, ok := r.Box.ReferenceTemperature()
	if !ok || !r.Box.HasTemperatureLaw() {
		return 0
	}
	most := 0.0
	seen := make(map[decade.Setting]bool)
	for i := range r.Rows {
		row := &r.Rows[i]
		if seen[row.Setting] {
			continue
		}
		d, _ := onlyDialOffZero(row.Setting)
		if row.Reading.Stage != c.Stage || row.Reading.Temperature != nil || d < 0 || c.Dial >= 0 &&
			d != c.Dial || c.Scope == CommonRange && row.Range != c.Range {
			continue
		}
		seen[row.Setting] = true
		if change, err := row.Setting.TemperatureChange(at + unrecordedKelvins); err == nil {
			most = max(most, math.Abs(change)/row.Nominal)
		}
	}
	return most
}

// SharedError names results near their limits that share one error of the meter: they are not
// independent evidence. Any number of goroutines may read one at once.
type SharedError struct {
	Stage       Stage
	Range       string
	Settings    []string
	Correlation float64 // of the first two
}

// String returns the fact in a sentence.
func (s SharedError) String() string {
	return fmt.Sprintf("The results at %s share the errors of range %s (correlation %.2f): they "+
		"are not independent evidence.", wording.Short(s.Settings), s.Range, s.Correlation)
}

// leastShared is the correlation from which two results are no independent evidence: at 0.5 one of
// two explains a quarter of the variance of the other.
const leastShared = 0.5

// sharedErrors finds settings near their limits on one range whose deviations are correlated by
// leastShared or more. The first two stand for all: on one range the gain correlates any two much
// alike.
func (r *Report) sharedErrors() []SharedError {
	var out []SharedError
	for _, stage := range r.Stages() {
		for _, rg := range r.Meter.Ranges {
			var rows []*Row
			var names []string
			for i := range r.Rows {
				row := &r.Rows[i]
				// Two U from the limit: farther away a shared error does not change a verdict.
				toLimit := math.Abs(math.Abs(row.Deviation.Estimate()) - row.Limits.Upper)
				near := row.Judged && !row.Overload && toLimit <= 2*row.Expanded.U
				if near && row.Range == rg.Name && row.Reading.Stage == stage &&
					!row.Setting.AllZero() && !slices.Contains(names, row.Setting.String()) {
					rows = append(rows, row)
					names = append(names, row.Setting.String())
				}
			}
			if len(rows) < 2 {
				continue
			}
			c := correlation(rows[0].Budget(), rows[1].Budget())
			if c >= leastShared {
				out = append(out, SharedError{stage, rg.Name, names, c})
			}
		}
	}
	return out
}

// correlation is that of two results by the components that they share, −1 to 1; 0 where one of
// them is exact.
func correlation(a, b *uncertainty.Budget) float64 {
	if a.StandardUncertainty == 0 || b.StandardUncertainty == 0 {
		return 0
	}
	of := make(map[string]float64)
	for _, c := range a.Components {
		of[c.Name+"\x00"+c.ID] += c.Contribution
	}
	sum := 0.0
	for _, c := range b.Components {
		sum += float64(of[c.Name+"\x00"+c.ID] * c.Contribution)
	}
	// GUM 5.2.2, equation 14: covariance over the product of the standard uncertainties.
	return sum / a.StandardUncertainty / b.StandardUncertainty
}

// compared makes the comparisons inside the box where the meter is too coarse for its
// settings one by one: those with a setting that no reading could show to conform, since U exceeds
// the limit and the acceptance interval is empty.
func (r *Report) compared() ([]Comparison, error) {
	coarse := make(map[dialled]bool)
	for i := range r.Rows {
		row := &r.Rows[i]
		if !row.Judged || row.Overload || row.Setting.AllZero() {
			continue
		}
		if _, ok := r.Rule.Acceptance(row.Limits, row.Expanded.U); !ok {
			coarse[dialled{row.Setting, "", row.Reading.Stage}] = true
		}
	}
	if len(coarse) == 0 {
		return nil, nil
	}
	return r.comparisons(func(a, b *Row) (c Comparison, wanted bool, err error) {
		stage := a.Reading.Stage
		if !coarse[dialled{a.Setting, "", stage}] && !coarse[dialled{b.Setting, "", stage}] {
			return c, false, nil
		}
		k := [2]uncertainty.Quantity{a.Measured, b.Measured}
		c, known := r.from.before.comparison(k)
		if !known {
			if c, err = r.comparison(a, b); err != nil {
				return c, false, err
			}
		}
		r.from.compared[k] = c
		return c, true, nil
	})
}
