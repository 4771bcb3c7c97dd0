// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// The model of a fit. With x_0 the residual and x_1, x_2, … the elements dial by dial, as
// determination.Unknowns numbers them, reading k of setting s is
//
//	y_k = x_0 + Σ x_j over the elements in circuit at s + error_k
//
// or y = A·x + e, where A has a row for each reading and a column for each unknown, all of its
// entries 0 or 1. The errors have the covariance V = fitter.covariance, which is dense: all
// readings of a meter range share its gain. leastsquares solves for x = K·y.
//
// A fit returns the rows of K applied to the readings, not numbers with uncertainties. Each
// element then is a known linear function of quantities that keep their sources, so that two
// elements know what they have in common, and a gain error that is in both leaves their ratio.
//
// Whether A has full column rank is decided beforehand, in integers (determination.Space). A
// solution costs of the order of n³ for n readings; there are two, and one more for each outlier
// that is named.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/leastsquares"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A Fit is what the readings of one stage say about every element of the box, by
// generalised least squares: each reading is the sum of the residual and the elements in
// circuit, weighted by its uncertainty and its correlation with the other readings. Any
// number of goroutines may read one at once.
type Fit struct {
	Box   *decade.Box
	Stage verify.Stage
	Date  time.Time // of the last reading; zero where none is dated

	// As in verify.Row.Measured, the parts of one limit of the meter are independent sources here:
	// u and correlations are right, and a 95 % interval is too wide, by up to a fifth, where that
	// limit is most of u.
	Residual uncertainty.Quantity     // Ω, all dials at zero
	Elements [][]uncertainty.Quantity // Ω, by dial and element − 1

	// ChiSquared is the weighted sum of squares of what the fit leaves, DOF the number of
	// readings beyond what determines the elements, and Probability that of a value as
	// large or larger by chance. With DOF 0 there is nothing to test and Probability is
	// 1.
	ChiSquared  float64
	DOF         int
	Probability float64

	Rows     []FitRow // of the readings used, in their order
	Outliers []Outlier
	Warnings []error
}

// A FitRow is one dialling in a fit. Any number of goroutines may read one at once.
type FitRow struct {
	Setting     decade.Setting
	Dialling    int
	Row         int     // index in Report.Rows
	Residual    float64 // Ω: measured − fitted
	Uncertainty float64 // Ω, standard uncertainty of the reading
	// Statistic is how far the reading is from what the others say, in standard
	// deviations; 0 where no other reading checks it.
	Statistic float64
}

// zeroIfNaN turns the NaN by which package leastsquares says that no other reading checks this
// one into the 0 of FitRow.Statistic: an exported NaN would not survive JSON.
func zeroIfNaN(w float64) float64 {
	if math.IsNaN(w) {
		return 0
	}
	return w
}

// Consistent reports whether the readings agree within their uncertainties: Probability is
// at least 5 %, or there is nothing to test.
func (f *Fit) Consistent() bool {
	f = cmp.Or(f, &Fit{})
	return f.DOF == 0 || f.Probability >= consistency
}

// consistency is the probability of chi-squared below which the readings contradict each other:
// the usual 5 %, so that one sound set of readings in twenty is said to contradict itself. It
// only warns. Outliers, which NewCalibration refuses, are named far more rarely (falseAlarm).
const consistency = 0.05

