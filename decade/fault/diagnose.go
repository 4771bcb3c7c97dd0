// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// From a report to a diagnosis:
//
//	gather           readings with values, their covariance, those above range      evidence.go
//	modelOf          what the box reads at these settings, with every bridge        model.go
//	newLinearAccount the healthy box, and what the readings leave of its elements   account.go
//	rankWithin       hypotheses, best first                                         rank.go
//	groups           causes: what the readings cannot tell apart                    classes.go
//	cause            values, words, repair of each                                  values.go
//	nextStep         the reading that separates them                                next.go

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// Options are the conditions of a search for faults. The zero Options are what [Diagnose] uses.
// Any number of goroutines may use one at once, if their common Progress allows that.
type Options struct {
	// Weights are the prior weights of the kinds; nil: DefaultWeights.
	Weights Weights
	// Faults is the largest number of faults at once, 1 or 2; 0: 2.
	Faults int
	// Distance is the difference of −2·ln likelihood (of χ², that is) between best fits
	// below which two hypotheses cannot be told apart; 0: 5.
	Distance float64
	// Strapped is the terminal that the case is joined to, 1 or 2; 0: it floats, and
	// leakage to it does not show.
	Strapped int

	// Progress is called by the goroutine that searches, every few milliseconds of work,
	// with the number of steps done and planned: the single faults, then every first fault
	// beside which a second is looked for. It may plan less when a second fault does not
	// pay; the last call has them equal. The context is asked as often.
	Progress func(done, planned int)

	// Circuit is what diagnoses of one box hand on from one to the next; nil: each begins anew.
	// See [Circuit].
	Circuit *Circuit
}

// A Diagnosis is the answer of [Diagnose]: whether the box of a report is healthy, what may be
// wrong with it, and the next step. Any number of goroutines may read one at once.
type Diagnosis struct {
	Box         *decade.Box
	Healthy     bool    // no fault is more probable than none
	Probability float64 // of the healthy box
	Causes      []Cause // most probable first; where Healthy they are the remaining doubt

	// Next is the one step to take now: the reading that separates the leading causes
	// best, or what comes when no reading does.
	Next Step

	ChiSquared float64 // of the readings under the leading hypothesis
	Readings   int
	Weights    Weights // that were used
	Warnings   []error
}

// A Cause is one explanation of the readings: a fault or two at once, with all others that the
// readings cannot tell apart from it. Any number of goroutines may read one at once.
type Cause struct {
	Kind        Kind
	Faults      []Fault   // the most probable: one, or two at once, with fitted values
	Equal       [][]Fault // what cannot be told apart from it, most probable first
	Probability float64   // of all of them
	Value       uncertainty.Quantity
	Sentence    string
	Repair      Repair
	Settings    []decade.Setting // that were read and speak for it, strongest first
}

// Odds returns the odds of the cause against everything else, p/(1 − p) with its probability p.
func (c Cause) Odds() float64 { return c.Probability / (1 - c.Probability) }

