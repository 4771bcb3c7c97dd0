// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade/internal/leastsquares"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Substitution by conditional expectation. The errors of the meter at the standards, y, have the
// expectation 0 and a covariance with every value of the box; once y has been measured, the best
// linear estimate of a value takes off what it shares with y (the regression of q on y). Nothing
// is said about which error of the meter it was: gain, zero and linearity leave a value as far
// as it shares them.
//
// Of one standard S with value s and one value q on its range, sharing errors m with
// cov(q, y) = var(m) and var(y) = var(m) + var(s) + var(own of y), the gain of the regression is
//
//	g = var(m)/(var(m) + var(s) + var(own))
//
// It is near 1 where the meter is the largest error: q − g·y is then s + (reading of the box −
// reading of the standard), which is substitution as the bench knows it. It falls to 0 where the
// standard is worse than the meter, whose limits then say more than the comparison; no threshold
// is needed between the two. The variance that is left, var(q) − cov(q, y)²/var(y), is never
// larger than before; of several standards cov(q, y)·cov(y)⁻¹·cov(y, q) is taken off.
//
// What a value shares with the standards are a few sources of the meter. With c(q, k) the
// coefficient of source k, of standard uncertainty u(k),
//
//	cov(q, y_j) = Σ_k c(q, k)·u(k)²·c(y_j, k)
//
// so that the regression is Σ_k c(q, k)·z_k, where z_k = u(k)²·c(y, k)·cov(y)⁻¹·y is what the
// standards say about source k. These few are made once, and a value takes them by its own
// coefficients: no covariance of values with anything is made. Cost, with n standards and v values:
// one covariance of n standards, its inverse, and the sources of v values.

// A Standard is a resistor of known value that was read in the place of the box: on the
// same range, with the same leads, in the same session. Any number of goroutines may read one
// at once.
type Standard struct {
	Name string // "standard 100 Ω, serial 7"

	// Value is its resistance in Ω as it was read: at its temperature then, with its drift
	// since its certificate.
	Value uncertainty.Quantity

	// Reading is what the meter showed: Values, Reversed, Range and Session as in readings
	// of the box. It has no Setting; Temperature is in Value.
	Reading Reading
}

// Substitute returns the report with the meter corrected by readings of standards
// (substitution). The errors that the readings of a setting and of a standard share, above all
// the gain error and the zero of the range, are known from the standard and leave the result;
// the uncertainty of the standard and the remaining errors of both readings enter it.
//
// With y, the meter's value of each standard less its true one, whose expectation is 0,
// every value q becomes
//
//	q − cov(q, y)·cov(y)⁻¹·y
//
// the linear estimate of least variance: where the range part that is new in each reading is
// small this is R_standard + (reading of box − reading of standard), and for readings without
// anything in common it is q. The report warns of a standard that the meter reads wrongly by
// more than both uncertainties (99 %). The limits of the meter do not hold there and would leave
// a part of its error in the values: on that range and in that session they are widened until
// they explain the error. An error of more than a fifth of the standard is not the meter's: the
// value of the standard is in doubt.
//
// It returns an error where a standard has no value, no reading or a session of its own, and
// where r does not come from Evaluate.
func (r *Report) Substitute(standards ...Standard) (*Report, error) {
	const op = "verify.Report.Substitute"
	if r == nil || r.from == nil {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrEmpty, "no report; expected one from Evaluate")}
	}
	if len(standards) == 0 {
		return nil, &Error{Op: op, Name: "standards",
			Err: unit.Errorf(ErrEmpty, "none; expected at least one")}
	}
	// The report stays as it is: another substitution may start from it again.
	e := r.from.fork()
	y, groups, err := e.standardErrors(standards)
	if err != nil {
		return nil, inOp(op, err)
	}
	// Corrected values, then rows: the report is made of them as if they had been read so.
	found, budgets, err := e.correctValues(y, groups)
	if err != nil {
		return nil, &Error{Op: op, Err: err}
	}
	e.corrections = append(slices.Clip(e.corrections), standards)
	out, err := e.report(r.Rule)
	if err != nil {
		return nil, inOp(op, err)
	}
	out.notes = append(out.notes,
		"Substitution: values are corrected by the readings of "+standardNames(standards)+
			"; errors that a setting and a standard share on a range and in a session cancel.")
	out.Warnings = append(out.Warnings, found...)
	out.Standards = e.listStandards(r.Standards, standards)
	out.MeterErrors = slices.Clone(r.MeterErrors)
	for i := range standards {
		out.MeterErrors = append(out.MeterErrors, e.meterError(&standards[i], budgets[i]))
	}
	return out, nil
}

