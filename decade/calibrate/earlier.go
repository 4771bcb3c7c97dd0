// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/leastsquares"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A certificate on paper states settings, not elements, and no covariances. Its table is solved
// for the elements by least squares, so that each setting of the table comes back with its U,
// and then read like a record of this package.
//
// With as many settings as unknowns, A is square and K = A⁻¹, so A·K = 1: the value of setting i
// made of the elements is source i and nothing else, with the U that was printed. With more
// settings than unknowns, values that share elements support each other, and U of a sum of
// elements may come out smaller than printed.
//
// Independent sources overstate the differences. With u of each setting, an element of a ladder,
// the difference of two positions, has u·√2, where on the same standard most of it cancels. They
// understate sums: what the 1 kΩ and the 100 Ω dial of one certificate have in common adds, and
// here it adds in squares. Nothing printed says how much that is.

// ReadEarlier reads an earlier calibration of a box, at most 64 MiB of JSON: a record as
// [decade.ReadCalibration] does, or, where the file has the key settings, the table of a
// certificate on paper, typed in. examples/formats/README.md describes both.
//
// The values of a certificate are those of settings. Elements follow by least squares, so that
// the record gives back each setting of the table with the U that is stated for it. A
// certificate does not say what its values have in common. They are taken as independent, which
// is on the safe side for elements and for differences of two settings, and is not for sums of
// several dials. It returns an error where the settings leave an element undetermined
// ([ErrUndetermined]) or contradict each other by more than their U ([ErrInconsistent]). A
// residual that the certificate does not state is that of the description, with its tolerance.
func ReadEarlier(r io.Reader, b *decade.Box) (*decade.Calibration, error) {
	const op, limit = "calibrate.ReadEarlier", 64 << 20
	if r == nil || b.NumDecades() == 0 {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrEmpty, "no reader or no box; expected both")}
	}
	text, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, &Error{Op: op, Err: err}
	}
	var kind struct {
		Settings json.RawMessage `json:"settings"`
	}
	// A text that is no JSON is refused by the reader of records, with line and column.
	if json.Unmarshal(text, &kind) != nil || kind.Settings == nil {
		return decade.ReadCalibration(bytes.NewReader(text))
	}
	o, err := file.Read(op, bytes.NewReader(text), limit)
	if err != nil {
		return nil, err
	}
	s := certificateTable{box: b, u: determination.New(b)}
	s.read(o)
	if err := o.Close(); err != nil {
		return nil, err
	}
	c, err := s.calibration()
	if err != nil {
		return nil, &Error{Op: op, Name: "certificate " + s.id, Err: err}
	}
	return c, nil
}

// certificateTable is what a certificate states.
type certificateTable struct {
	box      *decade.Box
	u        determination.Unknowns
	id       string // number of the certificate, as printed
	out      decade.Calibration
	included bool // values are at the terminals
	settings []decade.Setting
	values   []uncertainty.Quantity // Ω, of settings: an independent source each
}

// mostSettings bounds the list of a file. A certificate states some hundred settings. Memory
// grows with the square of the number and time with its cube.
const mostSettings = 100_000

// read reads the keys of the table; what it does not ask for is refused when the object closes.
func (s *certificateTable) read(o *file.Object) {
	o.Require("certificate")
	o.Require("date")
	o.Text("box", &s.out.Box)
	o.Text("serial", &s.out.Serial)
	o.Text("certificate", &s.id)
	o.Text("ohm", &s.out.Ohm)
	var date string
	if o.Text("date", &date) {
		t, err := time.Parse(time.DateOnly, date)
		if err != nil {
			o.Fail("date", unit.Errorf(unit.ErrSyntax, "%q; expected a date such as 1987-05-04",
				date))
		}
		s.out.Date = t
	}
	// Certificates that name no factor print U with k = 2 (GUM 6.3.3).
	k := 2.0
	o.Quantity("k", unit.Fraction, &k)
	s.included = s.box.Spec().ResidualIncluded
	o.Bool("residualIncluded", &s.included)
	seen := make(map[decade.Setting]bool)
	for _, in := range o.Objects("settings", mostSettings) {
		var text string
		var value, expanded float64
		for _, key := range []string{"setting", "value", "U"} {
			in.Require(key)
		}
		in.Text("setting", &text)
		in.Quantity("value", unit.Ohm, &value)
		in.Quantity("U", unit.Ohm, &expanded)
		factor := k
		in.Quantity("k", unit.Fraction, &factor)
		setting, err := s.box.ParseSetting(text)
		switch {
		case err != nil:
			in.Fail("setting", err)
		case seen[setting]:
			in.Fail("setting", unit.Errorf(unit.ErrSyntax, "%q occurs twice; expected once",
				text))
		case !(expanded > 0): // not expanded <= 0, which NaN would pass
			in.Fail("U", unit.Errorf(ErrDomain,
				"%v; expected the expanded uncertainty, more than 0", expanded))
		case !(factor >= 1):
			in.Fail("k", unit.Errorf(ErrDomain, "%v; expected a coverage factor, 1 or more",
				factor))
		}
		seen[setting] = true
		s.addSetting(setting, uncertainty.Certificate(value, expanded, factor))
	}
	// Values above the zero setting say nothing of the residual, which a record must have.
	if o.Has("settings") && !seen[s.box.Zero()] && !s.included {
		spec := s.box.Spec()
		s.addSetting(s.box.Zero(), uncertainty.Rectangular(spec.Residual, spec.ResidualTolerance))
	}
}

