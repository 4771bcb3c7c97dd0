// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// Values of a certificate come from the fit of all readings of a stage where they agree, and
// from the readings themselves where they do not: a faulty box as found has no elements that
// explain it.
//
//	             from a fit                        from readings
//	when         every element is determined       otherwise
//	             and no reading is an outlier
//	rows         the residual, then all positions  each setting that was read, in the order
//	             of each dial, others at zero      of reading, its first dialling
//	value, Ω     nominal + deviation of the fit    nominal + deviation of the reading
//	limits, Ω    nominal ± limit of the class      nominal + limits of the report
//	no value     never                             open circuit: NaN in the file
//
// The deviation at zero is the residual itself and not its difference from the stated residual:
// there the sums of the right column begin at 0.
//
// Verdicts are made before anything is rounded, from the budget: rounding moves a value by up to
// 5 % of U (see setStated), which near a limit could turn "conforms" into "cannot be decided".

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// newResult takes the values of a stage from its fit, or else from its readings. The id names the
// calibration in the record of the fit. It is an error where neither gives a row.
func newResult(r *verify.Report, stage verify.Stage, id string) (Result, error) {
	fit, err := calibrate.NewFit(r, stage)
	if err == nil && len(fit.Outliers) == 0 {
		return fittedResult(r, fit, id)
	}
	// A fit that readings contradict is no statement about the box: the readings themselves are.
	// One outlier is named, which tells the reader where to look.
	why := ""
	if err != nil {
		why = causeText(err)
	} else {
		why = fit.Outliers[0].Text
	}
	out := Result{Stage: stage,
		Notes: "Values are those read at the first dialling of each setting. " +
			"They do not determine one value for every element: " + singleSpaced(why)}
	seen := make(map[decade.Setting]bool)
	var discarded []decade.Setting
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case row.Reading.Stage != stage || row.Reading.Known != nil:
			// Readings of standards are none of the box.
		case row.Discarded:
			// The report holds the value for a slip; a certificate cannot state it as measured.
			discarded = append(discarded, row.Setting)
		case seen[row.Setting] || row.Overload && !row.Open:
			// The first dialling is the box as it was found: each turn of a dial cleans contacts.
			// An overload that the range explains says only "more than this".
		default:
			seen[row.Setting] = true
			out.Rows = append(out.Rows, readRow(row))
		}
	}
	if len(discarded) > 0 {
		out.Notes += " Readings that are not plausible are left out: " +
			wording.Settings(discarded) + "."
	}
	if len(out.Rows) == 0 {
		return out, unit.Errorf(ErrEmpty,
			"no value of any setting; expected readings inside the ranges of the meter")
	}
	return out, nil
}

// causeText is the cause of an error, in words for a reader of the certificate, whom the name of
// the function that refused does not help.
func causeText(err error) string {
	if e, ok := errors.AsType[*Error](err); ok && e.Err != nil {
		return e.Err.Error() + "."
	}
	return err.Error()
}