// NewFit finds the residual and every element from the readings of a stage of a report,
// except the rows whose indices in r.Rows are listed. Readings above range are left out.
//
// It returns an error where the readings leave an element undetermined ([ErrUndetermined]),
// which it names with the settings to be read, and where the circuit was open ([ErrOpen]).
// Readings that contradict each other are no error here: see Consistent and Outliers.
func NewFit(r *verify.Report, stage verify.Stage, except ...int) (*Fit, error) {
	f, err := newFitter(r, stage, except)
	if err != nil {
		return nil, err
	}
	// Generalised least squares: of all estimates that are linear in the readings and unbiased
	// it has the least variance (Gauss–Markov theorem, in Aitken's form for correlated
	// readings).
	g, s, err := f.solve(f.rows)
	if err != nil {
		return nil, err
	}
	out := &Fit{Box: r.Box, Stage: stage, ChiSquared: s.ChiSquared, DOF: len(f.rows) - f.u.N,
		Probability: 1}
	if out.DOF == 0 {
		// As many readings as unknowns fit exactly; what is left is rounding, not a test.
		out.ChiSquared = 0
	} else {
		// vᵀV⁻¹v has this distribution where the stated uncertainties are right and normal.
		out.Probability = distuv.ChiSquared{K: float64(out.DOF)}.Survival(s.ChiSquared)
	}
	f.values(out, g, s)
	for k, i := range f.rows {
		row := &r.Rows[i]
		out.Rows = append(out.Rows, FitRow{row.Setting, row.Reading.Dialling, i, s.Residuals[k],
			math.Sqrt(f.covariance.At(k, k)), zeroIfNaN(s.Statistic[k])})
		if row.Reading.Time.After(out.Date) {
			out.Date = row.Reading.Time
		}
	}
	if out.Outliers, err = f.outliers(out.DOF); err != nil {
		return nil, err
	}
	f.warn(out, g.Floored)
	return out, nil
}

// opFit is the operation that the errors of a fit name.
const opFit = "calibrate.NewFit"

// fitter holds the readings of a fit. The index k of a reading is its place in rows, and the
// same in deviations and covariance; the index j of an unknown is that of determination.
type fitter struct {
	*verify.Report
	u          determination.Unknowns
	rows       []int         // by k: index in Report.Rows
	deviations []float64     // by k, in Ω: measured less the nominal sum of what is in circuit
	nominal    []float64     // by j, in Ω
	covariance *mat.SymDense // by k, in Ω²
}

// newFitter collects the readings of a stage and makes sure that they determine every element.
// Except lists indices in r.Rows; one that does not exist leaves nothing out.
func newFitter(r *verify.Report, stage verify.Stage, except []int) (*fitter, error) {
	if r == nil {
		return nil, noReport(opFit)
	}
	f := &fitter{Report: r, u: determination.New(r.Box)}
	var used, open []decade.Setting
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case row.Reading.Stage != stage || row.Discarded || slices.Contains(except, i):
		// An open path has no sum of elements: no value of an element explains it.
		case row.Open:
			open = append(open, row.Setting)
		case !row.Overload:
			f.rows = append(f.rows, i)
			used = append(used, row.Setting)
		}
	}
	if len(open) > 0 {
		return nil, &Error{Op: opFit, Name: stage.String(), Value: float64(len(open)),
			Err: unit.Errorf(ErrOpen, "the circuit is open at %s; expected a box that conducts "+
				"at every setting read", wording.Settings(open))}
	}
	// Before the solution: it names the settings that are missing, which a singular matrix
	// cannot.
	d, err := verify.Determine(r.Box, used...)
	if err != nil {
		return nil, err
	}
	if !d.Complete() {
		return nil, &Error{Op: opFit, Name: stage.String(), Value: float64(len(used)),
			Err: unit.Errorf(ErrUndetermined, "%s: %v", wording.Plural(len(used), "reading"), d)}
	}
	return f, f.prepare()
}

// prepare takes deviations from nominal, and the covariances of the readings. The equations are
// linear, so A·(x − nominal) = y − A·nominal has the same solution; but a float64 of 1 MΩ ends
// at 0.1 nΩ, and the solution would multiply that rounding in the elements of 0.1 Ω beside it.
func (f *fitter) prepare() error {
	for j := range f.u.N {
		f.nominal = append(f.nominal, f.u.Nominal(j))
	}
	measured := make([]uncertainty.Quantity, len(f.rows))
	for k, i := range f.rows {
		row := &f.Rows[i]
		measured[k] = row.Measured
		f.deviations = append(f.deviations, row.Measured.Estimate()-f.sum(row.Setting))
	}
	all, err := uncertainty.EvaluateAll(measured...)
	if err != nil {
		return &Error{Op: opFit, Err: err}
	}
	// GUM 5.2.2: readings share the errors of the meter, so their covariances are not 0.
	f.covariance = all.Covariance
	if f.Switching.Used && f.Switching.DOF >= enoughDiallings {
		return nil
	}
	// A few diallings that differ widen their own uncertainty until nothing contradicts them. For
	// the weights the stated contact takes the place of what they show.
	for k, i := range f.rows {
		v, shown := f.covariance.At(k, k), false
		for _, c := range all.Budgets[k].Components {
			if verify.FromDiallings(c) {
				shown = true
				v -= float64(c.Contribution * c.Contribution)
			}
		}
		if shown {
			// Their own variance is taken out and the stated one put in, so that a contact that
			// moved shows as an outlier instead of widening its own reading.
			s := f.Rows[i].StatedScatter
			f.covariance.SetSym(k, k, max(0, v)+float64(s*s))
		}
	}
	return nil
}