// listStandards lists standards with the range that each was read on, behind those that corrected
// values before. A range that was named differently ("1kΩ") is written as the meter file has it.
func (e *evaluation) listStandards(before, standards []Standard) []Standard {
	out := slices.Clone(before)
	for _, s := range standards {
		if rg, err := e.meter.rangeFor(&s.Reading); err == nil {
			s.Reading.Range = rg.Name
		}
		out = append(out, s)
	}
	return out
}

// standardNames lists the names, each once.
func standardNames(standards []Standard) string {
	var names []string
	for _, s := range standards {
		if name := cmp.Or(s.Name, "standard"); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return wording.List(names)
}

// fork is an evaluation of the same readings and sources that can be changed: what is made in it
// does not appear in e. Sources that exist are shared, so that both evaluations have the same
// zero error of a range. What was found of values (coverage factors, means at zero, what a later
// report would take over) is not copied, since the values will be others; plain leads back to
// the evaluation whose values are not corrected.
func (e *evaluation) fork() *evaluation {
	own := *e.sources
	own.made, own.scatter = maps.Clone(own.made), maps.Clone(own.scatter)
	own.anchors = maps.Clone(own.anchors)
	own.changes, own.bounds = maps.Clone(own.changes), maps.Clone(own.bounds)
	own.often = maps.Clone(own.often)
	out := *e
	out.sources, out.before, out.kept, out.plain = &own, nil, newKept(), cmp.Or(e.plain, e)
	out.budgetsOfLaws = nil
	out.values, out.factors = slices.Clone(e.values), nil
	out.zeros = make(map[zeroKey]*result)
	return &out
}

// standardErrors is y: what the meter makes of each standard less its value, in the order of the
// standards, and where each was read. Repeats of a standard join the scatter of its range, and
// several readings of one name are counted as diallings, so that their sources have different
// names.
func (e *evaluation) standardErrors(standards []Standard) ([]result, []standardAt, error) {
	readings, ranges := make([]Reading, len(standards)), make([]Range, len(standards))
	count := make(map[string]int)
	for i := range standards {
		s := &standards[i]
		rd := s.Reading
		rd.object = cmp.Or(s.Name, "standard")
		count[rd.object]++
		// The standard's value is stated at its temperature: nothing is to be corrected by the
		// law of the box.
		rd.Dialling, rd.Stage, rd.Temperature = count[rd.object], StageAsFound, nil
		if err := e.checkStandard(s, &rd); err != nil {
			return nil, nil, err
		}
		rg, err := e.meter.rangeFor(&rd)
		if err != nil {
			return nil, nil, err
		}
		e.addScatter(&rd, rg.Name)
		readings[i], ranges[i] = rd, *rg
	}
	out := make([]result, len(standards))
	groups := make([]standardAt, len(standards))
	for i := range standards {
		groups[i] = standardAt{group{readings[i].Session, ranges[i].Name},
			standards[i].Value.Estimate(), readings[i].Label()}
		// In a second pass, when the repeats of all standards are pooled.
		v, err := e.measured(&readings[i], ranges[i])
		if err != nil {
			return nil, nil, err
		}
		// The null took the residual of the box off every reading: of the standard, which has
		// none of it, too.
		if e.meter.Leads.Null == NullBoxAtZero {
			v.plus(e.residual)
		}
		name := readings[i].Label()
		// All that is corrected by it shares what is of its reading alone.
		for _, p := range v.own {
			v.with(p.c, p.q)
		}
		v.own = nil
		v.with(-1, standards[i].Value)
		out[i] = v
		if err := v.quantity(name).Err(); err != nil {
			return nil, nil, &Error{Op: "verify.Report.Substitute", Name: name, Err: err}
		}
	}
	return out, groups, nil
}

// checkStandard refuses a standard without a value or a reading, and one read in another
// session: nothing that changes with the session would be shared. It fills in the session where
// there is only one.
func (e *evaluation) checkStandard(s *Standard, rd *Reading) error {
	const op = "verify.Report.Substitute"
	switch {
	case s.Value.IsZero():
		return &Error{Op: op, Name: rd.object,
			Err: unit.Errorf(ErrEmpty, "no value; expected the resistance of the standard as a "+
				"quantity")}
	case rd.Setting.IsValid():
		return &Error{Op: op, Name: rd.object,
			Err: unit.Errorf(ErrContradiction,
				"a reading at setting %v of the box; expected a reading of the standard in its "+
					"place", rd.Setting)}
	case rd.Overload:
		return &Error{Op: op, Name: rd.object,
			Err: unit.Errorf(ErrNoRange, "above the range; expected a value")}
	}
	if err := rd.checkNumbers(op); err != nil {
		return err
	}
	sessions := make([]string, 0, 1)
	for i := range e.readings {
		if name := e.readings[i].Session; !slices.Contains(sessions, name) {
			sessions = append(sessions, name)
		}
	}
	// One session, and so there is nothing to say which is meant.
	if rd.Session == "" && len(sessions) == 1 {
		rd.Session = sessions[0]
	}
	if !slices.Contains(sessions, rd.Session) {
		return &Error{Op: op, Name: rd.object,
			Err: unit.Errorf(ErrUnknown, "session %q; expected that of readings of the box: %q",
				rd.Session, sessions)}
	}
	return nil
}

// correctValues corrects every value by its covariance with y, in place, and averages the zeros
// again. It returns the warnings, and the budget of each y as it was before, by which the report
// states what the meter was off by. An overload has no value and is left out.
func (e *evaluation) correctValues(y []result,
	groups []standardAt) ([]error, []*uncertainty.Budget, error) {
	quantities := make([]uncertainty.Quantity, len(y))
	for j := range y {
		quantities[j] = y[j].quantity("error of the meter at " + groups[j].name)
	}
	m, err := uncertainty.EvaluateAll(quantities...)
	if err != nil {
		return nil, nil, err
	}
	warnings, err := standardsFarOff(m.Budgets)
	if err != nil {
		return nil, nil, err
	}
	// Where the limits do not hold, a regression by them would leave a part of the error in the
	// values.
	w := newBeyond(m.Budgets, groups)
	inverse, err := inverseOf(w.standards(m.Covariance))
	if err != nil {
		return nil, nil, err
	}
	r, err := newRegression(y, w, inverse)
	if err != nil {
		return nil, nil, err
	}
	for i := range e.readings {
		if e.readings[i].Overload {
			continue
		}
		if err := e.correctValue(i, r); err != nil {
			return nil, nil, err
		}
	}
	e.meanZeros()
	return append(warnings, idleStandards(m.Budgets, r.used)...), m.Budgets, nil
}

// regression is what standards say about the sources that they share with values.
type regression struct {
	y       []result
	beyond  *beyond
	inverse *mat.Dense // of the covariance of y, in Ω⁻²
	sources map[uncertainty.Quantity]*regressed
	used    []bool // by standard: it corrects a value
}

// regressed is a source that standards share.
type regressed struct {
	standards map[int]float64 // by standard: its coefficient in y
	u         float64         // of the source, in its unit
	meter     bool            // it is an error of the meter, which is widened beyond its limits

	// z of the head of this file: gain has its factor of each y; the sum is stated, the sources
	// that are bounded together, which the law of a value has to see (meterlaw.go), and in q all
	// others, at once. They are made when a value needs them; most sources are of one standard
	// alone.
	made    bool
	gain    []float64
	stated  float64
	bounded result
	q       uncertainty.Quantity
}

// newRegression finds the sources of y. The error is that of a quantity without a value.
func newRegression(y []result, w *beyond, inverse *mat.Dense) (*regression, error) {
	r := &regression{y: y, beyond: w, inverse: inverse, used: make([]bool, len(y)),
		sources: make(map[uncertainty.Quantity]*regressed)}
	for j := range y {
		for k, q := range y[j].q {
			x := r.sources[q]
			if x == nil {
				u, _, err := uncertainty.Propagate(q)
				if err != nil {
					return nil, err
				}
				x = &regressed{standards: make(map[int]float64), u: u,
					meter: familyOf(q.Name()) == causeMeter}
				r.sources[q] = x
			}
			x.standards[j] += y[j].c[k]
		}
	}
	return r, nil
}

// prepare makes what the standards say about a source.
func (r *regression) prepare(e *evaluation, x *regressed) {
	if x.made {
		return
	}
	x.made = true
	n := len(r.y)
	covariance := mat.NewVecDense(n, nil)
	for j, c := range x.standards {
		v := float64(c * float64(x.u*x.u))
		if x.meter {
			v *= r.beyond.factor(r.beyond.groups[j].group)
		}
		covariance.SetVec(j, v)
	}
	var product mat.VecDense
	product.MulVec(r.inverse.T(), covariance)
	x.gain = product.RawVector().Data
	// Each source of the standards once, in the order in which they are met.
	var rest result
	place := make(map[uncertainty.Quantity]*float64)
	sum := make([]float64, 0, len(r.sources)) // never grown: place points into it
	var order []uncertainty.Quantity
	for j, g := range x.gain {
		// 0 exactly is what shares nothing, such as another range; it must not appear in budgets.
		if g == 0 {
			continue
		}
		r.used[j] = true
		// The decimals of y enter by their product with a gain that is no decimal.
		x.stated += float64(g * r.y[j].stated.nearest())
		for k, q := range r.y[j].q {
			if place[q] == nil {
				sum, order = append(sum, 0), append(order, q)
				place[q] = &sum[len(sum)-1]
			}
			*place[q] += float64(g * r.y[j].c[k])
		}
	}
	for k, q := range order {
		if _, ok := e.bounds[q]; ok {
			x.bounded.with(sum[k], q)
		} else {
			rest.with(sum[k], q)
		}
	}
	x.q = rest.quantity("")
}

// idleStandards warns of standards that no value was corrected by: read on a range that the box
// was not read on, or in its session only by name. Silence would leave the reader believing that
// they did something.
func idleStandards(budgets []*uncertainty.Budget, used []bool) (warnings []error) {
	for j, b := range budgets {
		if used[j] {
			continue
		}
		warnings = append(warnings, &Error{Op: "verify.Report.Substitute", Name: b.Name,
			Err: unit.Errorf(ErrNotStated, "it changes nothing: no reading of the box has an "+
				"error in common with it. Read the standard on the range and in the session of "+
				"the box.")})
	}
	return warnings
}

// standardsFarOff warns of standards that the meter reads wrongly by more than its limits and
// their uncertainty explain, at 99 %: at 95 % two benches in five with ten good standards would
// be warned of one.
func standardsFarOff(budgets []*uncertainty.Budget) (warnings []error, err error) {
	for _, b := range budgets {
		x, err := b.ExpandedAt(0.99)
		if err != nil {
			return nil, err
		}
		if x.Lower > 0 || x.Upper < 0 {
			warnings = append(warnings, &Error{Op: "verify.Report.Substitute", Name: b.Name,
				Value: b.Estimate, Err: unit.Errorf(ErrInconsistent,
					"%s, more than U = %s (99 %%): the meter is outside its limits, or the value "+
						"of the standard is wrong.", wording.Ohms(b.Estimate), wording.Ohms(x.U))})
		}
	}
	return warnings, nil
}

// correctValue subtracts from value i what the standards say about its sources, with what is shared
// widened on ranges where the limits do not hold (see beyond).
func (e *evaluation) correctValue(i int, r *regression) error {
	rd := &e.readings[i]
	factor := r.beyond.factor(group{rd.Session, e.ranges[i].Name})
	v := &e.values[i]
	before := *v
	gain := make(map[*regressed]float64)
	var order []*regressed
	for k, q := range v.q {
		x := r.sources[q]
		if x == nil {
			continue
		}
		r.prepare(e, x)
		if _, seen := gain[x]; !seen {
			order = append(order, x)
		}
		c := v.c[k]
		if x.meter {
			c *= factor
		}
		gain[x] += c
	}
	// The slices may be those of e.plain, which stays as it is. Limited no longer holds: what is
	// left of the meter's error is not the rectangle of its limits.
	v.c, v.q, v.limited = slices.Clip(v.c), slices.Clip(v.q), false
	stated := 0.0
	for _, x := range order {
		stated += float64(gain[x] * x.stated)
		v.append(-gain[x], x.bounded)
		v.with(-gain[x], x.q)
	}
	v.stated = v.stated.minus(decimal(stated))
	if factor == 1 {
		return nil
	}
	b, err := uncertainty.Evaluate(before.quantity(""))
	if err != nil {
		return err
	}
	total := make([]float64, len(r.y))
	for _, x := range order {
		for j, g := range x.gain {
			total[j] += float64(gain[x] * g)
		}
	}
	if u := r.beyond.remainder(b, r.beyond.sharedWith(b), factor, total); u > 0 {
		e.addOwn(v, -1, "meter beyond its limits at "+rd.Label()+", "+e.ranges[i].Name, rd,
			uncertainty.Normal(0, u), "what the standards leave open")
	}
	return nil
}

// inverseOf is the inverse of a covariance of standards. It goes through the whitening W of
// package leastsquares, which bears a singular one (two readings of one standard without noise)
// and scales of very different size (1 Ω beside 1 MΩ).
func inverseOf(cov *mat.SymDense) (*mat.Dense, error) {
	n := cov.SymmetricDim()
	unit := mat.NewDense(n, n, nil)
	for i := range n {
		unit.Set(i, i, 1)
	}
	g, err := leastsquares.New(unit, cov)
	if err != nil {
		return nil, err
	}
	// Wᵀ·W = cov⁻¹.
	var inverse mat.Dense
	inverse.Mul(g.Whitening.T(), g.Whitening)
	return &inverse, nil
}

// String names the standard with its value.
func (s Standard) String() string {
	return fmt.Sprintf("%s: %v", cmp.Or(s.Name, "standard"), s.Value)
}