// Places lists the parts of the box that the cause is about, those of equal hypotheses included,
// each once.
func (c Cause) Places() []Place {
	var out []Place
	for _, faults := range append([][]Fault{c.Faults}, c.Equal...) {
		for _, f := range faults {
			for _, p := range []Place{f.A, f.B} {
				if p.Part != PartNone && !slices.Contains(out, p) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// String returns the probability in words and the sentence: "More than 99 %: …".
func (c Cause) String() string {
	return wording.Upper(wording.Probability(c.Probability)) + ": " + c.Sentence
}

// Diagnose looks for the causes of the readings of a report with the default [Options].
func Diagnose(ctx context.Context, r *verify.Report) (*Diagnosis, error) {
	return Options{}.Diagnose(ctx, r)
}

// Diagnose ranks what may be wrong with the box of a report. The readings of the last
// stage in it are used.
//
// A hypothesis gets the score
//
//	−2·ln L + penalty − 2·ln w
//
// with L the likelihood of the readings at its best fit, given the uncertainties of the
// meter and the class of the elements, and w the prior weight of its kind against that of
// a healthy box, shared by the places of the kind. The penalty for freedom is
//
//	2·ln( |v|·range / (√(2π)·u) )
//
// for each fitted value v with its standard uncertainty u: the Occam factor of a prior
// that is even in the logarithm of v, over fifteen powers of ten for ohms and five for
// fractions (range is their natural logarithm). Probabilities are exp(−score/2), to a sum
// of 1. A drift inside the class is no fault.
//
// It is an error if there is no report, if nothing was read with a value ([ErrOpen],
// [ErrEmpty]), if the readings determine nothing ([ErrUndetermined]), or if the context
// ends.
func (o Options) Diagnose(ctx context.Context, r *verify.Report) (*Diagnosis, error) {
	o, err := o.complete()
	if err != nil {
		return nil, err
	}
	if ctx == nil {
		return nil, refuse("fault.Diagnose", "context", nil, ErrEmpty, "nil; expected a context")
	}
	if r == nil || r.Box == nil {
		return nil, refuse("fault.Diagnose", "report", nil, ErrEmpty,
			"nil, or without a box; expected one made by verify.Evaluate")
	}
	ev, err := gather(r)
	if err != nil {
		return nil, err
	}
	ev.dialled = dialled(r)
	// From here on the context is asked every few milliseconds.
	w := newWork(ctx, o.Progress)
	circuit := o.Circuit
	if circuit == nil {
		circuit = new(Circuit)
	}
	m := circuit.modelOf(w, r.Box, ev.settings, o.Strapped)
	// The circuit knows the box only; these are of this report.
	m.meter, m.rangeOf, m.row = ev.meter, ev.rangeOf, ev.row
	d, err := o.diagnose(w, m, ev)
	if err != nil {
		return nil, err
	}
	// What the search cannot know, since it is no number: how the readings were taken, and what was
	// done to the box before. It may put another step in the place of the next one.
	d.polarity(r)
	d.openAfterCleaning(r)
	d.reverseFirst(r)
	d.otherRangeFirst(r)
	d.nextInWords(r)
	return d, nil
}

// nextInWords completes the step, which is about the leading cause unless the box is healthy.
func (d *Diagnosis) nextInWords(r *verify.Report) {
	var lead *Cause
	if len(d.Causes) > 0 && !d.Healthy {
		lead = &d.Causes[0]
	}
	d.Next.setText(r, lead)
}

// Check returns an error for options that Diagnose would refuse: invalid weights, or a number of
// faults, a distance or a terminal that cannot be.
func (o Options) Check() error {
	_, err := o.complete()
	return err
}

// complete fills in what is 0 or nil, and refuses what makes no sense.
func (o Options) complete() (Options, error) {
	const op = "fault.Diagnose"
	if o.Weights == nil {
		o.Weights = DefaultWeights()
	}
	if err := o.Weights.checkWeights(op); err != nil {
		return o, err
	}
	if o.Faults == 0 {
		o.Faults = 2
	}
	if o.Distance == 0 {
		// 5.02 is the quantile of χ² with one degree of freedom at 97.5 %.
		o.Distance = 5
	}
	switch {
	case o.Faults < 1 || o.Faults > 2:
		return o, refuse(op, "faults", float64(o.Faults), ErrDomain,
			"%d; expected 1 or 2, or 0 for 2", o.Faults)
	// NaN compares false with everything and would pass the checks below.
	case !finite(o.Distance):
		return o, refuse(op, "distance", o.Distance, ErrNotFinite, "%v; expected a finite number",
			o.Distance)
	case o.Distance < 0:
		return o, refuse(op, "distance", o.Distance, ErrDomain,
			"%v; expected more than 0, or 0 for 5", o.Distance)
	case o.Strapped < 0 || o.Strapped > 2:
		return o, refuse(op, "strapped", float64(o.Strapped), ErrDomain,
			"%d; expected terminal 1 or 2, or 0 for a floating case", o.Strapped)
	}
	return o, nil
}

// diagnose works on evidence and a model for the same settings. Tests come here with evidence of
// their own.
func (o Options) diagnose(w *work, m *model, ev *evidence) (*Diagnosis, error) {
	if err := w.stopped(); err != nil {
		return nil, err
	}
	p, err := newLinearAccount(m, ev)
	if err != nil {
		return nil, err
	}
	s := newSearch(p, o)
	list, err := s.rankWithin(w)
	if err != nil {
		return nil, err
	}
	// Healthy is the best hypothesis, not one of more than half the probability: a doubt shared by
	// many places is no fault at any of them.
	d := &Diagnosis{Box: m.layout.box, Healthy: list[0].firstKind() == KindHealthy,
		Readings: p.numReadings, Weights: o.Weights}
	pr := newProbe(m.layout)
	for _, g := range s.groups(list) {
		if err := w.stopped(); err != nil {
			return nil, err
		}
		// What cannot be told from a healthy box is no cause: its probability is that of no fault.
		if g.hypotheses[0].firstKind() == KindHealthy {
			d.Probability = min(1, g.probability)
			continue
		}
		d.Causes = append(d.Causes, s.cause(pr, g))
	}
	// The list is sorted: its first hypothesis leads.
	d.ChiSquared = list[0].chiSquared
	d.Next = s.nextStep(d, list)
	d.addWarnings(s, list[0])
	return d, w.stopped()
}

// Settings that speak for a cause: so many, and those that it changes by more than so many standard
// uncertainties of a reading. What is smaller a reading by itself does not show.
const (
	mostSettings = 12
	affectedFrom = 2
)

// cause states a group: its lead, what cannot be told from it, and what to do. pr may be nil, where
// the values of all are to be as they were fitted.
func (s *search) cause(pr *probe, g *group) Cause {
	lead := g.hypotheses[0]
	if g.probability < leastStated {
		pr = nil
	}
	c := Cause{Kind: lead.firstKind(), Faults: s.stated(pr, lead),
		Probability: min(1, g.probability), Settings: s.affectedSettings(lead)}
	for i, h := range g.hypotheses[1:] {
		// A class may have hundreds of members, each a solution of all settings.
		if i == mostStated {
			pr = nil
		}
		c.Equal = append(c.Equal, s.stated(pr, h))
	}
	box := s.model.layout.box
	// Of two faults the first alone has its value as a quantity; both stand in the sentence.
	c.Value = c.Faults[0].quantity(box)
	c.Sentence = sentence(box, c, g.leadShare() >= favouredFrom)
	if c.Kind == KindUnexplained {
		c.Sentence += " What the readings have in common: " + s.inCommon() + "."
	}
	c.Repair = repair(box, c)
	return c
}

// leastStated is the probability of a cause from which its values are stated as the readings
// leave them, and not as they were fitted.
const leastStated = 1e-4

// mostStated is how many members of a class, beside the first, have the uncertainties that the
// readings leave them; those behind have them as they were fitted.
const mostStated = 8

// withUncertainty returns the faults with the uncertainties of their fitted values.
func (h *hypothesis) withUncertainty() statedFaults {
	out := statedFaults(slices.Clone(h.faults))
	for i := range out {
		if i < len(h.uncertainty) && out[i].fitted() && finite(h.uncertainty[i]) {
			out[i].Uncertainty = max(0, h.uncertainty[i])
		}
	}
	return out
}

// quantity is the fitted value as a quantity; the zero Quantity where there is none, or where the
// readings leave no uncertainty that could be stated.
func (f Fault) quantity(b *decade.Box) uncertainty.Quantity {
	if !f.fitted() || f.Uncertainty <= 0 {
		return uncertainty.Quantity{}
	}
	src := uncertainty.Source{Name: f.Kind.String(), Distribution: uncertainty.Normal(f.Value,
		f.Uncertainty), Note: "fitted to the readings"}
	if at := f.placesText(b); at != "" {
		src.Name += ", " + at
	}
	if f.Kind.valueUnit() == "Ω" {
		src.Unit = "Ω"
	}
	// A normal distribution would reach below 0 Ω, which no bridge has (GUM 4.3.8). Of a touch the
	// value is the middle of what it may be (settled), so that the rectangle ends at twice that.
	if f.logarithmic() && f.Value < 2*f.Uncertainty {
		src.Distribution = uncertainty.Between(0, 2*f.Value)
	}
	return src.Input()
}

// affectedSettings lists the settings that the fault changes by more than a reading is uncertain,
// or that are open with it, strongest first.
func (s *search) affectedSettings(h *hypothesis) []decade.Setting {
	type weighted struct {
		s decade.Setting
		x float64
	}
	var list []weighted
	for k, x := range s.model.settings {
		strength := 0.0 // of a setting that was not read, too
		for _, i := range s.diallings[k] {
			// In standard uncertainties of the reading: ohms on different ranges do not compare.
			strength = max(strength,
				math.Abs(h.effect[k])/math.Sqrt(s.evidence.covariance.At(i, i)))
		}
		// A reading above range that the cause explains: there is no stronger evidence.
		for _, o := range s.evidence.overloads {
			if o.setting == k && s.evidence.shortfall(o, s.model.nominal[k]+h.effect[k]) == 0 {
				strength = math.Inf(1)
			}
		}
		if strength > affectedFrom {
			list = append(list, weighted{x, strength})
		}
	}
	slices.SortStableFunc(list, func(a, b weighted) int { return compareScores(b.x, a.x) })
	var out []decade.Setting
	for _, w := range list {
		// A setting that was read on two ranges stands in the list twice.
		if len(out) < mostSettings && !slices.Contains(out, w.s) {
			out = append(out, w.s)
		}
	}
	return out
}

// addWarnings names what limits the answer: what was assumed in place of a statement, readings that
// even the leading cause leaves unexplained, and readings too few to separate causes.
func (d *Diagnosis) addWarnings(s *search, best *hypothesis) {
	addWarning := func(cause error, format string, args ...any) {
		d.Warnings = append(d.Warnings, refuse("fault.Diagnose", "", nil, cause, format, args...))
	}
	if s.model.classAssumed {
		addWarning(ErrNotStated, "a dial has no class: its elements are assumed good within %v %%",
			100*assumedClass)
	}
	if s.model.layout.box.Spec().ResidualTolerance == 0 {
		addWarning(ErrNotStated, "limits of the residual resistance: it is assumed good within %s",
			ohms(s.model.classLimit[s.numParts-1]))
	}
	law := distuv.ChiSquared{K: float64(s.numReadings)}
	// One box in ten thousand is warned of by chance. No degree of freedom is taken off for what
	// was fitted, as in unexplained: one or two of sixty.
	if best.chiSquared > law.Quantile(0.9999) {
		addWarning(ErrUnexplained, "χ² is %.4g for %d readings: the leading cause does not "+
			"explain them all; there may be more than %d faults, or the meter may be wrong",
			best.chiSquared, s.numReadings, s.options.Faults)
	}
	elements := 0
	for _, dec := range s.model.layout.decades {
		elements += dec.NumElements()
	}
	// With fewer settings than half the elements most of them stand in sums that nothing divides.
	if len(s.model.settings) < elements/2 {
		addWarning(ErrUndetermined, "%d settings read for %d elements: many causes cannot be "+
			"separated; read every position of every dial and some mixed settings",
			len(s.model.settings), elements)
	}
}