// enoughDiallings is the number of degrees of freedom from which the scatter of diallings is
// taken for what the contacts do: five diallings of one setting (n − 1, GUM 4.2.6). A standard
// deviation of five is uncertain by 36 % of itself, one of three by 52 % (GUM table E.1).
const enoughDiallings = 4

// sum is the row of A of a setting times the nominal values, in Ω: the stated residual and the
// elements in circuit, also where the box is stated to include its residual.
func (f *fitter) sum(s decade.Setting) float64 {
	total := 0.0
	for _, j := range f.u.Of(s) {
		total += f.nominal[j]
	}
	return total
}

// solve fits the elements to some of the rows, given as indices in Report.Rows in ascending
// order. X of the solution is in Ω from nominal, Residuals and Statistic go by the place in
// rows. It fails where the rows no longer determine every element.
func (f *fitter) solve(rows []int) (*leastsquares.Estimator, leastsquares.Solution, error) {
	n := len(rows)
	a, v, y := mat.NewDense(n, f.u.N, nil), mat.NewSymDense(n, nil), make([]float64, n)
	at := make([]int, n)
	for k, i := range rows {
		at[k] = slices.Index(f.rows, i)
		for _, j := range f.u.Of(f.Rows[i].Setting) {
			// Resistances in series add: each element in circuit counts once.
			a.Set(k, j, 1)
		}
		y[k] = f.deviations[at[k]]
		for l := range k + 1 {
			v.SetSym(k, l, f.covariance.At(at[k], at[l]))
		}
	}
	g, err := leastsquares.New(a, v)
	if err != nil {
		return nil, leastsquares.Solution{}, &Error{Op: opFit, Err: err}
	}
	return g, g.Solve(y), nil
}

// values makes the quantities: x_j = nominal_j + Σ K_jk·(y_k − A_k·nominal), which is a constant
// and Σ K_jk·y_k.
func (f *fitter) values(out *Fit, g *leastsquares.Estimator, s leastsquares.Solution) {
	measured := make([]uncertainty.Quantity, len(f.rows))
	for k, i := range f.rows {
		measured[k] = f.Rows[i].Measured
	}
	value := func(j int) uncertainty.Quantity {
		c := f.significantCoefficients(g, j)
		// The constant makes the estimate that of the fit, whatever rounding did to the
		// coefficients.
		c0 := f.nominal[j] + s.X[j]
		for k, q := range measured {
			c0 -= float64(c[k] * q.Estimate())
		}
		return linear(c0, c, measured).Named(f.u.Name(j))
	}
	out.Residual = value(0)
	out.Elements = make([][]uncertainty.Quantity, len(f.u.First))
	for d, first := range f.u.First {
		for e := range f.u.Dials[d].NumElements() {
			out.Elements[d] = append(out.Elements[d], value(first+e))
		}
	}
}

// linear is c0 + Σ c·q over the coefficients that are not 0: a quantity with a coefficient
// of 0 would still be a row of every budget. Where each position of a dial was read once and
// nothing else, an element is the difference of two readings: two coefficients of a hundred.
func linear(c0 float64, c []float64, qs []uncertainty.Quantity) uncertainty.Quantity {
	var used []float64
	var of []uncertainty.Quantity
	for k, v := range c {
		if v != 0 {
			used, of = append(used, v), append(of, qs[k])
		}
	}
	return uncertainty.Linear(c0, used, of)
}