// fittedResult are the values of every position, by the fit.
func fittedResult(r *verify.Report, fit *calibrate.Fit, id string) (Result, error) {
	convention := "above the zero setting: the residual is not in them"
	if r.Box.Spec().ResidualIncluded {
		convention = "at the terminals: the residual is in them"
	}
	out := Result{Stage: fit.Stage,
		Notes: "Values are those of the residual and the elements that all readings together " +
			"give by least squares, with all other dials at zero, " + convention +
			", at reference conditions, without " +
			"switching variation. Fit: " + singleSpaced(fit.String()) + "."}
	for _, w := range fit.Warnings {
		out.Notes += " " + singleSpaced(causeText(w))
	}
	// Through a record of the calibration and a box that has it: a user who loads the record gets
	// these values and no others. What elements share (one meter, one zero) stays shared in it,
	// without which U of position 3 would be that of three elements measured apart.
	record, err := fit.Calibration(id)
	if err != nil {
		return out, err
	}
	box, err := r.Box.With(record)
	if err != nil {
		return out, err
	}
	// ISO/IEC 17025, 7.8.4.1: results with their measurement uncertainty, here of every
	// position.
	table, err := calibrate.Deviations(box, r.Rule.Coverage)
	if err != nil {
		return out, err
	}
	rows := []*calibrate.DeviationRow{&table.Residual}
	dials := []string{""} // by index of rows; the residual is of no dial
	for i := range table.Dials {
		for k := range table.Dials[i].Rows {
			rows = append(rows, &table.Dials[i].Rows[k])
			dials = append(dials, singleSpaced(table.Dials[i].Name))
		}
	}
	for i, d := range rows {
		row, err := fittedRow(&r.Rule, d)
		if err != nil {
			return out, err
		}
		row.Dial = dials[i]
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

// fittedRow is one position of a dial, or the residual. It is judged before it is rounded. Limits
// are those of the deviation in d, and those of the value in the row: at 10 Ω of a dial of 0.1 %
// they are ±0.01 Ω, and 9.99 Ω to 10.01 Ω.
func fittedRow(rule *conformity.Rule, d *calibrate.DeviationRow) (Row, error) {
	row := Row{Setting: d.Setting.String(), Nominal: d.Nominal, Residual: d.Setting.AllZero()}
	expanded, err := rule.Expanded(d.Budget)
	if err != nil {
		return row, err
	}
	// A box without a class has values and no verdicts.
	if d.Limit > 0 {
		limits := uncertainty.Interval{Lower: -d.Limit, Upper: d.Limit}
		// ISO/IEC 17025, 7.8.6: a statement of conformity under a stated decision rule.
		if row.Verdict, err = rule.Decide(limits, d.Budget); err != nil {
			return row, err
		}
		row.Judged = true
		row.setLimits(d.Nominal, limits)
	}
	row.setStated(d.Value, expanded)
	return row, nil
}

// readRow is one reading, with the verdict of the report. At zero its deviation is the residual
// itself: a box of 10 mΩ that reads 11.2 mΩ there has Nominal 0.01 and Value 0.0112, where the
// sum of nominal and deviation would be 0.0212.
func readRow(r *verify.Row) Row {
	row := Row{Dial: dialOf(r.Setting), Setting: r.Setting.String(), Residual: r.Setting.AllZero()}
	row.Judged, row.Verdict = r.Judged, r.Verdict
	base := r.Setting.Nominal()
	row.Nominal = base
	if row.Residual {
		base, row.Nominal = 0, r.Setting.Box().Spec().Residual
	}
	if r.Judged {
		row.setLimits(base, r.Limits)
	}
	if r.Open {
		row.Open = true
		return row
	}
	row.setStated(base+r.Deviation.Estimate(), r.Expanded)
	return row
}

// dialOf is the name of the only dial that is off zero; empty for all at zero and for several.
func dialOf(s decade.Setting) string {
	name := ""
	for i, d := range s.Box().Decades() {
		switch {
		case s.Position(i) == 0:
		case name != "":
			return ""
		default:
			name = singleSpaced(d.Name)
		}
	}
	return name
}

// setLimits makes limits of the value of those of the deviation, both in Ω. They are sums of
// decimal figures, and so rounded: 0.1 + 0.2 is 0.30000000000000004 in binary.
func (row *Row) setLimits(base float64, deviation uncertainty.Interval) {
	row.Limits = uncertainty.Interval{Lower: roundTo12(base + deviation.Lower),
		Upper: roundTo12(base + deviation.Upper)}
}

// roundTo12 keeps twelve significant digits: 1 µΩ in 1 MΩ, finer than anybody states a limit.
// The noise of a few sums begins at the sixteenth digit.
func roundTo12(v float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return out
}

// setStated rounds a value and its uncertainty to what is stated. U goes first, because its
// rounded form says where the value ends: 0.0996 becomes 0.10, and the value has two decimals, not
// three. The last of two digits of U is at most U/10, so rounding moves value and U by at most
// half of that, 5 % of U. The factor has two decimals, as in tables of Student's distribution.
func (row *Row) setStated(value float64, e uncertainty.Expanded) {
	// GUM 7.2.6: two significant digits of U, and the value to the same place.
	row.U = parsed(strconv.FormatFloat(e.U, 'e', 1, 64))
	row.Value = parsed(valueText(value, row.U))
	// Below 1, as of a rectangular contribution alone at 50 %, the schema has no number.
	if e.K >= 1 {
		row.K = parsed(strconv.FormatFloat(e.K, 'f', 2, 64))
	}
	row.P = e.P
	// Without an uncertainty nothing says where a value should end.
	if row.U == 0 {
		row.Value = value
	}
}

// parsed reads what was just printed, so that a row holds the numbers of the file and not those
// before rounding; NaN for a text that is no number, which WriteXML refuses.
func parsed(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// valueText prints a value to the last digit of its uncertainty, both in Ω, without an exponent:
//
//	v = 10.0002   u = 0.00076   10.00020
//	v = 12344     u = 120       12340
//	v = 5         u = 0         5, all digits that the number has
func valueText(v, u float64) string {
	n := decimals(u)
	if u != 0 && n < 0 { // the last digit stands before the point, where strconv cannot round
		last := math.Pow10(-n)
		v, n = math.Round(v/last)*last, 0
	}
	return strconv.FormatFloat(v, 'f', n, 64)
}

// checkRow refuses what the lists of a certificate cannot hold: a setting that is not one word, a
// number that is none (NaN there means that something does not exist), and an uncertainty that
// cannot be. A caller may have changed what New made.
func (row *Row) checkRow() error {
	if words := strings.Fields(row.Setting); len(words) != 1 || words[0] != row.Setting {
		return unit.Errorf(ErrSyntax, "setting %q; expected positions such as \"0-3-0\"",
			row.Setting)
	}
	for _, v := range []float64{row.Nominal, row.Value, row.U, row.P, row.K, row.Limits.Lower,
		row.Limits.Upper} {
		switch {
		case math.IsNaN(v):
			return unit.Errorf(ErrNotStated, "NaN; expected a number")
		case math.IsInf(v, 0):
			return unit.Errorf(ErrDomain, "%v; expected a finite number", v)
		}
	}
	if row.U < 0 || row.P < 0 || row.P > 1 || row.K != 0 && row.K < 1 {
		return unit.Errorf(ErrDomain, "U = %v, k = %v, probability %v; expected U of 0 or more, "+
			"k of 0 (not stated) or of 1 or more, and a probability of 0 to 1", row.U, row.K, row.P)
	}
	return nil
}

// conformityWord is the word of the schema (stringConformityStatementStatusType) for the verdict:
//
//	not judged                             noPass
//	conforms                               pass
//	does not conform                       fail
//	cannot be decided, inside the limits   conditionalPass
//	cannot be decided, outside             conditionalFail
//
// "Inside" is of the value as it is stated, a limit included, so that a reader who compares the
// figures of the file finds the same. The schema's sixth word, noFail, is not used.
func (row *Row) conformityWord() string {
	switch {
	case !row.Judged:
		return "noPass"
	case row.Verdict == conformity.VerdictConforms:
		return "pass"
	case row.Verdict == conformity.VerdictDoesNotConform:
		return "fail"
	case row.Limits.Contains(row.Value):
		return "conditionalPass"
	}
	return "conditionalFail"
}