// addSetting adds one value of the table as a source of its own.
func (s *certificateTable) addSetting(setting decade.Setting, d uncertainty.Distribution) {
	name := "certificate, " + setting.String()
	s.settings = append(s.settings, setting)
	s.values = append(s.values, uncertainty.Source{
		Name: name, Unit: "Ω", Distribution: d, ID: s.recordID() + "/" + name,
	}.Input())
}

// recordID is the ID of the record, and through it of the sources: the same file read twice
// gives the same sources, another certificate of the same box others.
func (s *certificateTable) recordID() string {
	return "certificate " + s.id + " of " + s.box.Name() + " " + s.box.Serial() + " " +
		s.out.Date.Format(time.DateOnly)
}

// inCircuit are the unknowns in the value of a setting, as determination numbers them. The zero
// setting is the residual in either convention: nothing else is in circuit there.
func (s *certificateTable) inCircuit(setting decade.Setting) []int {
	of := s.u.Of(setting)
	if !s.included && !setting.AllZero() {
		of = of[1:] // above the zero setting
	}
	return of
}

// calibration solves the table for the elements. An error is a cause without operation or name,
// which ReadEarlier adds.
func (s *certificateTable) calibration() (*decade.Calibration, error) {
	d, err := verify.Determine(s.box, s.settings...)
	if err != nil {
		return nil, unit.Cause(err)
	}
	if !d.Complete() {
		return nil, unit.Errorf(ErrUndetermined, "%s: %v",
			wording.Plural(len(s.settings), "setting"), d)
	}
	n := len(s.settings)
	// Design, covariance in Ω² and deviations from nominal in Ω, as in a fit of readings.
	a, v, y := mat.NewDense(n, s.u.N, nil), mat.NewSymDense(n, nil), make([]float64, n)
	for i, setting := range s.settings {
		y[i] = s.values[i].Estimate()
		for _, j := range s.inCircuit(setting) {
			a.Set(i, j, 1)
			y[i] -= s.u.Nominal(j)
		}
		b, err := uncertainty.Evaluate(s.values[i])
		if err != nil {
			return nil, err
		}
		// No covariances: a printed certificate does not state them (GUM 5.2.1).
		v.SetSym(i, i, b.StandardUncertainty*b.StandardUncertainty)
	}
	g, err := leastsquares.New(a, v)
	if err != nil {
		return nil, err
	}
	solution := g.Solve(y)
	if dof := float64(n - s.u.N); dof > 0 {
		// Large beyond chance: a value was copied wrongly, or belongs to another box (Pearson's
		// test of chi-squared).
		if p := (distuv.ChiSquared{K: dof}).Survival(solution.ChiSquared); p < contradiction {
			return nil, unit.Errorf(ErrInconsistent,
				"settings that share elements contradict each other by more than "+
					"their U: chi-squared %.3g with %s; look for a recording error",
				solution.ChiSquared, wording.Freedom(n-s.u.N))
		}
	}
	s.out.Values.ID = s.recordID()
	// Row j of K makes unknown j from the settings of the table.
	for j := range s.u.N {
		c := mat.Row(nil, j, g.Matrix)
		for i := range c {
			// Most are 1, −1 or 0, but for the rounding of the solution.
			c[i] = wording.Rounded(c[i], recordDigits)
			if math.Abs(c[i]) < negligible {
				c[i] = 0
			}
		}
		// As in fitter.values: the estimate is that of the solution, whatever was rounded.
		constant := s.u.Nominal(j) + solution.X[j]
		for i, q := range s.values {
			constant -= float64(c[i] * q.Estimate())
		}
		s.out.Values.Quantities = append(s.out.Values.Quantities,
			linear(constant, c, s.values).Named(s.u.Name(j)))
	}
	// As a file it is converted to the ohm of today.
	text, err := json.Marshal(s.out)
	if err != nil {
		return nil, unwrapMarshal(err)
	}
	c, err := decade.ReadCalibration(bytes.NewReader(text))
	return c, unit.Cause(err) // its line and column are not those of the table
}

const (
	// contradiction is the probability below which a table is taken to have a slip in it: far
	// below the 5 % of a fit, since this refuses the file, and a wrong digit in a value of five
	// digits is off by many times its U.
	contradiction = 0.001
	// negligible is the size below which a coefficient is the rounding of 0: a setting that
	// contributes less than a ten-thousand-millionth of its own u need not stand in a budget.
	negligible = 1e-10
)