const (
	// leastShare is the part of a standard uncertainty below which a contribution is dropped. A
	// hundred of them, added in squares, would change it by 5 in 10^11.
	leastShare = 1e-6
	// recordDigits is the number of digits of a coefficient in a record: most coefficients are
	// simple fractions, which take three characters then and not eighteen.
	recordDigits = 10
)

// significantCoefficients drops coefficients of readings that contribute less than a millionth
// of the standard uncertainty and rounds the others to ten digits: records would be several
// times as long. Estimates do not change, and uncertainties by less than is ever printed.
func (f *fitter) significantCoefficients(g *leastsquares.Estimator, j int) []float64 {
	c := mat.Row(nil, j, g.Matrix)
	variance := g.Variances[j]
	if g.Floored { // with more than the readings have
		in := mat.NewVecDense(len(c), c)
		variance = mat.Inner(in, f.covariance, in)
	}
	least := leastShare * math.Sqrt(variance)
	for k, v := range c {
		// Rounding is harmless: the constant in values is computed from the rounded
		// coefficients.
		c[k] = wording.Rounded(v, recordDigits)
		if math.Abs(v)*math.Sqrt(f.covariance.At(k, k)) < least {
			c[k] = 0
		}
	}
	return c
}

// warn adds what a reader of the values must know: what was not checked, what contradicts, what
// was assumed for the weights. Floored is leastsquares.Estimator.Floored.
func (f *fitter) warn(out *Fit, floored bool) {
	warn := func(sentinel error, format string, args ...any) {
		out.Warnings = append(out.Warnings,
			&Error{Op: opFit, Err: unit.Errorf(sentinel, format, args...)})
	}
	// What is doubtful in the record of the readings is so in that of the elements, which may be
	// printed without the report: a year that was mistyped would be its date.
	for _, err := range f.Report.Warnings {
		if errors.Is(err, verify.ErrRecord) {
			out.Warnings = append(out.Warnings, err)
		}
	}
	// None of them is an error: the values are the best that these readings give.
	if out.DOF == 0 {
		warn(ErrNoFreedom, "no reading beyond those that determine the elements: nothing checks "+
			"them, and a contact cannot be told from an element. Read the closure settings of "+
			"the recommended plan and zero again.")
	}
	if !out.Consistent() {
		warn(ErrInconsistent, "the readings contradict each other by more than their "+
			"uncertainties: chi-squared %.3g with %s, probability %.2g.",
			out.ChiSquared, wording.Freedom(out.DOF), out.Probability)
	}
	if wording.AgreeTooWell(out.ChiSquared, out.DOF) {
		warn(ErrInconsistent, "%s", wording.TooWell("the readings", out.ChiSquared, out.DOF))
	}
	for _, o := range out.Outliers {
		warn(ErrInconsistent, "%s", o.Text)
	}
	if floored {
		warn(ErrNotStated, "some readings have no error of their own (no resolution, noise or "+
			"contact is stated): for the weights, %g of each uncertainty is taken as its own.",
			leastsquares.FloorShare)
	}
	if f.Meter.Leads.Null == verify.NullBoxAtZero {
		warn(ErrNotStated, "the null was taken with the box at zero: the residual is the stated "+
			"one with its tolerance, not measured.")
	}
}

// String says in a line how the fit came out.
func (f *Fit) String() string {
	f = cmp.Or(f, &Fit{})
	s := fmt.Sprintf("%s and the residual from %s %s",
		wording.Plural(f.Box.NumElements(), "element"),
		wording.Plural(len(f.Rows), "reading"), f.Stage)
	if f.DOF == 0 {
		return s + ": nothing left to check them"
	}
	return s + fmt.Sprintf(": chi-squared %.3g with %s, probability %.2g", f.ChiSquared,
		wording.Freedom(f.DOF), f.Probability)
}

// noReport is the error of every function that needs a report; op is the name of the function.
func noReport(op string) error {
	return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "nil report; expected one of verify.Evaluate")}
}
